import { diskProject } from '../../server/files.ts';
import { analyse } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import type { Engine } from '../../shared/configuration/installation.ts';
import {
  availableManifoldPressure,
  manifoldPressure,
  targetManifoldPressure,
} from '../../shared/derived/charge-air.ts';
import { cycleTime } from '../../shared/derived/cylinder.ts';
import { type FaultedPoint, faultedLambda, faultedPoint, sensorFaults } from '../../shared/derived/faults.ts';
import {
  deadTime,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorFlow,
  injectorsPerCylinder,
  targetLambda,
} from '../../shared/derived/fuel.ts';
import { ignitionAdvance } from '../../shared/derived/ignition.ts';
import { type Conditions, OperatingPoint, type PointValue } from '../../shared/derived/operating-point.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { pulseWidthOfLeanest, pulseWidthOfRichest } from '../../shared/derived/trim.ts';
import { injectedFuelMass } from '../../shared/physics/loops.ts';
import type { Bound } from '../../shared/proof/bound.ts';
import { type Envelope, envelopeOf, type Variable } from '../../shared/proof/envelope.ts';
import { SAMPLES } from '../support/samples.ts';

/** The samples that every test of bounds uses. */
export const ENGINES = [
  'dotterel/dotterel-16t.engine.yaml',
  'wheatear/wheatear-10.engine.yaml',
  'sanderling/sanderling-10t.engine.yaml',
];

export const opened = (name: string): EngineSubject =>
  analyse(diskProject([SAMPLES + name]), SAMPLES + name)!.subject as EngineSubject;

type State = Readonly<Record<Variable, number>>;

const FREE = [
  'speed',
  'throttle',
  'pressure_altitude',
  'isa_deviation',
  'coolant_temperature',
  'battery_voltage',
] as const;

/** The number of shares that determine a state. */
export const SHARES = FREE.length + 1;

/**
 * An engine in states of its envelope, derived as operating points. Only the ranges of the envelope come from the
 * proof, so the bounds can be checked against these states.
 */
export class States {
  readonly envelope: Envelope;
  readonly #faults: ReturnType<typeof sensorFaults>;
  /** Each point with each fault, so that a point's values under a fault are derived once. */
  readonly #faulted = new WeakMap<OperatingPoint, ReadonlyMap<string, readonly FaultedPoint[]>>();

  constructor(
    readonly engine: Engine,
    readonly subject: EngineSubject,
  ) {
    this.envelope = envelopeOf(engine, subject.derivation.points)!;
    this.#faults = sensorFaults(subject.installation);
  }

  /**
   * The state at shares of the ranges, that of the manifold pressure last; undefined if no pressure is possible there.
   */
  at(shares: readonly number[]): State | undefined {
    const { ranges, lowestPressure } = this.envelope;
    const state = Object.fromEntries(
      FREE.map((name, i) => [name, ranges[name].low + shares[i]! * (ranges[name].high - ranges[name].low)]),
    ) as Record<Variable, number>;
    const ceiling = this.#ceilingIn(state);
    if (!(ceiling >= lowestPressure)) return undefined;
    return { ...state, manifold_pressure: lowestPressure + shares.at(-1)! * (ceiling - lowestPressure) };
  }

  /** The shares for which `at` returns this state. */
  sharesOf(state: State): number[] {
    const { ranges, lowestPressure } = this.envelope;
    const share = (x: number, low: number, high: number) => (high > low ? (x - low) / (high - low) : 0);
    const ceiling = this.#ceilingIn(state);
    return [
      ...FREE.map((name) => share(state[name], ranges[name].low, ranges[name].high)),
      share(state.manifold_pressure, lowestPressure, ceiling),
    ];
  }

  point(state: State): OperatingPoint {
    return this.#pointIn(state, { canonical: state.manifold_pressure });
  }

  /**
   * The values in a state that a bound applies to: under a sensor fault, one for each way in which the sensor can fail.
   */
  values({ id, fault }: Bound, point: OperatingPoint): number[] {
    const pressure = point.number(manifoldPressure)!;
    const known = (value: number | undefined) => (value === undefined ? [] : [value]);
    const definition = pointValues.find((one) => one.id === id);
    const number = (of: OperatingPoint) => known(definition && of.number(definition));
    if (fault === undefined) {
      if (id in CONDITIONS) return known(point.conditions[CONDITIONS[id]!]?.canonical);
      if (id === 'advance_beyond_usual') return known(beyondUsual(point, pressure));
      return number(point);
    }
    if (fault === 'fault_pressure') {
      const { fault_pressure: rail } = point.configuration.fuel!.rail!;
      return number(point.inState({ ...point.conditions, railPressure: rail! }));
    }
    return this.#pointsUnder(fault, point).flatMap((faulted) => {
      const { actual, assumed } = faulted;
      if (id === 'lambda') return known(faultedLambda(faulted)?.canonical);
      if (id === 'lambda_at_high_load')
        return pressure >= 95e3 ? known(faultedLambda(faulted)?.canonical) : [];
      if (id === 'lambda_of_richest_cylinder') return known(lambdaOf(faulted, pulseWidthOfRichest));
      if (id === 'lambda_of_leanest_cylinder') return known(lambdaOf(faulted, pulseWidthOfLeanest));
      if (id === 'advance_added_by_fault') {
        const [now, before] = [assumed.number(ignitionAdvance), actual.number(ignitionAdvance)];
        return now === undefined || before === undefined ? [] : [now - before];
      }
      return id === 'manifold_pressure' ? number(actual) : number(assumed);
    });
  }

  #pointsUnder(fault: string, point: OperatingPoint): readonly FaultedPoint[] {
    const known = this.#faulted.get(point) ?? this.#faultedAt(point);
    return known.get(fault) ?? [];
  }

  #faultedAt(point: OperatingPoint): ReadonlyMap<string, readonly FaultedPoint[]> {
    const made = new Map<string, FaultedPoint[]>();
    for (const fault of this.#faults) {
      const name = `sensors.${fault.name}`;
      made.set(name, [...(made.get(name) ?? []), faultedPoint(point, fault)]);
    }
    this.#faulted.set(point, made);
    return made;
  }

  /** The highest manifold pressure of a state, computed anew from the format's own rule. */
  #ceilingIn(state: State): number {
    if (!this.engine.configuration.boost) {
      const full = this.#pointIn({ ...state, throttle: 1 }, undefined);
      return full.number(targetManifoldPressure)!;
    }
    const free = this.#pointIn(state, undefined);
    const target = free.number(targetManifoldPressure)! + this.envelope.overshoot.canonical;
    return Math.min(target, free.number(availableManifoldPressure) ?? Infinity);
  }

  #pointIn(state: State, pressure: Conditions['manifoldPressure']): OperatingPoint {
    const at = (canonical: number) => ({ canonical });
    const conditions: Conditions = {
      speed: at(state.speed),
      throttle: at(state.throttle),
      pressureAltitude: at(state.pressure_altitude),
      isaDeviation: at(state.isa_deviation),
      manifoldPressure: pressure,
      lambda: undefined,
      coolantTemperature: at(state.coolant_temperature),
      batteryVoltage: at(state.battery_voltage),
    };
    return new OperatingPoint('', this.engine, conditions, this.subject.derivation.points[0]!.node);
  }
}

const CONDITIONS: Readonly<Record<string, 'speed' | 'throttle' | 'coolantTemperature' | 'batteryVoltage'>> = {
  engine_speed: 'speed',
  throttle_position: 'throttle',
  coolant_temperature: 'coolantTemperature',
  battery_voltage: 'batteryVoltage',
};

/** By the default settings of the check, which the samples do not change. */
function beyondUsual(point: OperatingPoint, pressure: number): number | undefined {
  const advance = point.number(ignitionAdvance);
  const ratio = point.configuration.engine?.compression_ratio?.canonical;
  if (pressure < 80e3 || advance === undefined || ratio === undefined) return undefined;
  return advance - (34 - 2 * (ratio - 9) - (2 * (pressure - 100e3)) / 10e3);
}

/** The lambda of a cylinder whose pulse is known in the assumed state. */
function lambdaOf(
  { actual, assumed }: { readonly actual: OperatingPoint; readonly assumed: OperatingPoint },
  pulse: PointValue,
): number | undefined {
  const { configuration } = actual;
  const numbers = [
    assumed.number(pulse),
    actual.number(cycleTime),
    deadTime(actual)?.canonical,
    actual.number(injectorFlow),
    fuelDensity(configuration)?.canonical,
    injectorsPerCylinder(configuration).canonical,
    injections(configuration)?.canonical,
    actual.number(targetLambda),
    actual.number(fuelMassPerCycle),
  ];
  if (numbers.includes(undefined)) return undefined;
  const [pulseWidth, cycle, dead, flow, density, perCylinder, count, lambda, fuelMass] = numbers as number[];
  const injected = injectedFuelMass({
    pulseWidth: pulseWidth!,
    cycleTime: cycle!,
    deadTime: dead!,
    flow: flow!,
    fuelDensity: density!,
    injectorsPerCylinder: perCylinder!,
    injections: count!,
  });
  return (lambda! * fuelMass!) / injected;
}

/** Whether a value is within a bound, but for rounding. */
export function isWithin({ side, bound }: Bound, value: number): boolean {
  const slack = 1e-9 * Math.abs(value);
  return side === 'high' ? value <= bound + slack : value >= bound - slack;
}
