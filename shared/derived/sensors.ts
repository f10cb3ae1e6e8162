import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { airFuelRatio } from '../physics/fuels.ts';
import * as knock from '../physics/knock.ts';
import * as wheel from '../physics/toothed-wheel.ts';
import type { FileValue } from './derivation.ts';
import { stoichiometricRatio } from './fuel.ts';
import { type SensorKind, sensorsOf } from './sensor-input.ts';
import { apply, derivedValue, type Operand, type Result } from './value.ts';

/** A value of every sensor of a kind, shown where one of its keys is written. */
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
  'Degrees a tooth',
  'toothed-wheel',
  'teeth',
  ({ teeth }) => apply(wheel.degreesPerTooth, { teeth }),
);

export const edgesPerSecond = perSensor(
  'edges_per_second',
  'Edges a second at maximum speed',
  'toothed-wheel',
  'teeth',
  ({ teeth }, { engine }) => apply(wheel.edgesPerSecond, { teeth, speed: engine?.maximum_speed }),
);

/** Where the gap begins, before top dead centre of cylinder 1. */
export const gapPosition = perSensor(
  'gap_position',
  'Start of the gap before top dead centre',
  'toothed-wheel',
  'first_tooth',
  ({ teeth, missing, first_tooth: firstTooth }) => apply(wheel.gapStart, { teeth, missing, firstTooth }),
);

/** No key states how fast the starter turns the engine. Common practice, no source. */
const CRANKING: Operand = { canonical: 200, how: 'usual of a light engine on its starter, warm' };

export const timeToSync = perSensor(
  'time_to_sync',
  'Longest time from cranking to the first synchronisation',
  'toothed-wheel',
  'missing',
  ({ teeth, missing }) =>
    missing && missing.canonical >= 1
      ? apply(wheel.timeToSync, { teeth, missing, speed: CRANKING })
      : undefined,
);

const windowWidth = ({ window }: Sensor): Result | undefined =>
  apply(knock.knockWindowWidth, { from: window?.from, to: window?.to });

export const knockWindowWidth = perSensor(
  'knock_window_width',
  'Width of the knock window',
  'knock',
  'window',
  windowWidth,
);

export const knockWindowTime = perSensor(
  'knock_window_time',
  'Length of the knock window at maximum speed',
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

/** What the wideband sensor's ends mean with the fuel in the tank. */
export const airFuelRatioLow = airFuelRatioAt('air_fuel_ratio_low', 'Air to fuel at the rich end', 'low');
export const airFuelRatioHigh = airFuelRatioAt('air_fuel_ratio_high', 'Air to fuel at the lean end', 'high');
