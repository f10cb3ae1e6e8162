import { analyse } from '../../shared/analysis.ts';
import type { Engine } from '../../shared/configuration/installation.ts';
import { placeOnAxis } from '../../shared/configuration/lookup.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { chargeTemperature, manifoldPressure } from '../../shared/derived/charge-air.ts';
import {
  airMassPerCycle,
  estimatedPower,
  fuelFlow,
  fuelMassPerCycle,
  injectorDuty,
  injectorPulseWidth,
  stoichiometricRatio,
  volumetricEfficiency,
} from '../../shared/derived/fuel.ts';
import { ignitionAdvance } from '../../shared/derived/ignition.ts';
import { OperatingPoint, type PointValue } from '../../shared/derived/operating-point.ts';
import { randomOf } from './random.ts';

/** A state that the engine is held in. */
export interface Held {
  readonly speed: number;
  /** Ratio. */
  readonly throttle: number;
  /** Pa absolute; as the boost target says if it is not stated. */
  readonly pressure?: number;
  /** s. */
  readonly time: number;
}

export interface SyntheticOptions {
  readonly states: readonly Held[];
  /** Rows per second. */
  readonly rate?: number;
  /** The true volumetric efficiency over that of the map, by cell: row and column of the map. */
  readonly filling?: (row: number, column: number) => number;
  /** True power over that of the text. */
  readonly power?: number;
  /** Standard deviation of the noise of each quantity, relative. */
  readonly noise?: number;
  readonly seed?: number;
  /** Pa, K: of the room. */
  readonly ambient?: number;
  readonly altitude?: number;
  readonly deviation?: number;
  /** K, V; of a warm engine with a charging generator if not stated. */
  readonly coolant?: number;
  readonly voltage?: number;
  /** s. */
  readonly delay?: number;
  readonly mapSet?: string;
}

/** A row of a synthetic run, in canonical units. */
export type SyntheticRow = Readonly<Record<string, number>>;

/** The engine of an engine file, in a map set. */
export function engineOf(text: string, mapSet?: string): Engine {
  const project = createProject((path) => (path.endsWith('.engine.yaml') ? text : undefined));
  const { installation } = analyse(project, '/x.engine.yaml')!;
  return installation!.engines.find((engine) => engine.mapSet === mapSet)!;
}

/**
 * Rows as an engine with known errors of its filling map and its power would log them, held in one state after the other. The text is
 * that of the derived chain; only volumetric efficiency and power differ.
 */
export function syntheticRows(engine: Engine, options: SyntheticOptions): SyntheticRow[] {
  const { states, rate = 10, noise = 0, seed = 1, delay = 0, filling = () => 1, power = 1 } = options;
  const { coolant = 363.15, voltage = 13.8 } = options;
  const random = randomOf(seed);
  const map = engine.configuration.fuel!.volumetric_efficiency!;
  const noisy = (value: number, share = noise) => value * (1 + share * random.normal());
  const rows: SyntheticRow[] = [];
  let start = 0;
  for (const { speed, throttle, pressure, time } of states) {
    const point = new OperatingPoint(
      '',
      engine,
      {
        speed: { canonical: speed },
        throttle: { canonical: throttle },
        pressureAltitude: { canonical: options.altitude ?? 0 },
        isaDeviation: { canonical: options.deviation ?? 0 },
        manifoldPressure: pressure === undefined ? undefined : { canonical: pressure },
        lambda: undefined,
        coolantTemperature: { canonical: coolant },
        batteryVoltage: { canonical: voltage },
      },
      nodeOf(engine.configuration.engine!),
    );
    const of = (value: PointValue) => point.number(value)!;
    const held = of(manifoldPressure);
    const across = placeOnAxis(map.x!, speed);
    const down = placeOnAxis(map.y!, held);
    const width = map.x!.breakpoints.length;
    let [truth, text] = [0, 0];
    for (const [i, j] of [
      [0, 0],
      [0, 1],
      [1, 0],
      [1, 1],
    ] as const) {
      const weight = (i ? down.share : 1 - down.share) * (j ? across.share : 1 - across.share);
      if (weight === 0) continue;
      const cell = map.cells![(down.index + i) * width + across.index + j]!;
      text += weight * cell;
      truth += weight * cell * filling(down.index + i, across.index + j);
    }
    const error = truth / text;
    if (Math.abs(of(volumetricEfficiency) / text - 1) > 1e-9)
      throw new TypeError('the map is read otherwise');
    const ratio = stoichiometricRatio(engine.configuration)!.canonical;
    const brake = of(estimatedPower) * power;
    for (let t = 0; t < time - 1e-9; t += 1 / rate) {
      rows.push({
        time: start + t,
        engine_speed: noisy(speed, noise / 10),
        throttle_position: throttle,
        manifold_pressure: noisy(held, noise / 5),
        charge_temperature: of(chargeTemperature),
        coolant_temperature: coolant,
        battery_voltage: voltage,
        // What the true air and the delivered fuel give; corrections of the fuel move it off its target.
        lambda: noisy((of(airMassPerCycle) * error) / (of(fuelMassPerCycle) * ratio)),
        injector_pulse_width: of(injectorPulseWidth),
        injector_duty: of(injectorDuty),
        ignition_advance: of(ignitionAdvance),
        fuel_flow: noisy(of(fuelFlow)),
        torque: noisy((brake * 60) / (2 * Math.PI * speed)),
      });
    }
    start += time;
  }
  if (delay === 0) return rows;
  const shift = Math.round(delay * rate);
  return rows.map((row, i) => ({ ...row, lambda: rows[Math.max(0, i - shift)]!.lambda! }));
}

/** How each column is written. */
export type Terms = Readonly<
  Record<string, readonly [unit: string, decimals: number, toUnit: (x: number) => number]>
>;

const UNITS: Terms = {
  time: ['s', 3, (x) => x],
  engine_speed: ['rpm', 1, (x) => x],
  throttle_position: ['%', 1, (x) => x * 100],
  manifold_pressure: ['kPa abs', 2, (x) => x / 1000],
  charge_temperature: ['°C', 1, (x) => x - 273.15],
  coolant_temperature: ['°C', 0, (x) => x - 273.15],
  battery_voltage: ['V', 2, (x) => x],
  lambda: ['', 4, (x) => x],
  injector_pulse_width: ['ms', 3, (x) => x * 1000],
  injector_duty: ['%', 2, (x) => x * 100],
  ignition_advance: ['deg', 1, (x) => x],
  fuel_flow: ['kg/h', 3, (x) => x * 3600],
  torque: ['Nm', 2, (x) => x],
};

/** The rows as a log, with some columns in other terms. */
export function csvOf(rows: readonly SyntheticRow[], others: Terms = {}): string {
  const terms = { ...UNITS, ...others };
  const names = Object.keys(rows[0]!);
  const lines = rows.map((row) =>
    names
      .map((name) => {
        const [, decimals, toUnit] = terms[name]!;
        const value = row[name]!;
        return Number.isNaN(value) ? '' : toUnit(value).toFixed(decimals);
      })
      .join(','),
  );
  return `${[names.join(','), names.map((name) => terms[name]![0]).join(','), ...lines].join('\n')}\n`;
}
