import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { type SourceKey, sources } from '../../shared/physics/sources.ts';
import { citationsOf, originsOf } from '../formats/derive-report.ts';
import { bold, code, lines, paragraphs, plain } from '../markdown.ts';
import { NO_PREFERENCE, type PreferredUnits, preferred, preferredWorking } from '../preferred-units.ts';

/** A derived value with its formula, the substituted numbers, their origins and the source of the formula. */
export function derivedPage(value: DerivedValue, units = NO_PREFERENCE): string {
  return paragraphs(
    lines(
      `${bold(value.label)} ${code(textOf(value, units))}${value.note === undefined ? '' : ` ${plain(value.note)}`}`,
      code(value.formula),
      code(`= ${preferredWorking(value, units)}`),
    ),
    lines(...originsOf(value).map(plain), `*${plain(citationsOf(value))}*`),
  );
}

/** Several derived values in a table, each with its substituted formula, and the sources of the formulas. */
export function derivedTable(values: readonly DerivedValue[], units = NO_PREFERENCE): string {
  const rows = values.map((value) => [
    plain(value.label),
    unbroken(textOf(value, units)),
    working(value, units),
  ]);
  const table = tableOf(['Derived value', 'Value', 'Calculation'], rows);
  return paragraphs(table, `*${authorities(values.flatMap((value) => value.sources))}*`);
}

/** Several derived values on one line of a hover, without their formulas. */
export function derivedLine(title: string, values: readonly DerivedValue[], units: PreferredUnits): string {
  const texts = values.map(
    (value) => `${plain(value.label.toLowerCase())} ${unbroken(textOf(value, units))}`,
  );
  return `${bold(title)}: ${texts.join(' · ')}`;
}

/** A Markdown table; its cells are already Markdown. */
export function tableOf(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const lineOf = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [lineOf(heads), lineOf(heads.map(() => ':--')), ...rows.map(lineOf)].join('\n');
}

export const textOf = (value: DerivedValue, units: PreferredUnits): string =>
  valueText(preferred(value, units));

/** The sources of formulas and values, each once: `Heywood: Internal Combustion Engine Fundamentals`. */
export function authorities(keys: readonly SourceKey[]): string {
  return [...new Set(keys)].map((key) => plain(`${sources[key].author}: ${sources[key].title}`)).join('; ');
}

/** A number stays on one line with its unit. */
export function unbroken(text: string): string {
  return plain(text).replaceAll(' ', '\u00a0');
}

/** A longer formula makes the table unreadable; then its source is shown instead. */
const LONGEST_WORKING = 100;

function working(value: DerivedValue, units: PreferredUnits): string {
  const text = preferredWorking(value, units);
  if (text.length > LONGEST_WORKING) return authorities(value.sources);
  // In a table, a bar ends the cell, even in code.
  return code(text.replaceAll('|', '\\|'));
}
