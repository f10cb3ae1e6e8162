import { middleOf } from '../arithmetic/interval.ts';
import type { Engine } from '../configuration/installation.ts';
import type { SensorFault } from '../derived/faults.ts';
import { type Bound, type BoundKey, furtherOf, isDecided, type Side } from './bound.ts';
import type { Envelope } from './envelope.ts';
import { highestOf } from './search.ts';
import type { StateSpace } from './state-space.ts';
import { type FurtherTargets, type Target, Targets } from './targets.ts';

export interface ProofOptions extends FurtherTargets {
  /** The tolerance between bound and reached value, relative to the bound. */
  readonly within: number;
  /** The maximum number of boxes to examine for one bound. */
  readonly mostBoxes: number;
  /** Whether the time is over. The remaining bounds are then those of the first enclosure. */
  readonly isOver?: () => boolean;
  /** The numbers that a bound is held against. The search goes on until it knows on which side of each the values are. */
  readonly limitsOf?: (bound: BoundKey) => readonly number[];
}

/**
 * One map set, without a fault or with one: the values that can be bounded in it. Each bound is computed once, when it
 * is first asked for.
 */
export class Situation {
  readonly #options: ProofOptions;
  readonly #find: () => readonly Target[];
  #targets: readonly Target[] | undefined;
  readonly #bounds = new Map<string, Bound | undefined>();
  /** The witnesses of a space, where other values may be extreme too. */
  readonly #witnesses = new Map<StateSpace, Map<string, readonly number[]>>();

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
    const targets = Targets.of(engine, envelope, options);
    if (!targets) return [];
    const situation = (fault: string | undefined, find: () => readonly Target[]) =>
      new Situation(engine.mapSet, fault, options, find);
    return [
      situation(undefined, () => targets.sound()),
      situation('fault_pressure', () => targets.atFaultPressure()),
      ...[...faults].map(([name, ways]) =>
        situation(`sensors.${name}`, () => ways.flatMap((way) => targets.faulted(way))),
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

  #boundOf({ id, label, unit, show, value, space }: Target, side: Side): Bound | undefined {
    const { within, mostBoxes, isOver, limitsOf } = this.#options;
    const { mapSet, fault } = this;
    const sign = side === 'high' ? 1 : -1;
    const limits = (limitsOf?.({ id, side, mapSet, fault }) ?? []).map((limit) => sign * limit);
    const isClosed = (bound: number, reached: number, lowest: number) =>
      bound - reached <= within * Math.max(Math.abs(bound), OF_RANGE * (reached - lowest));
    const witnesses = this.#witnesses.get(space) ?? new Map<string, readonly number[]>();
    this.#witnesses.set(space, witnesses);
    const problem = space.problemOf(value, side);
    const { whole } = space;
    const found = highestOf(problem, whole, {
      isNear: (bound, reached, lowest) =>
        isClosed(bound, reached, lowest) && limits.every((limit) => isDecided(limit, bound, reached)),
      mostBoxes: isOver?.() ? 1 : mostBoxes,
      guesses: [...witnesses.values()]
        .slice(-MOST_GUESSES)
        // The other value may depend on fewer tolerances.
        .map((place) => whole.map((range, i) => place[i] ?? middleOf(range))),
    });
    // A value that nowhere has a number has no bound.
    if (!found || found.reached === -Infinity) return undefined;
    witnesses.set(String(found.witness), found.witness);
    return {
      ...{ id, label, side, mapSet, fault, unit, show },
      bound: sign * found.bound,
      reached: sign * found.reached,
      witness: space.stateAt(found.witness),
      isClosed: isClosed(found.bound, found.reached, found.lowest),
    };
  }
}

/** Of the witnesses of other values, the last ones are of the most similar values. */
const MOST_GUESSES = 12;

/** A bound is also near enough within this share of the tolerance, relative to the range of the value. */
const OF_RANGE = 0.4;
