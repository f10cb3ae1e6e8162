import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { citationsOf, furtherNotesOf, originsOf } from '../formats/derive-report.ts';
import { bold, code, lines, paragraphs, plain } from '../markdown.ts';
import { NO_PREFERENCE, type PreferredUnits, preferred, preferredWorking } from '../preferred-units.ts';
import { type Mover, moversText } from '../sensitivity-words.ts';

/** A derived value with its formula, the substituted numbers, their origins and the source of the formula. */
export function derivedPage(
  value: DerivedValue,
  units = NO_PREFERENCE,
  movers: readonly Mover[] = [],
): string {
  return paragraphs(
    lines(
      `${bold(value.label)} ${code(textOf(value, units))}${value.note === undefined ? '' : ` ${plain(value.note)}`}`,
      code(value.formula),
      code(`= ${preferredWorking(value, units)}`),
    ),
    lines(
      ...[...furtherNotesOf(value, units), ...originsOf(value)].map(plain),
      moversText(movers, code),
      sourcesLine([value]),
    ),
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
  return paragraphs(table, sourcesLine(values));
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

const sourcesLine = (values: readonly DerivedValue[]): string => `*${plain(citationsOf(values))}*`;

/** A number stays on one line with its unit. */
export function unbroken(text: string): string {
  return plain(text).replaceAll(' ', '\u00a0');
}

/** A longer working makes the table unreadable; the formula without its numbers has to do. */
const LONGEST_WORKING = 100;

function working(value: DerivedValue, units: PreferredUnits): string {
  const numbers = preferredWorking(value, units);
  const text = numbers.length > LONGEST_WORKING ? value.formula : numbers;
  // In a table a bar would end the cell, even in code.
  return code(text.replaceAll('|', '\\|'));
}
