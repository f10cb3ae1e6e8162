import { type Interval, intersection, isEmpty } from '../arithmetic/interval.ts';
import type { Engine } from '../configuration/installation.ts';
import { type StateConfiguration, stateEngine } from '../derived/core-engine.ts';
import type { Derivation } from '../derived/derivation.ts';
import { type SensorFault, sensorFaults } from '../derived/faults.ts';
import { groupedBy } from '../grouped-by.ts';
import { internList, memo, verify } from '../memo.ts';
import { type Bound, furtherOf, type Side, type Verdict, verdictOf } from './bound.ts';
import type { ProofOptions } from './end-search.ts';
import { type Envelope, envelopeOf, sameEnvelope } from './envelope.ts';
import { finished, type Pause } from './search.ts';
import { Situation } from './situation.ts';
import type { FurtherTargets } from './targets.ts';

/** The default options. */
export const USUAL: ProofOptions = { within: 0.003, mostBoxes: 2500 };

/** For faces that must respond quickly: a tenth of the time. Nearly every bound is just as close. */
export const BRIEF: ProofOptions = { ...USUAL, mostBoxes: 250 };
/** More map sets than any switch selects would take minutes. A check reports those left out. */
export const MOST_MAP_SETS = 32;

/** The proof of a derivation with the default options, so that its bounds depend on nothing but the file. */
export const proofOf = memo(
  (further: FurtherTargets, derivation: Derivation): Proof =>
    new Proof(derivation, optionsWith(further, USUAL)),
);

/** The same object for the same options, so that bounds are not searched again. */
export const optionsWith = memo(
  (further: FurtherTargets, options: ProofOptions): ProofOptions => ({ ...options, ...further }),
);

/** A part of the envelope. */
export interface Region {
  readonly speed?: Interval;
  readonly lowestPressure?: number;
}

/** Whether a value stays within a limit. */
export interface Question {
  readonly id: string;
  readonly side: Side;
  readonly fault?: string | undefined;
  /** The limit in a map set; undefined if it has none. */
  limitOf(configuration: StateConfiguration): number | undefined;
  /** The parts of the envelope to search in a map set; without it, all of it. */
  regionsOf?(configuration: StateConfiguration): readonly Region[];
}

/** A bound that is not within its limit. */
export interface Beyond extends Bound {
  readonly limit: number;
  readonly verdict: Exclude<Verdict, 'holds'>;
}

/**
 * Bounds of every value of an operating point, for each selectable map set, without a fault and with each single fault.
 * Each is computed once, when it is first requested, and again only if something that it depends on changes.
 */
export class Proof {
  readonly situations: readonly Situation[];
  /** The envelope of the file without a map set; undefined if it is unknown. */
  readonly envelope: Envelope | undefined;
  readonly #faults: readonly SensorFault[];
  readonly #options: ProofOptions;
  readonly #own = new WeakSet<Situation>();
  /** Situations that another proof already had, each with a function that creates it again. */
  readonly #kept = new Map<Situation, () => Situation>();

  constructor({ installation, points }: Derivation, options: ProofOptions = USUAL) {
    this.#faults = internList(sensorFaults(installation));
    this.#options = options;
    const [first] = installation.engines;
    this.envelope = first && envelopeOf(first, points);
    this.situations = installation.selectable.slice(0, MOST_MAP_SETS).flatMap((engine) => {
      const envelope = envelopeOf(engine, points);
      return envelope ? this.#situationsIn(stateEngine(engine), envelope) : [];
    });
  }

  /** All bounds, one by one, so that the caller can stop. */
  *bounds(): Generator<Bound> {
    for (const one of this.boundsInSteps()) if (one) yield one;
  }

  /** All bounds, one by one, with the pauses of their searches. */
  *boundsInSteps(): Generator<Bound | Pause> {
    for (const situation of this.situations) {
      yield;
      for (const id of situation.ids)
        for (const side of ['high', 'low'] as const) {
          const found = yield* situation.search(id, side);
          if (found) yield found;
        }
    }
  }

  /** The bound of a value over all map sets, without a fault or with one. */
  furthest(id: string, side: Side, fault?: string): Bound | undefined {
    const found = this.#under(fault).flatMap((situation) => situation.bound(id, side) ?? []);
    return found.length > 0 ? found.reduce(furtherOf) : undefined;
  }

  /**
   * The bound that is furthest beyond its limit, of all map sets; one that is broken rather than an open one. Undefined
   * if the limit holds in all of them. Searches no further than that needs.
   */
  *beyond({ id, side, fault, limitOf, regionsOf }: Question): Generator<Pause, Beyond | undefined> {
    let furthest: Beyond | undefined;
    for (const whole of this.#under(fault)) {
      const { configuration } = whole.engine;
      const limit = limitOf(configuration);
      if (limit === undefined) continue;
      for (const region of regionsOf?.(configuration) ?? [undefined]) {
        const situation = region ? this.#inRegion(whole, region) : whole;
        const bound = situation && (yield* situation.search(id, side, limit));
        const beyond = bound && beyondOf(bound, limit);
        const again = situation && this.#kept.get(situation);
        if (again) verify(beyond, () => againBeyond(again(), id, side, limit), `the bound of ${id}`);
        if (beyond && (!furthest || isFurther(beyond, furthest))) furthest = beyond;
      }
    }
    return furthest;
  }

  /** A situation in a part of its envelope; undefined if there is none. */
  #inRegion(
    { engine, envelope, fault }: Situation,
    { speed, lowestPressure }: Region,
  ): Situation | undefined {
    const range = intersection(envelope.ranges.speed, speed ?? envelope.ranges.speed);
    if (isEmpty(range)) return undefined;
    const part = {
      ranges: { ...envelope.ranges, speed: range },
      lowestPressure: Math.max(lowestPressure ?? envelope.lowestPressure, envelope.lowestPressure),
      overshoot: envelope.overshoot,
    };
    return this.#situationsIn(engine, part).find((one) => one.fault === fault);
  }

  #situationsIn(engine: Engine, envelope: Envelope): readonly Situation[] {
    const inputs = [engine, sameEnvelope(engine, envelope), this.#faults, this.#options] as const;
    const situations = situationsOf(...inputs);
    situations.forEach((situation, i) => {
      if (known.has(situation) && !this.#own.has(situation))
        this.#kept.set(situation, () => situationsIn(...inputs)[i]!);
      known.add(situation);
      this.#own.add(situation);
    });
    return situations;
  }

  #under(fault: string | undefined): readonly Situation[] {
    return this.situations.filter((situation) => situation.fault === fault);
  }
}

function beyondOf(bound: Bound, limit: number): Beyond | undefined {
  const verdict = verdictOf(bound, limit);
  return verdict === 'holds' ? undefined : { ...bound, limit, verdict };
}

function againBeyond(situation: Situation, id: string, side: Side, limit: number): Beyond | undefined {
  const bound = finished(situation.search(id, side, limit));
  return bound && beyondOf(bound, limit);
}

function isFurther(one: Beyond, other: Beyond): boolean {
  if (one.verdict !== other.verdict) return one.verdict === 'broken';
  const excess = ({ side, bound, limit }: Beyond) => (side === 'high' ? bound - limit : limit - bound);
  return excess(one) > excess(other);
}

type Inputs = readonly [Engine, Envelope, readonly SensorFault[], ProofOptions];

function situationsIn(...[engine, envelope, faults, options]: Inputs): readonly Situation[] {
  return Situation.of(
    engine,
    envelope,
    groupedBy(faults, ({ name }) => name),
    options,
  );
}

/** Everything that bounds follow from, and nothing else. */
const situationsOf = memo(
  (engine: Engine, envelope: Envelope, faults: readonly SensorFault[], options: ProofOptions) =>
    situationsIn(engine, envelope, faults, options),
);

/** Situations that a proof already has. */
const known = new WeakSet<Situation>();
