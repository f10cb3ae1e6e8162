import { memo } from '../memo.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import type { DerivedValue } from './value.ts';

/** A value at each of some points, in canonical units; NaN where it is unknown. */
export const numbersAt = memo(
  (definition: PointValue, points: readonly OperatingPoint[]): readonly number[] =>
    points.map((point) => point.number(definition) ?? Number.NaN),
);

/** A point and a value there. */
export interface ValueAtPoint {
  readonly point: OperatingPoint;
  readonly value: DerivedValue;
}

/** The first point with the highest (or lowest) value, among those that have it and pass the filter. */
export function extremeOver(
  points: readonly OperatingPoint[],
  definition: PointValue,
  direction: 1 | -1 = 1,
  isMeant: (point: OperatingPoint) => boolean = () => true,
): ValueAtPoint | undefined {
  const numbers = numbersAt(definition, points);
  let index = -1;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < numbers.length; i++) {
    const number = direction * numbers[i]!;
    if (!(number > most) || !isMeant(points[i]!)) continue;
    most = number;
    index = i;
  }
  const point = points[index];
  const value = point?.get(definition);
  return point && value && { point, value };
}
