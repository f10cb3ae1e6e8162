import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { availableManifoldPressure, manifoldPressure } from '../derived/charge-air.ts';
import { faultedPoint, type SensorFault } from '../derived/faults.ts';
import {
  injectorDuty,
  injectorDutyAtFaultPressure,
  injectorPulseWidth,
  targetLambda,
} from '../derived/fuel.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint, PointValue } from '../derived/operating-point.ts';
import { pointValues } from '../derived/registry.ts';
import {
  dutyOfLeanest,
  dutyOfRichest,
  lambdaOfLeanest,
  lambdaOfRichest,
  pulseWidthOfLeanest,
  pulseWidthOfRichest,
} from '../derived/trim.ts';
import type { DerivedValue, Result } from '../derived/value.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Bound, furtherOf, type Side } from './bound.ts';
import { deliveredLambda } from './delivered-lambda.ts';
import type { Envelope } from './envelope.ts';
import { highestOf } from './search.ts';
import { StateSpace } from './state-space.ts';

export interface ProofOptions {
  /** The tolerance between bound and reached value, relative to the bound. */
  readonly within: number;
  /** The maximum number of boxes to examine for one bound. */
  readonly mostBoxes: number;
  /** Whether the time is over. The remaining bounds are then those of the first enclosure. */
  readonly isOver?: () => boolean;
}

/** A value to be bounded, in all states of one space. */
interface Target {
  readonly id: string;
  readonly label: string;
  readonly value: DerivedValue | Result;
  readonly space: StateSpace;
}

/** Adds no bounds to values that could not be derived. */
type Names = Pick<Target, 'id' | 'label'>;
type MaybeValue = DerivedValue | Result | undefined;

/**
 * One map set, without a fault or with one: the values that can be bounded in it. Each bound is computed once, when it
 * is first asked for.
 */
export class Situation {
  readonly #options: ProofOptions;
  readonly #find: () => readonly Target[];
  #targets: readonly Target[] | undefined;
  readonly #bounds = new Map<string, Bound | undefined>();

  private constructor(
    readonly mapSet: string | undefined,
    /** `fault_pressure`, or `sensors.NAME`; undefined without a fault. */
    readonly fault: string | undefined,
    options: ProofOptions,
    find: () => readonly Target[],
  ) {
    this.#options = options;
    this.#find = find;
  }

  /** The engine without a fault, then with each fault. */
  static of(
    engine: Engine,
    envelope: Envelope,
    faults: ReadonlyMap<string, readonly SensorFault[]>,
    options: ProofOptions,
  ): readonly Situation[] {
    const place = engine.configuration.engine;
    const space = place && StateSpace.of(engine, envelope, nodeOf(place));
    if (!space) return [];
    const situation = (fault: string | undefined, find: () => readonly Target[]) =>
      new Situation(engine.mapSet, fault, options, find);
    return [
      situation(undefined, () => soundTargets(space)),
      situation('fault_pressure', () => faultPressureTargets(space)),
      ...[...faults].map(([name, ways]) =>
        situation(`sensors.${name}`, () => ways.flatMap((way) => faultTargets(engine, envelope, way))),
      ),
    ];
  }

  /** The ids of the values that can be bounded. */
  get ids(): readonly string[] {
    return [...new Set(this.#all.map(({ id }) => id))];
  }

  /** The bound of a value over all states and, under a fault, over all the ways in which the sensor can fail. */
  bound(id: string, side: Side): Bound | undefined {
    const key = `${side} ${id}`;
    if (!this.#bounds.has(key)) {
      const found = this.#all
        .filter((target) => target.id === id)
        .flatMap((target) => this.#boundOf(target, side) ?? []);
      this.#bounds.set(key, found.length > 0 ? found.reduce(furtherOf) : undefined);
    }
    return this.#bounds.get(key);
  }

  get #all(): readonly Target[] {
    this.#targets ??= this.#find();
    return this.#targets;
  }

  #boundOf({ id, label, value, space }: Target, side: Side): Bound | undefined {
    const { within, mostBoxes, isOver } = this.#options;
    const sign = side === 'high' ? 1 : -1;
    const isNear = (bound: number, reached: number) => bound - reached <= within * Math.abs(bound);
    const found = highestOf(space.problemOf(value, side), space.whole, isNear, isOver?.() ? 1 : mostBoxes);
    if (!found || found.witness.length === 0) return undefined;
    const { result } = ('id' in value ? value.result : value).formula;
    const { mapSet, fault } = this;
    return {
      ...{ id, label, side, mapSet, fault },
      unit: result.unit,
      show: 'id' in value ? value.show : (result.show ?? result.unit),
      bound: sign * found.bound,
      reached: sign * found.reached,
      witness: space.stateAt(found.witness),
      isClosed: found.isClosed,
    };
  }
}

function target(space: StateSpace, { id, label }: Names, value: MaybeValue): Target[] {
  if (!value) return [];
  const note = 'id' in value ? value.note : undefined;
  return [{ id, label: note === undefined ? label : `${label} (${note})`, value, space }];
}

const soundTargets = (space: StateSpace): Target[] =>
  pointValues
    .filter((definition) => definition !== injectorDutyAtFaultPressure)
    .flatMap((definition) => target(space, definition, space.point.get(definition)));

function faultPressureTargets(space: StateSpace): Target[] {
  const { point } = space;
  const rail = point.configuration.fuel?.rail?.fault_pressure;
  // Nothing else of the controller's computation depends on the rail.
  const weak = rail && point.inState({ ...point.conditions, railPressure: rail });
  return weak ? INJECTION.flatMap((one) => target(space, one, weak.get(one))) : [];
}

/** The values of the injectors. */
const INJECTION = [
  injectorDuty,
  injectorPulseWidth,
  dutyOfRichest,
  pulseWidthOfRichest,
  dutyOfLeanest,
  pulseWidthOfLeanest,
];

/** The values that a failed sensor affects. Others are bounded without the fault. */
function faultTargets(engine: Engine, envelope: Envelope, fault: SensorFault): Target[] {
  const isRunaway = runsAway(engine, fault);
  const node = nodeOf(engine.configuration.engine!);
  const space = StateSpace.of(engine, envelope, node, isRunaway ? ceilingOfCompressor : undefined);
  if (!space) return [];
  const { actual, assumed } = faultedPoint(space.point, fault);
  const delivered = (assumedLambda: PointValue) =>
    deliveredLambda({ actual, assumed }, assumed.get(assumedLambda), space.isSame);
  const targets = [
    ...target(space, { id: 'lambda', label: 'Delivered lambda' }, delivered(targetLambda)),
    ...[lambdaOfRichest, lambdaOfLeanest].flatMap((one) => target(space, one, delivered(one))),
    ...[...INJECTION, ignitionAdvance].flatMap((one) => target(space, one, assumed.get(one))),
  ].filter(({ value }) => space.follows(value, fault.value));
  return isRunaway ? [...targets, ...target(space, manifoldPressure, actual.get(manifoldPressure))] : targets;
}

const ceilingOfCompressor = (point: OperatingPoint) => point.get(availableManifoldPressure)?.result;

/**
 * Whether boost runs away: the pressure sensor reads less than a target, so the boost loop keeps closing the wastegate,
 * and only the compressor limits manifold pressure.
 */
function runsAway({ configuration }: Engine, { sensor, value }: SensorFault): boolean {
  const quantity = measuredQuantity(sensor.measures?.text ?? '')?.entry.name;
  const boostTarget = configuration.boost?.target;
  if (quantity !== 'manifold_pressure' || !boostTarget?.cells) return false;
  const assumed = boostTarget.reference === 'gauge' ? value.canonical - SEA_LEVEL : value.canonical;
  return boostTarget.cells.some((cell) => cell > assumed);
}
