import type {
  EngineConfiguration,
  OperatingPoint as OperatingPointSection,
} from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import type { WhichTable } from '../configuration/lookup.ts';
import { sameItems } from '../configuration/same-value.ts';
import { nodeOf, type QuantityValue } from '../configuration/values.ts';
import { verify } from '../memo.ts';
import type { Node } from '../source/tree.ts';
import { differInReadCellsOnly, type StateConfiguration, stateEngine } from './core-engine.ts';
import { Lookup, TableReadings } from './table-reading.ts';
import {
  type DerivedValue,
  derivedValue,
  type MaybeOperand,
  type Naming,
  type Operand,
  placedIn,
  type Result,
} from './value.ts';

/** A value of every operating point. One object per value; the registry lists them in reading order. */
export interface PointValue extends Naming {
  derive(point: OperatingPoint): Result | undefined;
}

/** The state of the engine at an operating point. Canonical units; absolute pressure. */
export interface Conditions {
  readonly speed: Operand;
  readonly throttle: MaybeOperand;
  readonly pressureAltitude: Operand;
  readonly isaDeviation: Operand;
  /** If stated, it is not derived. */
  readonly manifoldPressure: MaybeOperand;
  readonly lambda: MaybeOperand;
  readonly coolantTemperature: Operand;
  readonly batteryVoltage: Operand;
  /** If not stated, the aircraft stands still. */
  readonly trueAirspeed?: MaybeOperand;
  /** What the controller assumes with a failed sensor, instead of the derived value or the rail's setting. */
  readonly chargeTemperature?: Operand;
  readonly railPressure?: Operand;
}

/** Results of a point, by the definition of the value or another key. */
type Facts = ReadonlyMap<object, unknown>;

const NO_FACTS: Facts = new Map();

/**
 * One engine in one state. Values are derived on demand, once each, and never change. If the same section of the file had
 * a point in an earlier version, and the versions differ only in table cells that the point did not read, its numbers are
 * reused, with their places in this version.
 */
export class OperatingPoint {
  /** `null` for a value that could not be derived. */
  readonly #derived = new Map<object, unknown>();
  readonly #earlier: Facts = NO_FACTS;
  #readings: TableReadings;

  constructor(
    readonly name: string,
    readonly engine: Engine,
    readonly conditions: Conditions,
    /** The place of the values. */
    readonly node: Node,
    earlier?: OperatingPoint,
  ) {
    const holds = earlier?.holdsFor(engine);
    this.#readings = new TableReadings(holds ? earlier!.#readings : undefined);
    if (holds) this.#earlier = earlier!.#facts();
  }

  /** The sections that the engine's state follows from; other operating points, the bus and the map sets are left out. */
  get configuration(): StateConfiguration {
    return this.engine.configuration;
  }

  get(definition: PointValue): DerivedValue | undefined {
    const known = this.#derived.get(definition);
    if (known !== undefined) return (known as DerivedValue | null) ?? undefined;
    const earlier = this.#takenOver(definition);
    // A value that depends on itself is unknown.
    this.#derived.set(definition, null);
    const result = earlier === undefined ? definition.derive(this) : earlier?.result;
    if (!result) return undefined;
    const value = derivedValue(definition, placedIn(this.configuration, result), this.node);
    this.#derived.set(definition, value);
    return value;
  }

  /** The number of a value in canonical units, without its explanation, to compare thousands of points quickly. */
  number(definition: PointValue): number | undefined {
    const earlier = this.#derived.has(definition) ? undefined : this.#takenOver(definition);
    const value = earlier === undefined ? this.get(definition) : earlier;
    return value?.canonical;
  }

  /**
   * Another result that follows from the point and from `key`, cached like a value. It holds numbers only, nothing that has
   * a place in a text.
   */
  fact<Fact extends object>(key: object, derive: (point: OperatingPoint) => Fact): Fact {
    let fact = (this.#derived.get(key) ?? this.#earlier.get(key)) as Fact | undefined;
    if (fact === undefined) {
      fact = derive(this);
      this.#derived.set(key, fact);
    } else this.#verify('a point', fact, derive);
    return fact;
  }

  /** The same engine in another state. Tables that it reads count as read by this point. */
  inState(conditions: Conditions): OperatingPoint {
    const point = new OperatingPoint(this.name, this.engine, conditions, this.node);
    point.#readings = this.#readings;
    return point;
  }

  /** A table's value at this point's operands, as an operand that says how it was read. */
  lookUp(which: WhichTable, x: MaybeOperand, y?: MaybeOperand): Operand | undefined {
    const table = which(this.configuration);
    if (!table?.x || !x || (table.isMap && !y)) return undefined;
    const reading = this.#readings.read(which, this.configuration, x.canonical, y?.canonical);
    return reading && new Lookup(reading, x, table.isMap ? y : undefined);
  }

  /** Whether everything that was derived for this point also holds for an engine. */
  holdsFor(engine: Engine): boolean {
    if (engine === this.engine) return true;
    return (
      differInReadCellsOnly(this.engine, engine) &&
      this.#readings.areSameIn(this.configuration, engine.configuration)
    );
  }

  /** A value of the previous version; `null` if there was none, undefined if it was not derived. */
  #takenOver(definition: PointValue): DerivedValue | null | undefined {
    const earlier = this.#earlier.get(definition) as DerivedValue | null | undefined;
    if (earlier !== undefined)
      this.#verify(definition.id, earlier?.canonical, (fresh) => fresh.number(definition));
    return earlier;
  }

  #facts(): Facts {
    if (this.#derived.size === 0) return this.#earlier;
    return new Map([...this.#earlier, ...this.#derived]);
  }

  #verify<Fact>(name: string, kept: Fact, derive: (point: OperatingPoint) => Fact): void {
    verify(kept, () => derive(new OperatingPoint(this.name, this.engine, this.conditions, this.node)), name);
  }
}

/** The format's defaults for what a point does not state: a warm engine and a charging generator. */
export const DEFAULT_COOLANT_TEMPERATURE = 273.15 + 90;
export const DEFAULT_BATTERY_VOLTAGE = 13.8;

const assumed = (canonical: number, how: string): Operand => ({ canonical, how });

/** A point and the section that states it. */
interface StatedPoint {
  readonly section: OperatingPointSection;
  readonly point: OperatingPoint;
}

export type StatedPoints = ReadonlyMap<string, StatedPoint>;

/**
 * The operating points of the file by name, each with the engine of its map set; points without a speed are left out.
 * Results of the previous version are reused, and points that did not change are the same objects.
 */
export function operatingPoints(
  { configuration, engines }: Installation,
  before?: StatedPoints,
): StatedPoints {
  const states = new Map(engines.map((engine) => [engine.mapSet, stateEngine(engine)]));
  const withoutSet = states.get(undefined)!;
  const points = new Map<string, StatedPoint>();
  for (const [name, section] of Object.entries(configuration.operating_points ?? {})) {
    if (!section?.speed) continue;
    const engine = states.get(section.map_set?.text) ?? withoutSet;
    const last = before?.get(name);
    const earlier = last?.section === section ? last : undefined;
    points.set(
      name,
      earlier?.point.engine === engine
        ? earlier
        : { section, point: pointOf(name, section, engine, earlier?.point) },
    );
  }
  const isSame = before && sameItems([...before.values()], [...points.values()]);
  return isSame ? before : points;
}

const pointOf = (
  name: string,
  section: OperatingPointSection,
  engine: Engine,
  earlier: OperatingPoint | undefined,
) => new OperatingPoint(name, engine, conditionsOf(section, engine), nodeOf(section), earlier);

const conditionsOf = (point: OperatingPointSection, engine: Engine): Conditions => ({
  speed: point.speed!,
  throttle: point.throttle,
  pressureAltitude: point.pressure_altitude ?? assumed(0, 'sea level, as the point states no altitude'),
  isaDeviation: point.isa_deviation ?? assumed(0, 'standard day, as the point states no deviation'),
  manifoldPressure: point.manifold_pressure,
  lambda: point.lambda,
  coolantTemperature:
    point.coolant_temperature ??
    assumed(DEFAULT_COOLANT_TEMPERATURE, 'warm engine, as the point states no coolant temperature'),
  batteryVoltage: point.battery_voltage ?? nominalVoltage(engine.configuration),
  trueAirspeed: point.true_airspeed,
});

export function nominalVoltage(configuration: EngineConfiguration): QuantityValue | Operand {
  return (
    configuration.harness?.supply?.nominal ??
    assumed(DEFAULT_BATTERY_VOLTAGE, 'charging voltage, as the harness states no nominal supply')
  );
}
