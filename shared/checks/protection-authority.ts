import { injectorDuty, targetLambda } from '../derived/fuel.ts';
import {
  dutyAtFullEnrichment,
  highestExhaustTarget,
  lambdaAtFullEnrichment,
  lambdaAtFullLeaning,
} from '../derived/loops.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { extremeOver, type ValueAtPoint } from '../derived/over-points.ts';
import { valueText } from '../derived/value.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, percent } from './words.ts';

/** The key that states the authority. */
function authorityNode(
  { configuration }: OperatingPoint,
  exhaust: 'enrichment_authority' | 'leaning_authority',
): Node | undefined {
  const loops = configuration.closed_loop;
  return loops?.exhaust_gas_temperature?.[exhaust]?.node ?? loops?.lambda?.authority?.node;
}

export const loopAuthorityExceedsLimit: Check = engineCheck({
  id: 'loop-authority-exceeds-limit',
  severity: 'warning',
  title: 'Loop authority too large',
  page: {
    catches:
      'An operating point at which the lambda and exhaust temperature loops, both at full authority, need more than the maximum injector duty, or make the mixture too rich or too lean to run on.',
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
  },
  *find({ derivation: { points } }, { duty, richest, leanest }): Generator<Found> {
    const about = (
      { point, value }: ValueAtPoint,
      way: 'enrichment_authority' | 'leaning_authority',
      message: string,
    ): Found => ({
      at: authorityNode(point, way) ?? point.node,
      message,
      related: [{ at: point.node, message: `${value.label}: ${value.substituted}` }],
    });
    const most = extremeOver(points, dutyAtFullEnrichment);
    const limit = most?.point.configuration.fuel?.injectors?.maximum_duty?.canonical ?? duty;
    const without = most?.point.get(injectorDuty)?.canonical ?? Number.POSITIVE_INFINITY;
    // Another check reports injectors that are too small without any loop.
    if (most && passes(most.value.canonical, limit) && without <= limit) {
      yield about(
        most,
        'enrichment_authority',
        `With the loops at full enrichment, the injectors need ${valueText(most.value)} duty at ${quote(most.point.name)}, above the maximum of ${percent(limit)}.`,
      );
    }
    // Another check reports a mixture that is outside the limits without any loop.
    const burns = (point: OperatingPoint) => {
      const lambda = point.get(targetLambda)?.canonical;
      return lambda !== undefined && lambda >= richest && lambda <= leanest;
    };
    const rich = extremeOver(points, lambdaAtFullEnrichment, -1, burns);
    if (rich && passes(richest, rich.value.canonical)) {
      yield about(
        rich,
        'enrichment_authority',
        `With the loops at full enrichment, lambda is ${valueText(rich.value)} at ${quote(rich.point.name)}, richer than the limit of ${formatNumber(richest)}.`,
      );
    }
    const lean = extremeOver(points, lambdaAtFullLeaning, 1, burns);
    if (lean && passes(lean.value.canonical, leanest)) {
      yield about(
        lean,
        'leaning_authority',
        `With the loops at full leaning, lambda is ${valueText(lean.value)} at ${quote(lean.point.name)}, leaner than the limit of ${formatNumber(leanest)}.`,
      );
    }
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
        message: `${authority.node.text} more fuel cools the exhaust by only about ${formatQuantity(reach, 'K', 2)}; from the limit down to the target takes ${formatQuantity(needed, 'K')}.`,
        related: [
          { at: target.node, message: 'The target.' },
          { at: limit.node, message: 'The limit.' },
        ],
      };
    }
  },
});
