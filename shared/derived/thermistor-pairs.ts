import type { Sensor } from '../../generated/configuration.ts';
import { betaValue, thermistorResistance } from '../physics/thermistor.ts';
import type { Thermistor } from './thermistors.ts';

type Point = NonNullable<Sensor['resistance']>['points'][number];

/** The B-value (K) between two neighbouring points of a thermistor. */
export interface BetaOfPair {
  readonly colder: Point;
  readonly warmer: Point;
  readonly beta: number;
}

/** The B-values of neighbouring points, from cold to warm; none if a resistance or temperature cannot be. */
export function betaOfPairs({ resistance }: Sensor): readonly BetaOfPair[] {
  const points = [...(resistance?.points ?? [])].sort((a, b) => a.from.canonical - b.from.canonical);
  if (points.some(({ from, to }) => from.canonical <= 0 || to.canonical <= 0)) return [];
  return points.slice(1).flatMap((warmer, i) => {
    const colder = points[i]!;
    const beta = betaValue({
      firstResistance: colder.to.canonical,
      firstTemperature: colder.from.canonical,
      secondResistance: warmer.to.canonical,
      secondTemperature: warmer.from.canonical,
    });
    return Number.isFinite(beta) ? [{ colder, warmer, beta }] : [];
  });
}

/** The resistance (ohm) of the fitted curve at 25 °C. */
export const resistanceAt25 = ({ curve }: Thermistor): number | undefined =>
  thermistorResistance(curve, 298.15);
