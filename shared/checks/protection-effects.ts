import { differingIn } from '../configuration/installation.ts';
import {
  type Limit,
  limitsOf,
  type Threshold,
  type ThresholdPair,
  thresholdPairs,
  thresholdsOf,
} from '../derived/protection.ts';
import { groupedBy } from '../grouped-by.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { atPlace, inUnitOf } from './protection-words.ts';

interface Bound {
  readonly limit: Limit;
  readonly level: string;
  readonly threshold: Threshold;
}

/** The thresholds of a side. */
const bounds = (limits: readonly Limit[], direction: Limit['direction']): Bound[] =>
  limits
    .filter((limit) => limit.direction === direction)
    .flatMap((limit) => thresholdsOf(limit).map((one) => ({ limit, ...one })));

/** Both bounds as if they were one limit, and the first place where they leave no room between them. */
function meeting(lower: Bound, upper: Bound): { both: Limit; place: ThresholdPair } | undefined {
  const [low, high] = [lower.threshold, upper.threshold];
  // Of single values, thousands may have to be held against each other.
  if (low.type === 'quantity' && high.type === 'quantity' && low.canonical < high.canonical) return undefined;
  const both = { ...upper.limit, caution: low, warning: high };
  const place = thresholdPairs(both).find(({ caution, warning }) => caution >= warning);
  return place && { both, place };
}

export const limitsLeaveNoRoom: Check = engineCheck({
  id: 'limits-leave-no-room',
  severity: 'error',
  title: 'No value lies inside the limits',
  page: {
    catches:
      'Limits from above and from below on one quantity, of which the upper one does not lie above the lower one, at any place of the axis that their curves run over.',
    why: 'Whatever the engine does, one of the two has tripped. A light that is always on is one that nobody looks at, and a cut that always acts is no engine.',
    example:
      'protection:\n  oil_temperature: { watches: oil_temperature, above: { caution: 110 °C }, below: { caution: 120 °C }, ... }',
    remedy: 'Correct the one that is a slip.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of differingIn(engines, 'protection')) {
      const limits = limitsOf(configuration);
      const lower = groupedBy(bounds(limits, 'below'), ({ limit }) => limit.watches);
      for (const upper of bounds(limits, 'above')) {
        const met = lower.get(upper.limit.watches)?.find((one) => meeting(one, upper));
        const where = met && meeting(met, upper);
        if (!where) continue;
        const { both, place } = where;
        const above = `${inUnitOf(upper.threshold, place.warning)}${atPlace(both, place.x)}`;
        yield {
          at: upper.threshold.node,
          message: `The ${upper.level} of ${upper.limit.name} is given above ${above} and the ${met.level} of ${met.limit.name} below ${inUnitOf(met.threshold, place.caution)}: one of them always is.`,
          related: [{ at: met.threshold.node, message: 'The limit from below.' }],
        };
      }
    }
  },
});

/** What a cut brings back by itself: without power, an engine turns slower and makes no boost. */
const ENDED_BY_CUT: ReadonlySet<string> = new Set(['engine_speed', 'manifold_pressure']);

const CUTS: readonly string[] = ['fuel-cut', 'ignition-cut'];

export const limitStopsEngine: Check = engineCheck({
  id: 'limit-stops-engine',
  severity: 'warning',
  title: 'A limit that stops the engine',
  page: {
    catches:
      'A limit that cuts fuel or ignition on anything but too much speed or manifold pressure, which a cut brings back by itself.',
    why: 'An engine without oil pressure is lost in a minute, and a flight without an engine at once. Whether to run it on is for the pilot to decide, who knows where there is a field; a broken wire must not decide it.',
    example:
      'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, action: [light, fuel-cut] }',
    remedy:
      'Light the light, reduce boost or limp; accept the finding with the reason where the engine is to stop by itself.',
    basis: 'Common practice in aviation, no source.',
  },
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of engines) {
      for (const { name, watches, direction, section } of limitsOf(configuration)) {
        const quantity = measuredQuantity(watches)?.entry.name;
        if (!quantity || (direction === 'above' && ENDED_BY_CUT.has(quantity))) continue;
        const cut = section.action?.items.find(({ text }) => CUTS.includes(text));
        if (!cut) continue;
        yield {
          at: cut.node,
          message: `${name} has the action ${cut.text}: it stops the engine, in flight too, and a false reading of ${watches} does so as well.`,
        };
      }
    }
  },
});
