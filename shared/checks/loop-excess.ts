import type { StateConfiguration } from '../derived/core-engine.ts';
import { targetLambda } from '../derived/fuel.ts';
import { lambdaAtFullEnrichment, lambdaAtFullLeaning } from '../derived/loops.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import type { Node } from '../source/tree.ts';
import { type Excess, excessFinding, excessOf, type PointQuestion } from './beyond.ts';
import type { EngineSubject, Found } from './check.ts';
import type { MixtureLimit } from './usual-mixture.ts';
import { formatNumber, formatQuantity, numberBeside } from './words.ts';

type Way = 'enrichment_authority' | 'leaning_authority';

/** The key that states the authority. */
function authorityNode({ closed_loop: loops }: StateConfiguration, exhaust: Way): Node | undefined {
  return loops?.exhaust_gas_temperature?.[exhaust]?.node ?? loops?.lambda?.authority?.node;
}

/** What the loops at full authority should not exceed, and the words for it. */
interface LoopQuestion extends PointQuestion {
  readonly way: Way;
  /** The value, within a sentence. */
  readonly label: string;
  /** The name of the operating point that the fix adds. */
  readonly name: string;
  message(excess: Excess): string;
  readonly verb: string;
}

/** The finding for a value that the loops bring beyond its limit, at an operating point or in any other state. */
export function* beyondWithLoops(
  subject: EngineSubject,
  proof: Proof,
  question: LoopQuestion,
): Generator<Found | Pause> {
  yield* loopFinding(subject, yield* excessOf(subject, proof, question), question);
}

const loopFinding = (
  subject: EngineSubject,
  excess: Excess | undefined,
  { way, label, name, message, verb }: Omit<LoopQuestion, keyof PointQuestion>,
): Generator<Found> =>
  excessFinding(subject, excess, (engine, beyond) => {
    const at = authorityNode(engine, way) ?? beyond.atPoint?.point.node;
    return at && { at, label, name, verb, message: message(beyond) };
  });

/** A limit of lambda from a manifold pressure up (Pa); from 0, everywhere. */
interface Part {
  readonly from: number;
  readonly limit: number;
}

/** A part may hide a state that is beyond the curve by less than this (in lambda): a steep stretch is several parts. */
const FINENESS = 0.05;

/** No part of a steep stretch is narrower (Pa). */
const NARROWEST = 5000;

/** No stretch between two breakpoints is divided into more parts, whatever the numbers of the file. */
const MOST_PARTS = 20;

/**
 * A limit of lambda as parts, the densest charge first. A part has no upper end, so its limit is the furthest that the curve
 * allows at its pressure or any higher one: no state within the curve is beyond it. `outermost` is the limit at any pressure.
 */
function partsOf(
  { at, breakpoints }: MixtureLimit,
  side: LoopQuestion['side'],
  outermost: number,
  factor: number,
): readonly Part[] {
  const [stricter, furthest] = side === 'high' ? [Math.min, maximumOf] : [Math.max, minimumOf];
  const limitFrom = (from: number) =>
    stricter(outermost, furthest([from, ...breakpoints.filter((one) => one > from)].map(at)) * factor);
  const further = (from: number, to = from): number[] => {
    const steps = Math.ceil(Math.abs(limitFrom(to) - limitFrom(from)) / FINENESS);
    const count = Math.min(steps, Math.floor((to - from) / NARROWEST), MOST_PARTS);
    return Array.from(
      { length: Math.max(count, 1) - 1 },
      (_, i) => Math.round((from + ((i + 1) * (to - from)) / count) / 1000) * 1000,
    );
  };
  const ends = [0, ...breakpoints.filter((one) => one > 0)];
  const parts = ends
    .flatMap((from, i) => [from, ...further(from, ends[i + 1])])
    .map((from) => ({ from, limit: limitFrom(from) }));
  // A part with the limit of the one that contains it decides nothing.
  return parts.filter(({ limit }, i) => limit !== parts[i - 1]?.limit).reverse();
}

/** The most dangerous state in which the loops make the mixture too lean: from the densest charge down. */
export function leanWithLoops(
  subject: EngineSubject,
  proof: Proof,
  usual: MixtureLimit,
  { leanest, allowance }: Readonly<Record<'leanest' | 'allowance', number>>,
): Generator<Found | Pause> {
  const dense: MixtureLimit = {
    at: (pressure) => (pressure < DENSE ? Infinity : usual.at(pressure)),
    breakpoints: [DENSE, ...usual.breakpoints.filter((pressure) => pressure > DENSE)],
  };
  return beyondInParts(subject, proof, partsOf(dense, 'high', leanest, 1 + allowance), {
    ...{ value: lambdaAtFullLeaning, side: 'high', way: 'leaning_authority', name: 'leanest_with_loops' },
    ...{ state: 'full leaning', relation: 'leaner' },
  });
}

/** The same for a mixture that the loops make too rich. */
export function richWithLoops(
  subject: EngineSubject,
  proof: Proof,
  usual: MixtureLimit,
  { richest, allowance }: Readonly<Record<'richest' | 'allowance', number>>,
): Generator<Found | Pause> {
  return beyondInParts(subject, proof, partsOf(usual, 'low', richest, 1 - allowance), {
    ...{ value: lambdaAtFullEnrichment, side: 'low', way: 'enrichment_authority' },
    ...{ name: 'richest_with_loops', state: 'full enrichment', relation: 'richer' },
  });
}

/**
 * The first of several parts in which the loops bring the mixture beyond its limit. One in which that is known counts before
 * one in which it is not decided.
 */
function* beyondInParts(
  subject: EngineSubject,
  proof: Proof,
  parts: readonly Part[],
  words: Pick<LoopQuestion, 'value' | 'side' | 'way' | 'name'> & {
    readonly state: string;
    readonly relation: string;
  },
): Generator<Found | Pause> {
  const { value, side, way, name, state, relation } = words;
  const sign = side === 'high' ? 1 : -1;
  let open: Found[] = [];
  for (const { from, limit } of parts) {
    const excess = yield* excessOf(subject, proof, {
      ...{ value, side, limitOf: () => limit, unless: targetLambda },
      ...(from > 0 && { regionsOf: () => [{ lowestPressure: from }] }),
      // Another check reports a mixture that is beyond the limit without any loop.
      counts: (point) => {
        const lambda = point.number(targetLambda);
        return lambda !== undefined && sign * lambda <= sign * limit;
      },
    });
    const found = loopFinding(subject, excess, {
      ...{ way, name, verb: 'gives', label: `lambda with the loops at ${state}` },
      message: ({ reached, where }) =>
        `With the loops at ${state}, lambda is ${numberBeside(reached, limit)} ${where}, ${relation} than the limit of ${formatNumber(limit, 3)}${from > 0 ? ` that applies from ${formatQuantity(from, 'kPa abs')} up` : ''}`,
    });
    if (excess?.verdict === 'broken') return yield* found;
    if (open.length === 0) open = [...found];
  }
  yield* open;
}

/** Manifold pressure (Pa) from which the charge is dense enough for the curve of the usual mixture to matter. */
const DENSE = 105_000;
