import { sensitivitiesOf } from '../../shared/derived/sensitivity.ts';
import { outsideValidRange } from '../../shared/derived/valid-range.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { uncertaintyOf } from '../../shared/proof/tolerances.ts';
import { citationsOf, type DeriveReport } from './derive-report.ts';
import type { Format } from './format.ts';

/**
 * For programs. The structure is documented; keys may be added, but none removed. Numbers outside the range of the
 * formula are in canonical units, as `value` is; an end that is null is unlimited.
 */
export const deriveJson: Format<DeriveReport> = {
  write: ({ name, groups }) => {
    const values = groups.flatMap((group) => group.values.map(entryOf));
    return `${JSON.stringify({ file: name, values }, null, 2)}\n`;
  },
};

function entryOf(value: DerivedValue) {
  const { id, at, label, canonical, unit, formula, substituted, note } = value;
  const source = citationsOf([value]);
  const sensitivities = sensitivitiesOf(value);
  const uncertainty = uncertaintyOf(value);
  const outside = outsideValidRange(value.result).map(({ term, canonical }) => {
    const [low, high] = term.valid;
    return { symbol: term.symbol, label: term.label, value: canonical, unit: term.unit || '1', low, high };
  });
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
    ...(uncertainty && {
      low: uncertainty.low,
      high: uncertainty.high,
      standard_uncertainty: uncertainty.standard,
      shares: uncertainty.shares,
    }),
    ...(outside.length > 0 && { outside_valid_range: outside }),
    ...(sensitivities.length > 0 && {
      sensitivity: sensitivities.map(({ at, percentPerPercent }) => ({
        at,
        percent_per_percent: percentPerPercent,
      })),
    }),
  };
}
