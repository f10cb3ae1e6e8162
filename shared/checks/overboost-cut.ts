import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel } from '../derived/boost-target.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { replace } from '../source/edit.ts';
import type { Fix } from './check.ts';
import { formatStated, percent } from './words.ts';

/** The scaling of a manifold pressure sensor and its ends, as absolute pressure. */
export interface Reach {
  readonly scaling: NonNullable<Sensor['scaling']>;
  readonly low: number;
  readonly high: number;
}

export function manifoldPressureReach({ sensors }: EngineConfiguration): Reach[] {
  return Object.values(sensors ?? {}).flatMap(({ measures, scaling }) => {
    if (measures?.text !== 'manifold_pressure' || !scaling || scaling.points.length < 2) return [];
    const ends = scaling.points.map(({ to }) => absoluteAtSeaLevel(to));
    return [{ scaling, low: minimumOf(ends), high: maximumOf(ends) }];
  });
}

/** The cut as absolute pressure, for comparison with targets and sensors. */
export const absoluteCut = (cut: QuantityValue): number => absoluteAtSeaLevel(cut.quantity);

/** Raises the cut to the next full kPa that keeps the margin, if all sensors can read it. */
export function raisedCut(
  cut: QuantityValue,
  least: number,
  reaches: readonly Reach[],
  margin: number,
): Fix[] {
  const raised = Math.ceil(least / 1000 - 1e-9) * 1000;
  if (cut.quantity.reference !== 'absolute' || reaches.some(({ high }) => raised > high)) return [];
  const text = formatStated(raised, 'kPa abs');
  return [
    {
      title: `Change to ${text}, ${percent(margin)} above the highest target`,
      safety: 'choice',
      edits: [replace(cut.node, text)],
    },
  ];
}
