import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import {
  availableManifoldPressure,
  targetManifoldPressure,
  unboostedManifoldPressure,
} from '../derived/charge-air.ts';
import { type Conditions, OperatingPoint } from '../derived/operating-point.ts';
import type { Operand } from '../derived/value.ts';
import { type Envelope, VARIABLES, type Variable } from '../proof/envelope.ts';

/** A stretch of rows outside the envelope, by its row farthest from it. */
export interface Outside {
  readonly row: number;
  readonly file: number;
  readonly quantity: string;
  readonly value: number;
  readonly unit: string;
  /** The end of the envelope that the value is beyond. */
  readonly limit: number;
  readonly from: number;
  readonly to: number;
  readonly rows: number;
}

/** The quantities of a log, and canonical units, of the variables of a state. */
export const QUANTITIES: Readonly<Record<Variable, readonly [quantity: string, unit: string]>> = {
  speed: ['engine_speed', 'rpm'],
  throttle: ['throttle_position', '1'],
  manifold_pressure: ['manifold_pressure', 'Pa'],
  pressure_altitude: ['pressure_altitude', 'm'],
  isa_deviation: ['isa_deviation', 'K'],
  coolant_temperature: ['coolant_temperature', 'K'],
  battery_voltage: ['battery_voltage', 'V'],
};

/** The most stretches that are kept. */
export const MOST_OUTSIDE = 1000;
/** Stretches (s) that are so close together are one. */
const TOGETHER = 1;

/** Finds the rows of a run that are outside the envelope of the engine. */
export class OutsideWatch {
  readonly found: Outside[] = [];
  count = 0;
  readonly #open: (Open | undefined)[] = VARIABLES.map(() => undefined);

  constructor(
    readonly envelope: Envelope,
    /** How far each variable may be off, by its instrument and the digits of the log. */
    readonly slack: Readonly<Record<Variable, (value: number) => number>>,
    /** The highest manifold pressure at a speed and an altitude. */
    readonly ceiling: (speed: number, altitude: number, deviation: number) => number,
    /** By how much (Pa) the manifold pressure moves about the boost target in a steady state. */
    readonly control: number,
  ) {}

  /** `state` holds the variables in the order of `VARIABLES`, NaN for what is not logged. */
  row(state: Float64Array, time: number, index: number): void {
    const { ranges, lowestPressure } = this.envelope;
    for (let i = 0; i < VARIABLES.length; i++) {
      const value = state[i]!;
      if (Number.isNaN(value)) continue;
      const name = VARIABLES[i]!;
      let low = lowestPressure;
      let high = Number.POSITIVE_INFINITY;
      if (name !== 'manifold_pressure') {
        low = ranges[name].low;
        high = ranges[name].high;
      }
      if (name === 'manifold_pressure' && value >= low)
        high = this.ceiling(state[0]!, state[ALTITUDE]!, state[DEVIATION]!);
      const excess = Math.max(low - value, value - high);
      const isCeiling = name === 'manifold_pressure' && value > high;
      const beyond =
        excess > 0 ? excess - Math.max(this.slack[name](value), isCeiling ? this.control : 0) : excess;
      if (beyond > 0) this.#add(i, value, beyond, value < low ? low : high, time, index);
      else if (this.#open[i] && time - this.#open[i]!.to > TOGETHER) this.#close(i);
    }
  }

  /** The data ends, or continues elsewhere. */
  interrupt(): void {
    for (let i = 0; i < VARIABLES.length; i++) this.#close(i);
  }

  #add(at: number, value: number, beyond: number, limit: number, time: number, index: number): void {
    const open = this.#open[at];
    if (!open) {
      this.#open[at] = { row: index, value, beyond, limit, from: time, to: time, rows: 1 };
      return;
    }
    open.to = time;
    open.rows++;
    if (beyond > open.beyond) Object.assign(open, { row: index, value, beyond, limit });
  }

  #close(at: number): void {
    const open = this.#open[at];
    if (!open) return;
    this.#open[at] = undefined;
    this.count++;
    if (this.found.length >= MOST_OUTSIDE) return;
    const [quantity, unit] = QUANTITIES[VARIABLES[at]!];
    const { row, value, limit, from, to, rows } = open;
    this.found.push({ row, file: 0, quantity, value, unit, limit, from, to, rows });
  }
}

const ALTITUDE = VARIABLES.indexOf('pressure_altitude');
const DEVIATION = VARIABLES.indexOf('isa_deviation');

interface Open {
  row: number;
  value: number;
  beyond: number;
  limit: number;
  from: number;
  to: number;
  rows: number;
}

/**
 * The highest manifold pressure of the envelope's states at a speed, an altitude and a deviation: the boost target at the highest throttle
 * with its overshoot, as far as the compressor can supply it, or ambient pressure.
 */
export function ceilingOf(engine: Engine, { ranges, overshoot }: Envelope): OutsideWatch['ceiling'] {
  const { configuration } = engine;
  const known = new Map<string, number>();
  return (speed, altitude, deviation) => {
    // The ceiling changes slowly: a step of 10 rpm, 50 m and 5 K is far less than the slack.
    const state = {
      speed: rounded(speed, 10),
      altitude: Number.isNaN(altitude) ? ranges.pressure_altitude.low : rounded(altitude, 50),
      deviation: Number.isNaN(deviation) ? 0 : rounded(deviation, 5),
    };
    const key = `${state.speed} ${state.altitude} ${state.deviation}`;
    const found = known.get(key);
    if (found !== undefined) return found;
    const conditions: Conditions = {
      speed: number(state.speed),
      throttle: number(ranges.throttle.high),
      pressureAltitude: number(state.altitude),
      isaDeviation: number(state.deviation),
      manifoldPressure: undefined,
      lambda: undefined,
      coolantTemperature: number(ranges.coolant_temperature.high),
      batteryVoltage: number(ranges.battery_voltage.high),
    };
    const point = new OperatingPoint('', engine, conditions, nodeOf(configuration.engine ?? configuration));
    const most = configuration.boost
      ? Math.min(
          (point.number(targetManifoldPressure) ?? Number.POSITIVE_INFINITY) + overshoot.canonical,
          point.number(availableManifoldPressure) ?? Number.POSITIVE_INFINITY,
        )
      : (point.number(unboostedManifoldPressure) ?? Number.POSITIVE_INFINITY);
    if (known.size > 50_000) known.clear();
    known.set(key, most);
    return most;
  };
}

const rounded = (value: number, step: number): number => Math.round(value / step) * step;
const number = (canonical: number): Operand => ({ canonical });
