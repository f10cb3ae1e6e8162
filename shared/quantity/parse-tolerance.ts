import type { Dimension, Kind } from './kinds.ts';
import { isFault, parseAs, parseQuantity, type Quantity, type QuantityFault } from './parse.ts';
import { splitTolerance, type Tolerance, type ToleranceFault, toleranceRange } from './tolerance.ts';
import type { Unit } from './unit.ts';

/** Reads a quantity that may have a tolerance: `350 cc/min ± 3 %`. */
export function parseTolerant(kind: Kind, text: string): Quantity | QuantityFault {
  const mark = splitTolerance(text);
  if (!mark) return parseAs(kind, text);
  const quantity = parseAs(kind, text.slice(0, mark.at));
  if (isFault(quantity)) return quantity;
  const isPercent = quantity.unit?.symbol === '%';
  const tolerance = parseTolerance(text.slice(mark.end), quantity.unit, isPercent);
  if (!isToleranceFault(tolerance)) return { ...quantity, tolerance };
  return { fault: 'tolerance', range: toleranceRange(text, mark.at), tolerance, quantity };
}

/** Dimensions whose values are exact. */
const EXACT: ReadonlySet<Dimension> = new Set<Dimension>(['data size', 'data rate', 'wire gauge']);

export const isToleranceFault = (read: Tolerance | ToleranceFault): read is ToleranceFault =>
  'problem' in read;

/**
 * Reads `3 %` or `0.1 bar` as the tolerance of numbers in a unit. A percentage is relative to the number; if
 * `isPercentOwn` is set, the numbers themselves are in `%` and the tolerance is in that unit instead.
 */
export function parseTolerance(
  text: string,
  unit: Unit | undefined,
  isPercentOwn: boolean,
): Tolerance | ToleranceFault {
  if (unit && EXACT.has(unit.dimension)) return { problem: 'not-here' };
  const read = parseQuantity(text);
  if (isFault(read)) return { problem: read.fault === 'not-a-number' ? 'not-a-number' : 'wrong-unit' };
  if (read.number < 0) return { problem: 'negative' };
  return inUnit(read, unit, isPercentOwn);
}

function inUnit(
  { number, unit: own, reference, canonical }: Quantity,
  unit: Unit | undefined,
  isPercentOwn: boolean,
): Tolerance | ToleranceFault {
  if (!own) {
    if (!unit) return { share: 0, width: number };
    return { problem: 'unit-missing', suggestedText: `${number} ${unit.offset ? 'K' : unit.symbol}` };
  }
  if (own.dimension === 'ratio') {
    if (isPercentOwn && unit?.dimension === 'ratio') return { share: 0, width: canonical };
    return unit?.offset ? { problem: 'share-of-temperature' } : { share: canonical, width: 0 };
  }
  const isDifference = reference === undefined || reference === 'difference';
  if (own.dimension !== unit?.dimension || !isDifference) return { problem: 'wrong-unit' };
  // The width of a temperature tolerance is a difference: 2 °C is 2 K.
  return { share: 0, width: number * own.factor };
}
