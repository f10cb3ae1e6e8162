import type { Sensitivity } from '../../shared/derived/sensitivity.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { sensitivitiesIn } from '../sensitivity-words.ts';
import { citationsOf, type DeriveReport } from './derive-report.ts';
import type { Format } from './format.ts';

/**
 * For programs. The structure is documented; keys may be added, but none removed. JSON has no infinity, so an infinite
 * value (an injector duty without flow) is null; `substituted` contains it.
 */
export const deriveJson: Format<DeriveReport> = {
  write: ({ name, groups, derivation }) => {
    const values = groups.flatMap((group) =>
      group.values.map((value) => entryOf(value, sensitivitiesIn(derivation, value))),
    );
    return `${JSON.stringify({ file: name, values }, null, 2)}\n`;
  },
};

function entryOf(value: DerivedValue, sensitivities: readonly Sensitivity[]) {
  const { id, at, label, canonical, unit, formula, substituted, note } = value;
  const source = citationsOf([value]);
  return {
    id,
    at,
    label,
    value: canonical,
    unit: unit || '1',
    formula,
    substituted,
    source,
    ...(note && { note }),
    ...(sensitivities.length > 0 && {
      sensitivity: sensitivities.map(({ at, percentPerPercent }) => ({
        at,
        percent_per_percent: percentPerPercent,
      })),
    }),
  };
}
