import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { type SourceKey, sources } from '../../shared/physics/sources.ts';
import { citationsOf, originsOf } from '../formats/derive-report.ts';
import { bold, code, lines, paragraphs, plain } from '../markdown.ts';
import { NO_PREFERENCE, type PreferredUnits, preferred, preferredWorking } from '../preferred-units.ts';

/** A derived value with all that a reader needs to trust it: formula, numbers, where they come from, source. */
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

/** Many values at a glance, each with its numbers put in, and whose formulas they are. */
export function derivedTable(values: readonly DerivedValue[], units = NO_PREFERENCE): string {
  const rows = values.map((value) => [
    plain(value.label),
    unbroken(textOf(value, units)),
    working(value, units),
  ]);
  const table = tableOf(['Follows', 'Value', 'From'], rows);
  return paragraphs(table, `*${authorities(values.flatMap((value) => value.sources))}*`);
}

/** Many values in one line of a hover, without their numbers. */
export function derivedLine(title: string, values: readonly DerivedValue[], units: PreferredUnits): string {
  const texts = values.map(
    (value) => `${plain(value.label.toLowerCase())} ${unbroken(textOf(value, units))}`,
  );
  return `${bold(title)}: ${texts.join(' · ')}`;
}

/** A table of Markdown; what stands in its cells is Markdown already. */
export function tableOf(heads: readonly string[], rows: readonly (readonly string[])[]): string {
  const lineOf = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [lineOf(heads), lineOf(heads.map(() => ':--')), ...rows.map(lineOf)].join('\n');
}

export const textOf = (value: DerivedValue, units: PreferredUnits): string =>
  valueText(preferred(value, units));

function authorities(keys: readonly SourceKey[]): string {
  return [...new Set(keys)].map((key) => plain(`${sources[key].author}: ${sources[key].title}`)).join('; ');
}

/** A number stays on one line with its unit. */
export function unbroken(text: string): string {
  return plain(text).replaceAll(' ', '\u00a0');
}

/** A longer working makes a table that nobody reads; then it must do to say whose formula it is. */
const LONGEST_WORKING = 100;

function working(value: DerivedValue, units: PreferredUnits): string {
  const text = preferredWorking(value, units);
  if (text.length > LONGEST_WORKING) return authorities(value.sources);
  // In a table a bar would end the cell, even in code.
  return code(text.replaceAll('|', '\\|'));
}
