import * as bus from './bus.ts';
import * as busSignal from './bus-signal.ts';
import * as divider from './divider.ts';
import type { Formula } from './formula.ts';
import * as loads from './loads.ts';
import * as rtd from './rtd.ts';
import * as scaling from './sensor-scaling.ts';
import * as thermistor from './thermistor.ts';
import { referenceFunctions } from './thermocouple.ts';
import * as wheel from './toothed-wheel.ts';
import * as wire from './wire.ts';

export * from './bus.ts';
export * from './bus-signal.ts';
export * from './divider.ts';
export * from './loads.ts';
export * from './rtd.ts';
export * from './sensor-scaling.ts';
export * from './thermistor.ts';
export * from './thermocouple.ts';
export * from './toothed-wheel.ts';
export * from './wire.ts';

/** Every formula of sensors, wiring and bus. */
export const electricalFormulas: readonly Formula[] = [
  bus,
  busSignal,
  divider,
  loads,
  rtd,
  scaling,
  thermistor,
  referenceFunctions,
  wheel,
  wire,
].flatMap((subject) =>
  Object.values<unknown>(subject).filter(
    (one): one is Formula => typeof one === 'function' && 'terms' in one,
  ),
);
