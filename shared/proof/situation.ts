import type { Engine } from '../configuration/installation.ts';
import type { SensorFault } from '../derived/faults.ts';
import { type Bound, furtherOf, type Side } from './bound.ts';
import { EndSearch, type ProofOptions } from './end-search.ts';
import type { Envelope } from './envelope.ts';
import { type Bound as Found, finished, type Pause } from './search.ts';
import { type Target, Targets } from './targets.ts';

/**
 * One map set, without a fault or with one: the values that can be bounded in it. Each bound is computed once, when it
 * is first requested.
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
    let made: { readonly targets: Targets | undefined } | undefined;
    const targetsOf = (find: (targets: Targets) => readonly Target[]) => (): readonly Target[] => {
      made ??= { targets: Targets.of(engine, envelope, options) };
      return made.targets ? find(made.targets) : [];
    };
    const situation = (fault: string | undefined, find: () => readonly Target[]) =>
      new Situation(engine, envelope, fault, options, find);
    return [
      situation(
        undefined,
        targetsOf((targets) => targets.sound()),
      ),
      situation(
        'fault_pressure',
        targetsOf((targets) => targets.atFaultPressure()),
      ),
      ...[...faults].map(([name, ways]) =>
        situation(
          `sensors.${name}`,
          targetsOf((targets) => ways.flatMap((way) => targets.faulted(way))),
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
   * Searches a bound. With a limit, only as far as that needs: if the limit holds, the bound may be far from the
   * reached value.
   */
  *search(id: string, side: Side, limit?: number): Generator<Pause, Bound | undefined> {
    // Recording the derivation takes longer than a keystroke may wait.
    if (!this.#targets) yield;
    let furthest: Bound | undefined;
    for (const { target, end } of this.#searchesFor(id, side)) {
      const found = yield* limit === undefined ? end.near() : end.against(limit);
      // A value that has no number in any state has no bound.
      const bound =
        found && found.reached !== -Infinity
          ? this.#boundOf(target, side, found, end.isClosed(found))
          : undefined;
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

  #boundOf(of: Target, side: Side, found: Found, isClosed: boolean): Bound {
    const { id, label, unit, show, value, space } = of;
    const sign = side === 'high' ? 1 : -1;
    const { mapSet, fault } = this;
    return {
      ...{ id, label, side, mapSet, fault, unit, show, isClosed },
      bound: sign * found.bound,
      reached: sign * found.reached,
      witness: space.stateAt(found.witness),
      atTolerance: space.tolerancesAt(found.witness, value),
      variables: space.variablesOf(value),
    };
  }
}

interface TargetSearch {
  readonly target: Target;
  readonly end: EndSearch;
}
