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
import { quote } from './form-words.ts';
import { atPlace, inUnitOf } from './protection-words.ts';

interface Bound {
  readonly limit: Limit;
  readonly level: string;
  readonly threshold: Threshold;
}

/** The thresholds in one direction. */
const bounds = (limits: readonly Limit[], direction: Limit['direction']): Bound[] =>
  limits
    .filter((limit) => limit.direction === direction)
    .flatMap((limit) => thresholdsOf(limit).map((one) => ({ limit, ...one })));

/** Both thresholds as if they were one limit, and the first place at which the lower one is not below the upper one. */
function meeting(lower: Bound, upper: Bound): { both: Limit; place: ThresholdPair } | undefined {
  const [low, high] = [lower.threshold, upper.threshold];
  // A quick answer for single values, of which there may be thousands to compare.
  if (low.type === 'quantity' && high.type === 'quantity' && low.canonical < high.canonical) return undefined;
  const both = { ...upper.limit, caution: low, warning: high };
  const place = thresholdPairs(both).find(({ caution, warning }) => caution >= warning);
  return place && { both, place };
}

export const limitsLeaveNoRoom: Check = engineCheck({
  id: 'limits-leave-no-room',
  severity: 'error',
  title: 'No value inside the limits',
  page: {
    catches:
      'An upper and a lower limit on one quantity where the upper one is not above the lower one. Curves are compared at every breakpoint.',
    why: 'One of the two limits is always tripped. Nobody heeds a light that is always on, and with a permanent cut the engine does not run.',
    example:
      'protection:\n  oil_temperature: { watches: oil_temperature, above: { caution: 110 °C }, below: { caution: 120 °C }, ... }',
    remedy: 'Correct the limit that is wrong.',
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
          message: `The ${upper.level} of ${quote(upper.limit.name)} comes on above ${above} and the ${met.level} of ${quote(met.limit.name)} below ${inUnitOf(met.threshold, place.caution)}, so one of them is always on.`,
          related: [{ at: met.threshold.node, message: `The ${met.level} of ${quote(met.limit.name)}.` }],
          cause: `no value inside ${upper.limit.name} and ${met.limit.name}`,
        };
      }
    }
  },
});

/** The quantities that a cut itself reduces: without power the engine slows down and loses boost. */
const ENDED_BY_CUT: ReadonlySet<string> = new Set(['engine_speed', 'manifold_pressure']);

const CUTS: readonly string[] = ['fuel-cut', 'ignition-cut'];

export const limitStopsEngine: Check = engineCheck({
  id: 'limit-stops-engine',
  severity: 'warning',
  title: 'Limit stops the engine',
  page: {
    catches:
      'A limit that cuts fuel or ignition for any reason other than excessive speed or manifold pressure, which the cut itself reduces.',
    why: 'An engine without oil pressure fails within a minute, but an aircraft without an engine must land at once. The pilot, not a broken wire, decides whether to keep it running.',
    example:
      'protection:\n  oil_pressure_low: { watches: oil_pressure, below: { warning: 0.7 bar gauge }, action: [light, fuel-cut] }',
    remedy:
      'Use a light, reduced boost or limp mode. If the engine is meant to stop by itself, accept the finding with the reason.',
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
          message: `${quote(name)} has the action ${quote(cut.text)}, which stops the engine in flight, even if the reading of ${quote(watches)} is false.`,
        };
      }
    }
  },
});
