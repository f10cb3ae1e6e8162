import type { StateConfiguration } from '../derived/core-engine.ts';
import { injectorDuty, targetLambda } from '../derived/fuel.ts';
import {
  dutyAtFullEnrichment,
  highestExhaustTarget,
  lambdaAtFullEnrichment,
  lambdaAtFullLeaning,
} from '../derived/loops.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { extremeOver } from '../derived/over-points.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import type { Node } from '../source/tree.ts';
import { boundClause, excessOf, openFinding, type PointQuestion, witnessFixes } from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { usualMixture } from './usual-mixture.ts';
import { formatNumber, formatQuantity, numberBeside, percent, percentBeside } from './words.ts';

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
  readonly base: string;
  message(reached: number, where: string, limit: number): string;
  readonly verb: string;
}

/** The finding for a value that the loops bring beyond its limit, at an operating point or in any other state. */
function* beyondWithLoops(
  subject: EngineSubject,
  proof: Proof,
  { way, label, base, message, verb, ...question }: LoopQuestion,
): Generator<Found | Pause> {
  const excess = yield* excessOf(subject, proof, question);
  if (!excess) return;
  const { atPoint, bound, where, reached, limit, related } = excess;
  const engine = subject.installation.selectable.find(({ mapSet }) => mapSet === bound?.mapSet);
  const { configuration } = atPoint?.point ?? engine ?? subject.installation;
  const at = authorityNode(configuration, way) ?? atPoint?.point.node;
  if (!at) return;
  const fixes = witnessFixes(subject, excess, base);
  if (excess.verdict === 'open') {
    yield openFinding(at, label, excess, fixes);
    return;
  }
  const text = `${message(reached, where + boundClause(excess, verb), limit)}.`;
  yield { at, message: text, related, fixes };
}

export const loopAuthorityExceedsLimit: Check = boundCheck({
  id: 'loop-authority-exceeds-limit',
  severity: 'warning',
  title: 'Loop authority too large',
  page: {
    catches:
      'An operating point, or any other state in the envelope, at which the lambda and exhaust temperature loops, both at full authority, need more than the maximum injector duty, or make the mixture too rich or too lean to run on; at high load the lean limit is stricter. What exceeds a limit without the loops is left to other checks.',
    why: 'A failed sensor or a wrong map can change the mixture by the whole authority. Enrichment that the injectors cannot deliver does not cool the exhaust, and too much leaning burns valves.',
    example:
      'closed_loop:\n  exhaust_gas_temperature: { target: 820 °C, enrichment_authority: 30 % }   # injector duty is 80 % already',
    remedy: 'Lower the authority, set a `lean_limit`, or fit larger injectors.',
    basis:
      'Duty: `maximum_duty` of the file, or else common practice, no source. Mixtures that burn reliably, lambda 0.65 to 1.3: common practice, no source.',
  },
  settings: {
    duty: {
      kind: 'ratio',
      value: '85 %',
      meaning: 'Maximum duty if the file has no `maximum_duty`.',
    },
    richest: { kind: 'number', value: '0.65', meaning: 'Richest lambda that the loops may make.' },
    leanest: { kind: 'number', value: '1.3', meaning: 'Leanest lambda that the loops may make.' },
    allowance: {
      kind: 'ratio',
      value: '16 %',
      meaning:
        'How much leaner than the curve `leanest` of `lean-at-high-load` the loops may make the mixture under boost.',
    },
  },
  *find(subject, proof, { duty, richest, leanest, allowance }): Generator<Found | Pause> {
    const limitOf = ({ fuel }: StateConfiguration) => fuel?.injectors?.maximum_duty?.canonical ?? duty;
    // Another check reports injectors that are too small without any loop.
    const most = extremeOver(subject.derivation.points, dutyAtFullEnrichment)?.point;
    const isEnough = !most || (most.number(injectorDuty) ?? Infinity) <= limitOf(most.configuration);
    yield* beyondWithLoops(subject, proof, {
      ...{ value: dutyAtFullEnrichment, side: 'high', limitOf, verb: 'needs' },
      ...{ counts: () => isEnough, unless: injectorDuty },
      ...{ way: 'enrichment_authority', base: 'highest_duty_with_loops' },
      label: 'injector duty with the loops at full enrichment',
      message: (reached, where, limit) =>
        `With the loops at full enrichment, the injectors need ${percentBeside(reached, limit)} duty ${where}, above the maximum of ${percent(limit)}`,
    });
    // Another check reports a mixture that is outside the limits without any loop.
    const counts = (point: OperatingPoint) => {
      const lambda = point.number(targetLambda);
      return lambda !== undefined && lambda >= richest && lambda <= leanest;
    };
    yield* beyondWithLoops(subject, proof, {
      ...{ value: lambdaAtFullEnrichment, side: 'low', limitOf: () => richest, verb: 'gives' },
      ...{ counts, unless: targetLambda },
      ...{ way: 'enrichment_authority', base: 'richest_with_loops' },
      label: 'lambda with the loops at full enrichment',
      message: (reached, where, limit) =>
        `With the loops at full enrichment, lambda is ${numberBeside(reached, limit)} ${where}, richer than the limit of ${formatNumber(limit)}`,
    });
    // From the densest charge down, so that the most dangerous state is the one reported.
    const usual = usualMixture(subject).leanest;
    const dense = usual.breakpoints.filter((pressure) => pressure >= DENSE);
    const parts = [...dense.reverse(), 0].map((from) => ({
      from,
      limit: from === 0 ? leanest : Math.min(leanest, usual.at(from) * (1 + allowance)),
    }));
    for (const { from, limit } of parts) {
      let isFound = false;
      for (const found of beyondWithLoops(subject, proof, {
        ...{ value: lambdaAtFullLeaning, side: 'high', limitOf: () => limit, verb: 'gives' },
        ...(from > 0 && { regionsOf: () => [{ lowestPressure: from }] }),
        counts: (point) => (point.number(targetLambda) ?? Number.POSITIVE_INFINITY) <= limit,
        unless: targetLambda,
        ...{ way: 'leaning_authority', base: 'leanest_with_loops' },
        label: 'lambda with the loops at full leaning',
        message: (reached, where) =>
          `With the loops at full leaning, lambda is ${numberBeside(reached, limit)} ${where}, leaner than the limit of ${formatNumber(limit, 3)}${from > 0 ? ` that applies from ${formatQuantity(from, 'kPa abs')} up` : ''}`,
      })) {
        isFound ||= found !== undefined;
        yield found;
      }
      if (isFound) return;
    }
  },
});

/** Manifold pressure (Pa) from which the charge is dense enough for the curve of the usual mixture to matter. */
const DENSE = 105_000;

export const exhaustAuthorityShort: Check = engineCheck({
  id: 'exhaust-authority-short',
  severity: 'information',
  title: 'Too little enrichment for exhaust limit',
  page: {
    catches:
      'An exhaust temperature loop whose enrichment authority, at the usual cooling per 1 % of added fuel, cannot bring the exhaust from the limit down to the target.',
    why: 'If the loop reaches its full authority between target and limit, the temperature continues to rise to the limit, where only reducing power helps.',
    example:
      'closed_loop:\n  exhaust_gas_temperature: { target: 780 °C, limit: 900 °C, enrichment_authority: 8 % }',
    remedy:
      'Measure the cooling on this engine, write it under `checks:`, and set the authority accordingly.',
    basis: 'Common practice, no source. The cooling differs from engine to engine.',
  },
  settings: {
    cooling: {
      kind: 'temperature difference',
      value: '6 K',
      meaning: 'Cooling of the exhaust per 1 % of added fuel, rich mixture.',
    },
  },
  *find({ installation: { engines } }, { cooling }) {
    for (const { configuration } of engines) {
      const target = highestExhaustTarget(configuration);
      const { limit, enrichment_authority: authority } =
        configuration.closed_loop?.exhaust_gas_temperature ?? {};
      if (!target || !limit || !authority) continue;
      const needed = limit.canonical - target.canonical;
      const reach = authority.canonical * 100 * cooling;
      if (!passes(needed, reach)) continue;
      yield {
        at: authority.node,
        message: `${authority.node.text} more fuel cools the exhaust by only about ${formatQuantity(reach, 'K', 2)}, but the target is ${formatQuantity(needed, 'K')} below the limit.`,
        related: [
          { at: target.node, message: 'The target.' },
          { at: limit.node, message: 'The limit.' },
        ],
      };
    }
  },
});
