import type { StateConfiguration } from '../derived/core-engine.ts';
import { targetLambda } from '../derived/fuel.ts';
import { lambdaAtFullLeaning } from '../derived/loops.ts';
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

/**
 * The most dangerous state in which the loops make the mixture too lean: from the densest charge down, each part of the curve by
 * the limit where it begins, and at last every state by the mixture that burns at all. One that is known to be too lean
 * counts before one of which that is not decided.
 */
export function* leanWithLoops(
  subject: EngineSubject,
  proof: Proof,
  usual: MixtureLimit,
  { leanest, allowance }: Readonly<Record<'leanest' | 'allowance', number>>,
): Generator<Found | Pause> {
  const dense = [DENSE, ...usual.breakpoints.filter((pressure) => pressure > DENSE)].reverse();
  let open: Found[] = [];
  for (const from of [...dense, 0]) {
    const limit = from === 0 ? leanest : Math.min(leanest, usual.at(from) * (1 + allowance));
    const excess = yield* excessOf(subject, proof, {
      ...{ value: lambdaAtFullLeaning, side: 'high', limitOf: () => limit, unless: targetLambda },
      ...(from > 0 && { regionsOf: () => [{ lowestPressure: from }] }),
      counts: (point) => (point.number(targetLambda) ?? Number.POSITIVE_INFINITY) <= limit,
    });
    const found = loopFinding(subject, excess, {
      ...{ way: 'leaning_authority', name: 'leanest_with_loops', verb: 'gives' },
      label: 'lambda with the loops at full leaning',
      message: ({ reached, where }) =>
        `With the loops at full leaning, lambda is ${numberBeside(reached, limit)} ${where}, leaner than the limit of ${formatNumber(limit, 3)}${from > 0 ? ` from ${formatQuantity(from, 'kPa abs')}` : ''}`,
    });
    if (excess?.verdict === 'broken') return yield* found;
    if (open.length === 0) open = [...found];
  }
  yield* open;
}

/** Manifold pressure (Pa) from which the charge is dense enough for the curve of the usual mixture to matter. */
const DENSE = 105_000;
