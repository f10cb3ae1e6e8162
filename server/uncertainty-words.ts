import type { DerivedValue } from '../shared/derived/value.ts';
import { uncertaintyOf } from '../shared/proof/tolerances.ts';
import { boundText } from '../shared/proof/witness.ts';
import { differenceUnit, formatNumber, formatQuantity } from '../shared/quantity/index.ts';
import { NO_PREFERENCE, preferred } from './preferred-units.ts';

/** More shares than a reader remembers are left out. */
const MOST_SHARES = 3;

/**
 * `1.471 ms to 1.552 ms within the tolerances of the file; standard uncertainty 0.023 ms, with 71 % of the variance
 * from fuel.injectors.static_flow`. Empty if the value depends on no number with a tolerance.
 */
export function uncertaintyNotes(value: DerivedValue, units = NO_PREFERENCE): string[] {
  const uncertainty = uncertaintyOf(value);
  if (!uncertainty) return [];
  const { low, high, standard, shares } = uncertainty;
  const { show } = preferred({ canonical: value.canonical, show: value.show }, units);
  const range = `${boundText({ bound: low, side: 'low', show })} to ${boundText({ bound: high, side: 'high', show })}`;
  const parts = shares
    .slice(0, MOST_SHARES)
    .map(({ at, share }) => `${formatNumber(100 * share, 2)} % of the variance from ${at}`);
  const deviation = formatQuantity(standard, differenceUnit(show), 2);
  return [
    `${range} within the tolerances of the file; standard uncertainty ${deviation}, with ${parts.join(', ')}`,
  ];
}
