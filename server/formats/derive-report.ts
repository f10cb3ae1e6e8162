import type { DerivedValue } from '../../shared/derived/value.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { citation } from '../../shared/physics/citation.ts';
import type { SourceKey } from '../../shared/physics/sources.ts';

/** Values that are read together: those of the file, or those of one operating point. */
export interface ValueGroup {
  readonly title: string;
  /** The state that the engine is looked at in, for an operating point. */
  readonly conditions: readonly string[];
  readonly values: readonly DerivedValue[];
}

/** What follows from one engine file; every format prints this. */
export interface DeriveReport {
  /** As the user named it. */
  readonly name: string;
  readonly groups: readonly ValueGroup[];
}

/** The sources of the values, each once, in the order of first use. */
export const sourcesOf = ({ groups }: DeriveReport): SourceKey[] =>
  sourceKeys(groups.flatMap(({ values }) => values));

const sourceKeys = (values: readonly DerivedValue[]): SourceKey[] => [
  ...new Set(values.flatMap(({ sources }) => sources)),
];

/** The sources of some values in one line, each once and with its note. */
export const citationsOf = (values: readonly DerivedValue[]): string =>
  sourceKeys(values).map(citation).join('; ');

/**
 * What a reader needs beside the formula: how the inputs came about that were not simply read
 * (`VE: table at 5500 rpm, 150 kPa abs`), where the formula with its numbers does not say it already.
 */
export function originsOf({ inputs, substituted }: DerivedValue): string[] {
  return inputs.flatMap(({ term, how }) => {
    return how === undefined || substituted.startsWith(how) ? [] : [`${term.symbol}: ${how}`];
  });
}

/** What tells values of a group apart that have the same label: the place. */
export function placesIn({ values }: ValueGroup): (value: DerivedValue) => string | undefined {
  const alike = groupedBy(values, ({ label }) => label);
  return ({ label, at }) => (alike.get(label)!.length > 1 ? `at ${at}` : undefined);
}
