import { injectorDuty, targetLambda } from '../derived/fuel.ts';
import { dutyAtFullEnrichment, lambdaAtFullEnrichment, lambdaAtFullLeaning } from '../derived/loops.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { extremeOver, type ValueAtPoint } from '../derived/over-points.ts';
import { valueText } from '../derived/value.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, percent } from './words.ts';

/** The authority that a finding about too much of it should stand at. */
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
  title: 'Loops may go further than the engine can',
  page: {
    catches:
      'An operating point at which the lambda and exhaust temperature loops together, at their full authority, ask for more duty than the injectors may have, or make a mixture richer or leaner than an engine runs on.',
    why: 'The authority is what a failed sensor or a wrong map can make of the mixture. Enrichment that the injectors cannot deliver does not cool the exhaust; leaning without bounds burns valves.',
    example:
      'closed_loop:\n  exhaust_gas_temperature: { target: 820 °C, enrichment_authority: 30 % }   # the injectors stand at 80 % already',
    remedy:
      'Lower the authority, set a `lean_limit`, or give the injectors the reserve that the loop counts on.',
    basis:
      'Duty: the file’s own `maximum_duty`, else common practice, no source. Mixtures that burn reliably, lambda 0.65 to 1.3: common practice, no source.',
  },
  settings: {
    duty: {
      kind: 'ratio',
      value: '85 %',
      meaning: 'The highest duty, where the file states no `maximum_duty`.',
    },
    richest: { kind: 'number', value: '0.65', meaning: 'The richest lambda that loops may make.' },
    leanest: { kind: 'number', value: '1.3', meaning: 'The leanest lambda that loops may make.' },
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
    // Injectors that are too small without any loop have a finding of their own.
    if (most && passes(most.value.canonical, limit) && without <= limit) {
      yield about(
        most,
        'enrichment_authority',
        `With the loops at full enrichment the injectors need ${valueText(most.value)} duty at ${most.point.name}, of ${percent(limit)} at most.`,
      );
    }
    // A mixture that is beyond the limits without any loop has a finding of its own.
    const burns = (point: OperatingPoint) => {
      const lambda = point.get(targetLambda)?.canonical;
      return lambda !== undefined && lambda >= richest && lambda <= leanest;
    };
    const rich = extremeOver(points, lambdaAtFullEnrichment, -1, burns);
    if (rich && passes(richest, rich.value.canonical)) {
      yield about(
        rich,
        'enrichment_authority',
        `With the loops at full enrichment lambda is ${valueText(rich.value)} at ${rich.point.name}, richer than ${formatNumber(richest)}.`,
      );
    }
    const lean = extremeOver(points, lambdaAtFullLeaning, 1, burns);
    if (lean && passes(lean.value.canonical, leanest)) {
      yield about(
        lean,
        'leaning_authority',
        `With the loops at full leaning lambda is ${valueText(lean.value)} at ${lean.point.name}, leaner than ${formatNumber(leanest)}.`,
      );
    }
  },
});

export const exhaustAuthorityShort: Check = engineCheck({
  id: 'exhaust-authority-short',
  severity: 'information',
  title: 'Enrichment may not pull the exhaust down from its limit',
  page: {
    catches:
      'An exhaust temperature loop whose enrichment, at the usual cooling a per cent of fuel, cannot bring the exhaust from the limit down to the target.',
    why: 'A loop that runs out of authority between target and limit lets the temperature go on to the limit, where only less power helps.',
    example:
      'closed_loop:\n  exhaust_gas_temperature: { target: 780 °C, limit: 900 °C, enrichment_authority: 8 % }',
    remedy:
      'Take the cooling from a run of this engine, write it under `checks:`, and give the loop the authority that follows.',
    basis: 'Common practice, no source: the cooling differs from engine to engine.',
  },
  settings: {
    cooling: {
      kind: 'temperature difference',
      value: '6 K',
      meaning: 'How much one per cent more fuel cools the exhaust of a rich mixture.',
    },
  },
  *find({ installation: { engines } }, { cooling }) {
    for (const { configuration } of engines) {
      const {
        target,
        limit,
        enrichment_authority: authority,
      } = configuration.closed_loop?.exhaust_gas_temperature ?? {};
      if (!target || !limit || !authority) continue;
      const needed = limit.canonical - target.canonical;
      const reach = authority.canonical * 100 * cooling;
      if (!passes(needed, reach)) continue;
      yield {
        at: authority.node,
        message: `${authority.node.text} more fuel cools the exhaust by about ${formatQuantity(reach, 'K', 2)}; from the limit to the target it is ${formatQuantity(needed, 'K')}.`,
        related: [
          { at: target.node, message: 'The target.' },
          { at: limit.node, message: 'The limit.' },
        ],
      };
    }
  },
});
