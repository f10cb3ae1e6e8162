import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import { nodeOf, type QuantityValue } from '../configuration/values.ts';
import type { Node } from '../source/tree.ts';
import { goesOnAs, type StateConfiguration, stateEngine } from './core-engine.ts';
import { TableReadings, type WhichTable } from './table-reading.ts';
import {
  type DerivedValue,
  derivedValue,
  type MaybeOperand,
  type Naming,
  type Operand,
  type Result,
} from './value.ts';

/** A value that there is at every operating point. One object a value; the registry lists them in reading order. */
export interface PointValue extends Naming {
  derive(point: OperatingPoint): Result | undefined;
}

/** The state in which the engine is looked at. Canonical units; absolute pressure. */
export interface Conditions {
  readonly speed: Operand;
  readonly throttle: MaybeOperand;
  readonly pressureAltitude: Operand;
  readonly isaDeviation: Operand;
  /** Stated, not derived, where it is given. */
  readonly manifoldPressure: MaybeOperand;
  readonly lambda: MaybeOperand;
  readonly coolantTemperature: Operand;
  readonly batteryVoltage: Operand;
  /** What the controller goes by where a sensor has failed, in place of the derived value or the rail's setting. */
  readonly chargeTemperature?: Operand;
  readonly railPressure?: Operand;
}

/** One engine in one state. Values are derived when asked for, each once. */
export class OperatingPoint {
  /** `null` where there is none. */
  readonly #values = new Map<PointValue, DerivedValue | null>();
  #engine: Engine;

  constructor(
    readonly name: string,
    engine: Engine,
    readonly conditions: Conditions,
    /** The place that the values speak of. */
    readonly node: Node,
    /** What the values were read from. */
    readonly readings = new TableReadings(),
  ) {
    this.#engine = engine;
  }

  get engine(): Engine {
    return this.#engine;
  }

  /** What the engine's state follows from; another operating point, the bus or the map sets do not stand in it. */
  get configuration(): StateConfiguration {
    return this.#engine.configuration;
  }

  get(definition: PointValue): DerivedValue | undefined {
    const known = this.#values.get(definition);
    if (known !== undefined) return known ?? undefined;
    // A value that should follow from itself is not known.
    this.#values.set(definition, null);
    const result = definition.derive(this);
    if (!result) return undefined;
    const value = derivedValue(definition, result, this.node);
    this.#values.set(definition, value);
    return value;
  }

  /** A table's value at this point's operands, as an operand that tells how it was found. */
  lookUp(which: WhichTable, x: MaybeOperand, y?: MaybeOperand): Operand | undefined {
    const table = which(this.configuration);
    if (!table?.x || !x || (table.isMap && !y)) return undefined;
    return this.readings.read(which, this.configuration, x.canonical, y?.canonical);
  }

  /**
   * Goes on as the point of a later version of its engine, with all its values, where the two differ in cells of tables
   * only and in none that was read for a value. Gives whether it does.
   */
  follow(engine: Engine): boolean {
    if (engine === this.#engine) return true;
    const follows = goesOnAs(this.#engine, engine) && this.readings.follow(engine.configuration);
    if (follows) this.#engine = engine;
    return follows;
  }
}

/** Where a point says nothing: a warm engine and a charging generator (the format's own defaults). */
export const DEFAULT_COOLANT_TEMPERATURE = 273.15 + 90;
export const DEFAULT_BATTERY_VOLTAGE = 13.8;

const assumed = (canonical: number, how: string): Operand => ({ canonical, how });

/** The operating points of the file, each on the engine that its map set makes; one without a speed is left out. */
export function operatingPoints(installation: Installation): OperatingPoint[] {
  const points = installation.configuration.operating_points ?? {};
  const states = new Map(installation.engines.map((engine) => [engine.mapSet, stateEngine(engine)]));
  const withoutSet = states.get(undefined)!;
  const all: OperatingPoint[] = [];
  for (const name of Object.keys(points)) {
    const point = points[name];
    if (!point?.speed) continue;
    const engine = states.get(point.map_set?.text) ?? withoutSet;
    const last = lastOf.get(point);
    // With all that was derived of it, where nothing that it follows from changed either.
    if (last?.name === name && last.follow(engine)) {
      all.push(last);
      continue;
    }
    const conditions: Conditions = {
      speed: point.speed,
      throttle: point.throttle,
      pressureAltitude: point.pressure_altitude ?? assumed(0, 'sea level, as the point states no altitude'),
      isaDeviation: point.isa_deviation ?? assumed(0, 'standard day, as the point states no deviation'),
      manifoldPressure: point.manifold_pressure,
      lambda: point.lambda,
      coolantTemperature:
        point.coolant_temperature ??
        assumed(DEFAULT_COOLANT_TEMPERATURE, 'warm engine, as the point states none'),
      batteryVoltage: point.battery_voltage ?? nominalVoltage(engine.configuration),
    };
    const state = new OperatingPoint(name, engine, conditions, nodeOf(point));
    lastOf.set(point, state);
    all.push(state);
  }
  return all;
}

/** The point that was last made of a section. */
const lastOf = new WeakMap<object, OperatingPoint>();

export function nominalVoltage(configuration: EngineConfiguration): QuantityValue | Operand {
  return (
    configuration.harness?.supply?.nominal ??
    assumed(DEFAULT_BATTERY_VOLTAGE, 'charging voltage, as the harness states none')
  );
}
