import type { Engine } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { availableManifoldPressure, manifoldPressure } from '../derived/charge-air.ts';
import { faultedPoint, type SensorFault } from '../derived/faults.ts';
import { injectorDuty, injectorDutyAtFaultPressure, injectorPulseWidth } from '../derived/fuel.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { pointValues } from '../derived/registry.ts';
import type { TracedPoint } from '../derived/trace.ts';
import type { DerivedValue, Result } from '../derived/value.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Bound, furtherOf, type Side } from './bound.ts';
import { deliveredLambda } from './delivered-lambda.ts';
import { EndSearch, type ProofOptions } from './end-search.ts';
import type { Envelope } from './envelope.ts';
import { type Bound as Found, finished, type Pause } from './search.ts';
import { StateSpace } from './state-space.ts';

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
  readonly #searches = new Map<string, readonly TargetSearch[]>();

  private constructor(
    readonly engine: Engine,
    readonly envelope: Envelope,
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
    if (!place) return [];
    let space: { readonly made: StateSpace | undefined } | undefined;
    const inSpace = (find: (space: StateSpace) => readonly Target[]) => (): readonly Target[] => {
      space ??= { made: StateSpace.of(engine, envelope, nodeOf(place)) };
      return space.made ? find(space.made) : [];
    };
    const situation = (fault: string | undefined, find: () => readonly Target[]) =>
      new Situation(engine, envelope, fault, options, find);
    return [
      situation(undefined, inSpace(soundTargets)),
      situation('fault_pressure', inSpace(faultPressureTargets)),
      ...[...faults].map(([name, ways]) =>
        situation(
          `sensors.${name}`,
          inSpace(() => ways.flatMap((way) => faultTargets(engine, envelope, way))),
        ),
      ),
    ];
  }

  get mapSet(): string | undefined {
    return this.engine.mapSet;
  }

  /** The ids of the values that can be bounded. */
  get ids(): readonly string[] {
    return [...new Set(this.#all.map(({ id }) => id))];
  }

  /** The bound of a value over all states and, under a fault, over all the ways in which the sensor can fail. */
  bound(id: string, side: Side): Bound | undefined {
    return finished(this.search(id, side));
  }

  /**
   * Searches a bound. With a limit, only as far as that needs: if the limit holds, the bound may be far from the reached
   * value.
   */
  *search(id: string, side: Side, limit?: number): Generator<Pause, Bound | undefined> {
    // Recording the derivation takes longer than a keystroke may wait.
    if (!this.#targets) yield;
    let furthest: Bound | undefined;
    for (const { target, end } of this.#searchesFor(id, side)) {
      const found = yield* limit === undefined ? end.near() : end.against(limit);
      const bound = found && found.witness.length > 0 ? this.#boundOf(target, side, found) : undefined;
      if (bound) furthest = furthest ? furtherOf(furthest, bound) : bound;
    }
    return furthest;
  }

  get #all(): readonly Target[] {
    this.#targets ??= this.#find();
    return this.#targets;
  }

  #searchesFor(id: string, side: Side): readonly TargetSearch[] {
    const key = `${side} ${id}`;
    const searches =
      this.#searches.get(key) ??
      this.#all
        .filter((target) => target.id === id)
        .map((target) => {
          const { space, value } = target;
          const problem = space.problemOf(value, side);
          return { target, end: new EndSearch(problem, space.whole, side, this.#options) };
        });
    this.#searches.set(key, searches);
    return searches;
  }

  #boundOf({ id, label, value, space }: Target, side: Side, found: Found): Bound {
    const sign = side === 'high' ? 1 : -1;
    const { result } = ('id' in value ? value.result : value).formula;
    const { mapSet, fault } = this;
    return {
      ...{ id, label, side, mapSet, fault },
      unit: result.unit,
      show: 'id' in value ? value.show : (result.show ?? result.unit),
      bound: sign * found.bound,
      reached: sign * found.reached,
      witness: space.stateAt(found.witness),
      variables: space.variablesOf(value),
      isClosed: found.isClosed,
    };
  }
}

interface TargetSearch {
  readonly target: Target;
  readonly end: EndSearch;
}

const target = (space: StateSpace, { id, label }: Names, value: MaybeValue): Target[] =>
  value ? [{ id, label, value, space }] : [];

const soundTargets = (space: StateSpace): Target[] =>
  pointValues
    .filter((definition) => definition !== injectorDutyAtFaultPressure)
    .flatMap((definition) => target(space, definition, space.point.get(definition)));

function faultPressureTargets(space: StateSpace): Target[] {
  const duty = space.point.get(injectorDutyAtFaultPressure);
  // The pulse width is the first operand of the duty.
  const pulse = duty?.inputs[0]?.between;
  return [...target(space, injectorDuty, duty), ...target(space, injectorPulseWidth, pulse)];
}

/** The values that a failed sensor affects. Others are bounded without the fault. */
function faultTargets(engine: Engine, envelope: Envelope, fault: SensorFault): Target[] {
  const isRunaway = runsAway(engine, fault);
  const node = nodeOf(engine.configuration.engine!);
  const space = StateSpace.of(engine, envelope, node, isRunaway ? ceilingOfCompressor : undefined);
  if (!space) return [];
  const { actual, assumed } = faultedPoint(space.point, fault);
  const delivered = deliveredLambda({ actual, assumed }, space.isSame);
  const targets = [
    ...target(space, { id: 'lambda', label: 'Delivered lambda' }, delivered),
    ...[injectorDuty, injectorPulseWidth, ignitionAdvance].flatMap((one) =>
      target(space, one, assumed.get(one)),
    ),
  ].filter(({ value }) => space.follows(value, fault.value));
  return isRunaway ? [...targets, ...target(space, manifoldPressure, actual.get(manifoldPressure))] : targets;
}

const ceilingOfCompressor = (point: TracedPoint) => point.get(availableManifoldPressure)?.result;

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
