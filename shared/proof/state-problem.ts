import { EMPTY, ENTIRE, type Interval, negate, point } from '../arithmetic/interval.ts';
import type { Enclosure } from './enclosure.ts';
import type { Cut, Problem } from './search.ts';

/** A value as a function of the state, and the highest manifold pressure of a state. */
export interface StateFunction {
  /** The value, then the ceiling. */
  readonly value: Enclosure;
  readonly ceiling: Enclosure;
  readonly lowestPressure: number;
  /** The variables on which the ceiling depends. */
  readonly ofCeiling: readonly number[];
  /** Those that change the value only by way of the ceiling. */
  readonly onlyOfCeiling: readonly number[];
  readonly bends: readonly (readonly Cut[])[];
}

/** The search for the highest value in any state or, for the low side, for the negative of the lowest. */
export function stateProblem(of: StateFunction, side: 'high' | 'low'): Problem {
  const { value, ceiling, lowestPressure, ofCeiling, onlyOfCeiling, bends } = of;
  const isHigh = side === 'high';
  const count = bends.length;
  /** Whether every point in the box is a state. */
  let isWhole = true;
  let last: readonly Interval[] = [];
  return {
    bends,
    over(box) {
      const [found, highest] = value.over(box);
      last = box;
      isWhole = highest!.low >= lowestPressure;
      if (highest!.high < lowestPressure) return EMPTY;
      return isHigh ? found! : negate(found!);
    },
    slopes() {
      const slopes = value.slopes(count).map((slope) => (isHigh ? slope : slope && negate(slope)));
      const isFree = onlyOfCeiling.some((i) => last[i]!.low < last[i]!.high);
      if (isWhole && !isFree) return slopes;
      const ofStates = ceiling.slopes(count);
      if (!isWhole) for (const i of ofCeiling) slopes[i] = withinStates(slopes[i], ofStates[i]);
      for (const i of onlyOfCeiling) slopes[i] = towardsMoreStates(slopes[i], ofStates[i]);
      return slopes;
    },
    valueAt(place) {
      const [number, highest] = value.numbersAt(place);
      if (highest! < lowestPressure || Number.isNaN(number)) return undefined;
      return isHigh ? number! : -number!;
    },
  };
}

const ZERO = point(0);
const RISING: Interval = { low: 0, high: Infinity };
const FALLING: Interval = { low: -Infinity, high: 0 };

/** Returns an unknown slope where the function rises towards a lower ceiling, because there may be no states there. */
function withinStates(own = ZERO, ofCeiling = ZERO): Interval {
  if (own.low >= 0 && ofCeiling.low >= 0) return own;
  if (own.high > 0 || ofCeiling.high > 0) return ENTIRE;
  // Where the function is level, prefer the end with the higher ceiling.
  return own.low < 0 ? own : FALLING;
}

/**
 * Manifold pressure may be anything up to the ceiling. A variable that affects only the ceiling therefore adds states
 * as the ceiling rises and removes none: only the end with the highest ceiling counts.
 */
function towardsMoreStates(own: Interval | undefined, ofCeiling = ZERO): Interval | undefined {
  if (ofCeiling.low >= 0) return RISING;
  return ofCeiling.high <= 0 ? FALLING : own;
}
