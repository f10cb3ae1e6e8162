import type { StateConfiguration } from '../derived/core-engine.ts';
import { injectorDuty } from '../derived/fuel.ts';
import { highestExhaustTarget } from '../derived/loop-targets.ts';
import { dutyAtFullEnrichment, loopsMoveFuel } from '../derived/loops.ts';
import { extremeOver } from '../derived/over-points.ts';
import type { Pause } from '../proof/search.ts';
import { boundCheck, type Check, engineCheck, type Found } from './check.ts';
import { beyondWithLoops, leanWithLoops, richWithLoops } from './loop-excess.ts';
import { passes } from './threshold.ts';
import { usualMixture } from './usual-mixture.ts';
import { formatQuantity, percent, percentBeside } from './words.ts';

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
        'How much leaner than the curve `leanest` of `lean-at-high-load` the loops may make the mixture under boost, and how much richer than the curve `richest`.',
    },
  },
  *find(subject, proof, { duty, richest, leanest, allowance }): Generator<Found | Pause> {
    const { engines } = subject.installation;
    if (!engines.some(({ configuration }) => loopsMoveFuel(configuration))) return;
    const limitOf = ({ fuel }: StateConfiguration) => fuel?.injectors?.maximum_duty?.canonical ?? duty;
    // Another check reports injectors that are too small without any loop.
    const most = extremeOver(subject.derivation.points, dutyAtFullEnrichment)?.point;
    const isEnough = !most || (most.number(injectorDuty) ?? Infinity) <= limitOf(most.configuration);
    yield* beyondWithLoops(subject, proof, {
      ...{ value: dutyAtFullEnrichment, side: 'high', limitOf, verb: 'needs' },
      ...{ counts: () => isEnough, unless: injectorDuty },
      ...{ way: 'enrichment_authority', name: 'highest_duty_with_loops' },
      label: 'injector duty with the loops at full enrichment',
      message: ({ reached, where, limit }) =>
        `With the loops at full enrichment, the injectors need ${percentBeside(reached, limit)} duty ${where}, above the maximum of ${percent(limit)}`,
    });
    const usual = usualMixture(subject);
    yield* richWithLoops(subject, proof, usual.richest, { richest, allowance });
    yield* leanWithLoops(subject, proof, usual.leanest, { leanest, allowance });
  },
});

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
