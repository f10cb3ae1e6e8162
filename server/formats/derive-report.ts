import type { Derivation } from '../../shared/derived/derivation.ts';
import { outsideValidRange } from '../../shared/derived/valid-range.ts';
import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { citation } from '../../shared/physics/citation.ts';
import type { SourceKey } from '../../shared/physics/sources.ts';
import { formatQuantity, quantityColumn } from '../../shared/quantity/index.ts';
import { NO_PREFERENCE, preferred } from '../preferred-units.ts';
import { uncertaintyNotes } from '../uncertainty-words.ts';

/** Values that are read together: those of the whole installation or of one operating point. */
export interface ValueGroup {
  readonly title: string;
  /** The conditions of an operating point. */
  readonly conditions: readonly string[];
  readonly values: readonly DerivedValue[];
}

/** The derived values of one engine file; every format prints this. */
export interface DeriveReport {
  /** As the user named it. */
  readonly name: string;
  readonly groups: readonly ValueGroup[];
  readonly derivation: Derivation;
}

/** The sources of the values, each once, in the order of first use. */
export const sourcesOf = ({ groups }: Pick<DeriveReport, 'groups'>): SourceKey[] =>
  sourceKeys(groups.flatMap(({ values }) => values));

const sourceKeys = (values: readonly DerivedValue[]): SourceKey[] => [
  ...new Set(values.flatMap(({ sources }) => sources)),
];

/** The sources of some values in one line, each once and with its note. */
export const citationsOf = (values: readonly DerivedValue[]): string =>
  sourceKeys(values).map(citation).join('; ');

/**
 * Where inputs that were not simply read come from (`VE: table at 5500 rpm, 150 kPa abs`), unless the formula with its
 * numbers shows it already.
 */
export function originsOf({ inputs, substituted }: DerivedValue): string[] {
  return inputs.flatMap(({ term, how }) => {
    return how === undefined || substituted.startsWith(how) ? [] : [`${term.symbol}: ${how}`];
  });
}

/**
 * The note of a value, each number of its formula that is outside its range (`ambient temperature 107 K is outside 180
 * to 340 K, the range in which this formula is meant to hold`), and its uncertainty from tolerances.
 */
export const notesOf = (value: DerivedValue, units = NO_PREFERENCE): string[] => [
  ...(value.note === undefined ? [] : [value.note]),
  ...furtherNotesOf(value, units),
];

/** What a value shows beside its own note: numbers outside their range, and its uncertainty from tolerances. */
export const furtherNotesOf = (value: DerivedValue, units = NO_PREFERENCE): string[] => [
  ...rangeNotesOf(value, units),
  ...uncertaintyNotes(value, units),
];

const rangeNotesOf = ({ result }: DerivedValue, units = NO_PREFERENCE): string[] =>
  outsideValidRange(result).map(({ term, canonical }) => {
    const { show } = preferred({ canonical, show: term.show ?? term.unit }, units);
    const [low, high] = term.valid;
    const range = `${inUnit(low, show)} to ${formatQuantity(high, show)}`;
    return `${term.label} ${formatQuantity(canonical, show)} is outside ${range}, the range in which this formula is meant to hold`;
  });

/** The number of a quantity without its unit. */
const inUnit = (canonical: number, unit: string): string =>
  formatQuantity(canonical, unit)
    .slice(0, unit === '' ? undefined : -unit.length)
    .trimEnd();

/** The text of a value: of several with one label, all with the same count of decimals. */
export function resultsIn(values: readonly DerivedValue[]): (value: DerivedValue) => string {
  const keyOf = ({ label, show }: DerivedValue) => `${label}\n${show}`;
  const formats = new Map(
    [...groupedBy(values, keyOf)]
      .filter(([, alike]) => alike.length > 1)
      .map(([key, alike]) => [
        key,
        quantityColumn(
          alike.map(({ canonical }) => canonical),
          alike[0]!.show,
        ),
      ]),
  );
  return (value) => formats.get(keyOf(value))?.(value.canonical) ?? valueText(value);
}

/** The place of a value, if others in its group have the same label. */
export function placesIn({ values }: ValueGroup): (value: DerivedValue) => string | undefined {
  const alike = groupedBy(values, ({ label }) => label);
  return ({ label, at }) => (alike.get(label)!.length > 1 ? `at ${at}` : undefined);
}
