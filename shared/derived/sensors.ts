import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { airFuelRatio } from '../physics/fuels.ts';
import * as knock from '../physics/knock.ts';
import * as wheel from '../physics/toothed-wheel.ts';
import { crankingSpeed } from './cranking.ts';
import type { FileValue } from './derivation.ts';
import { stoichiometricRatio } from './fuel.ts';
import { type SensorKind, sensorsOf } from './sensor-input.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

/** A value of every sensor of a kind, placed at one of its keys. */
function perSensor(
  id: string,
  label: string,
  kind: SensorKind,
  key: 'teeth' | 'missing' | 'first_tooth' | 'range' | 'window',
  compute: (sensor: Sensor, configuration: EngineConfiguration) => Result | undefined,
): FileValue {
  return {
    id,
    label,
    derive: ({ installation: { configuration } }) =>
      sensorsOf(configuration, kind).flatMap(([, sensor]) => {
        const place = sensor[key];
        const result = place && compute(sensor, configuration);
        return result ? [derivedValue({ id, label }, result, nodeOf(place))] : [];
      }),
  };
}

export const degreesPerTooth = perSensor(
  'degrees_per_tooth',
  'Degrees per tooth',
  'toothed-wheel',
  'teeth',
  ({ teeth }) => apply(wheel.degreesPerTooth, { teeth }),
);

export const edgesPerSecond = perSensor(
  'edges_per_second',
  'Edges per second at maximum speed',
  'toothed-wheel',
  'teeth',
  ({ teeth }, { engine }) => apply(wheel.edgesPerSecond, { teeth, speed: engine?.maximum_speed }),
);

/** Start of the gap before top dead centre of cylinder 1. */
export const gapPosition = perSensor(
  'gap_position',
  'Gap start before top dead centre',
  'toothed-wheel',
  'first_tooth',
  ({ teeth, missing, first_tooth: firstTooth }) => apply(wheel.gapStart, { teeth, missing, firstTooth }),
);

/** A file that states no cranking speed is timed with a slow starter. Common practice, no source. */
const SLOW_CRANKING: Operand = {
  canonical: 200,
  how: 'usual cranking speed of a warm light engine (common practice, no source)',
};

export const timeToSync = perSensor(
  'time_to_sync',
  'Longest cranking time to first synchronisation',
  'toothed-wheel',
  'missing',
  ({ teeth, missing }, configuration) =>
    missing && missing.canonical >= 1
      ? apply(wheel.timeToSync, { teeth, missing, speed: crankingSpeed(configuration, SLOW_CRANKING) })
      : undefined,
);

const windowWidth = ({ window }: Sensor): Result | undefined =>
  apply(knock.knockWindowWidth, { from: window?.from, to: window?.to });

export const knockWindowWidth = perSensor(
  'knock_window_width',
  'Knock window width',
  'knock',
  'window',
  windowWidth,
);

export const knockWindowTime = perSensor(
  'knock_window_time',
  'Knock window duration at maximum speed',
  'knock',
  'window',
  (sensor, { engine }) =>
    apply(knock.knockWindowTime, { width: windowWidth(sensor), speed: engine?.maximum_speed }),
);

function airFuelRatioAt(id: string, label: string, end: 'low' | 'high'): FileValue {
  return perSensor(id, label, 'wideband', 'range', ({ range }, configuration) =>
    apply(airFuelRatio, {
      lambda: range && { canonical: range[end].canonical, node: range.node },
      stoichiometricRatio: stoichiometricRatio(configuration),
    }),
  );
}

/** The ends of a wideband sensor's range as air-fuel ratios of the fuel in use. */
export const airFuelRatioLow = airFuelRatioAt('air_fuel_ratio_low', 'Air-fuel ratio at the rich end', 'low');
export const airFuelRatioHigh = airFuelRatioAt(
  'air_fuel_ratio_high',
  'Air-fuel ratio at the lean end',
  'high',
);
