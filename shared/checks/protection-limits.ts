import type { ProtectionLimit } from '../../generated/configuration.ts';
import { nodeOf, nodesOf } from '../configuration/values.ts';
import {
  differenceKind,
  fitsWatched,
  isBeyond,
  type Limit,
  limitsOfAll,
  thresholdPairs,
  thresholdsOf,
  unitOf,
} from '../derived/protection.ts';
import { minimumOf } from '../extremes.ts';
import { differenceUnit, measuredQuantity } from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import { sourceText } from '../source/tree.ts';
import { type Check, engineCheck, type Fix } from './check.ts';
import { quote } from './form-words.ts';
import { atPlace, inUnitOf } from './protection-words.ts';
import { passes } from './threshold.ts';
import { formatQuantity, inOtherUnit } from './words.ts';

/** Swaps the texts of caution and warning, if each is on one line. */
function swap({ name, caution, warning }: Limit): Fix[] {
  const [one, other] = [sourceText(caution!.node), sourceText(warning!.node)];
  if (one.includes('\n') || other.includes('\n')) return [];
  const edits = [replace(caution!.node, other), replace(warning!.node, one)];
  return [{ title: `Swap caution and warning of ${quote(name)}`, safety: 'choice', edits }];
}

export const cautionAfterWarning: Check = engineCheck({
  id: 'caution-after-warning',
  severity: 'error',
  title: 'Caution not before warning',
  page: {
    catches:
      'A caution that comes on together with the warning or after it. Curves are compared at every breakpoint.',
    why: 'The caution gives the pilot time to act before the warning. A caution after the warning is useless, and usually the two numbers are swapped.',
    example:
      'protection:\n  overspeed:\n    watches: engine_speed\n    above: { caution: 5850 rpm, warning: 5600 rpm }',
    remedy:
      'Set the caution to be reached first: lower than the warning under `above`, higher under `below`.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation }) {
    for (const limit of limitsOfAll(installation)) {
      const pairs = thresholdPairs(limit);
      const wrong = pairs.filter(({ caution, warning }) => !isBeyond(limit.direction, warning, caution));
      const [first] = wrong;
      const { caution, warning, direction } = limit;
      if (!first || !caution || !warning) continue;
      const together = first.caution === first.warning;
      const everywhere =
        wrong.length === pairs.length && wrong.every((pair) => pair.caution !== pair.warning);
      yield {
        at: caution.node,
        message: `The caution of ${quote(limit.name)} comes on ${direction} ${inUnitOf(caution, first.caution)}${atPlace(limit, first.x)}, ${together ? 'together with' : 'after'} the warning ${direction} ${inUnitOf(warning, first.warning)}${inOtherUnit(first.warning, unitOf(warning), unitOf(caution))}.`,
        related: [{ at: warning.node, message: 'The warning.' }],
        fixes: everywhere ? swap(limit) : [],
      };
    }
  },
});

/** The smallest distance from caution to warning; undefined where they cannot be compared or are in the wrong order. */
function gapOf(limit: Limit): number | undefined {
  const pairs = thresholdPairs(limit);
  const isOrdered = pairs.every(({ caution, warning }) => isBeyond(limit.direction, warning, caution));
  return pairs.length > 0 && isOrdered
    ? minimumOf(pairs.map(({ caution, warning }) => Math.abs(warning - caution)))
    : undefined;
}

/** Inserts half the gap as the hysteresis after the last key of the limit. */
function halfTheGap({ section, caution }: Limit, gap: number | undefined): Fix[] {
  const mapping = nodeOf(section);
  if (!gap || !caution || mapping.type !== 'mapping') return [];
  const half = formatQuantity(gap / 2, differenceUnit(unitOf(caution)), 2);
  const edits = [insertEntry(mapping, 'hysteresis', { line: half }, mapping.entries.at(-1))];
  return [{ title: `Add \`hysteresis: ${half}\` (half the gap to the warning)`, safety: 'choice', edits }];
}

export const hysteresisMissing: Check = engineCheck({
  id: 'hysteresis-missing',
  severity: 'warning',
  title: 'Limit without hysteresis',
  page: {
    catches:
      'A limit with a caution or a warning and without `hysteresis`, or with a hysteresis of zero or less.',
    why: 'A value close to the limit crosses it many times per second. The light flickers, and a cut that comes and goes shakes the engine.',
    example: 'protection:\n  overspeed: { watches: engine_speed, above: { warning: 5850 rpm } }',
    remedy:
      'State how far the value must come back before the limit clears: more than its noise, less than the gap between caution and warning.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    for (const limit of limitsOfAll(installation)) {
      if (thresholdsOf(limit).length === 0) continue;
      const { hysteresis } = limit.section;
      if (hysteresis && hysteresis.canonical <= 0) {
        yield {
          at: hysteresis.node,
          message: `The hysteresis of ${quote(limit.name)} is ${hysteresis.node.text}, so its light and actions may switch on and off repeatedly while the reading is close to the limit.`,
        };
      }
      if (isWritten(limit.section, 'hysteresis')) continue;
      yield {
        at: nodeOf(limit.section),
        message: `${quote(limit.name)} has no \`hysteresis\`, so its light and actions may switch on and off repeatedly while the reading is close to the limit.`,
        fixes: halfTheGap(limit, gapOf(limit)),
      };
    }
  },
});

/** Whether a key is written in any layer, even if its value cannot be read. */
const isWritten = (section: object, key: string): boolean =>
  nodesOf(section).some((layer) => layer.entry(key) !== undefined);

export const hysteresisLargerThanGap: Check = engineCheck({
  id: 'hysteresis-larger-than-gap',
  severity: 'warning',
  title: 'Hysteresis larger than limit gap',
  page: {
    catches: 'A hysteresis that is not smaller than the smallest distance between caution and warning.',
    why: 'The warning then stays on until the value is back inside the caution, so the pilot never sees the caution alone on the way back.',
    example:
      'protection:\n  overspeed:\n    watches: engine_speed\n    above: { caution: 5700 rpm, warning: 5800 rpm }\n    hysteresis: 150 rpm',
    remedy: 'Make the hysteresis smaller than the gap, or move caution and warning apart.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    for (const limit of limitsOfAll(installation)) {
      const { hysteresis } = limit.section;
      const gap = gapOf(limit);
      const kind = differenceKind(measuredQuantity(limit.watches)?.entry.kind ?? 'any');
      if (!hysteresis || !fitsWatched(kind, hysteresis)) continue;
      if (!gap || !limit.caution || passes(gap, hysteresis.canonical)) continue;
      yield {
        at: hysteresis.node,
        message: `The hysteresis of ${hysteresis.node.text} is not smaller than the ${formatQuantity(gap, differenceUnit(unitOf(limit.caution)))} between caution and warning.`,
        related: thresholdsOf(limit).map(({ level, threshold }) => ({
          at: threshold.node,
          message: `The ${level}.`,
        })),
      };
    }
  },
});

export const limitWithoutAction: Check = engineCheck({
  id: 'limit-without-action',
  severity: 'warning',
  title: 'Limit without effect',
  page: {
    catches: 'A limit without `above` or `below`, without a caution or warning there, or without an action.',
    why: 'In the file the limit looks like protection, but it protects nothing.',
    example:
      'protection:\n  hot: { watches: coolant_temperature, above: { warning: 115 °C }, hysteresis: 3 K }',
    remedy: 'State where the limit comes on and its action, or remove it.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      for (const [name, section] of Object.entries(configuration.protection ?? {})) {
        if (!section) continue;
        const lacking = lackOf(section);
        if (lacking)
          yield { at: nodeOf(section), message: `${quote(name)} has no ${lacking}, so it has no effect.` };
      }
    }
  },
});

function lackOf(section: ProtectionLimit): string | undefined {
  const sides = [section.above, section.below].filter((side) => side !== undefined);
  if (sides.length === 0 && !isWritten(section, 'above') && !isWritten(section, 'below'))
    return '`above` or `below`';
  const isEmpty = (side: object) => !isWritten(side, 'caution') && !isWritten(side, 'warning');
  if (sides.length > 0 && sides.every(isEmpty)) return 'caution or warning';
  if (section.action ? section.action.node.items.length === 0 : !isWritten(section, 'action'))
    return '`action`';
  return undefined;
}
