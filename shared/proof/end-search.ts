import { type Side, verdictOf } from './bound.ts';
import { type Bound, type Box, type IsEnough, MaximumSearch, type Pause, type Problem } from './search.ts';
import type { FurtherTargets } from './targets.ts';

export interface ProofOptions extends FurtherTargets {
  /** The tolerance between bound and reached value, relative to the bound. */
  readonly within: number;
  /** The maximum number of boxes to examine for one bound. */
  readonly mostBoxes: number;
  /** Whether the time is up. The remaining bounds are then those of the first enclosure. */
  readonly isOver?: () => boolean;
}

/** The finer tolerance, if the limit is between bound and reached value. */
const FINE = 0.01;

/**
 * A bound is also near enough if it is within this share of the tolerance, taken relative to the range of the value
 * instead of the bound.
 */
const OF_RANGE = 0.4;

type Found = Generator<Pause, Bound | undefined>;

/**
 * The search for one end of a value's range; bound and reached value have the sign that makes it a maximum. Its results
 * do not depend on earlier requests.
 */
export class EndSearch {
  /** Kept only until bound and reached value are near: its boxes take memory. */
  #search: MaximumSearch | undefined;
  #near: Result | undefined;
  #fine: Result | undefined;

  constructor(
    readonly problem: Problem,
    readonly whole: Box,
    readonly side: Side,
    readonly options: ProofOptions,
  ) {}

  /** Whether bound and reached value are as near as they should be. */
  isClosed({ bound, reached, lowest }: Bound): boolean {
    return this.#fits(1)(bound, reached, lowest);
  }

  /** Searches until bound and reached value are near. */
  *near(): Found {
    if (!this.#near) {
      const bound = yield* this.#started.run(this.#fits(1), this.#mostBoxes);
      this.#near ??= { bound };
      this.#search = undefined;
    }
    return this.#near.bound;
  }

  /**
   * Searches only as far as a limit needs: if it holds, the returned bound may be far from the reached value. Otherwise
   * both are near.
   */
  *against(limit: number): Found {
    const sign = this.side === 'high' ? 1 : -1;
    const verdict = (bound: number, reached: number) =>
      verdictOf({ side: this.side, bound: sign * bound, reached: sign * reached }, limit);
    const isHeld = (bound: number, reached: number) => verdict(bound, reached) === 'holds';
    if (!this.#near) {
      const fits = this.#fits(1);
      const isEnough: IsEnough = (bound, reached, lowest) =>
        isHeld(bound, reached) || fits(bound, reached, lowest);
      const rough = yield* this.#started.run(isEnough, this.#mostBoxes);
      if (!rough || isHeld(rough.bound, rough.reached)) return rough;
    }
    const near = yield* this.near();
    return near && verdict(near.bound, near.reached) === 'open' ? yield* this.#finer() : near;
  }

  *#finer(): Found {
    if (!this.#fine) {
      const search = new MaximumSearch(this.problem, this.whole);
      const bound = yield* search.run(this.#fits(FINE), this.#mostBoxes);
      this.#fine ??= { bound };
    }
    return this.#fine.bound;
  }

  get #started(): MaximumSearch {
    this.#search ??= new MaximumSearch(this.problem, this.whole);
    return this.#search;
  }

  get #mostBoxes(): number {
    return this.options.isOver?.() ? 1 : this.options.mostBoxes;
  }

  #fits(share: number): IsEnough {
    const within = share * this.options.within;
    return (bound, reached, lowest) =>
      bound - reached <= within * Math.max(Math.abs(bound), OF_RANGE * (reached - lowest));
  }
}

/** The result of a finished search; `bound` is undefined if there is no value. */
interface Result {
  readonly bound: Bound | undefined;
}
