import type { ProtectionLimit } from '../../generated/configuration.ts';
import { nodeOf, nodesOf } from '../configuration/values.ts';
import {
  differenceKind,
  fitsWatched,
  isBeyond,
  type Limit,
  limitsOf,
  thresholdPairs,
  thresholdsOf,
  unitOf,
} from '../derived/protection.ts';
import { minimumOf } from '../extremes.ts';
import { differenceUnit, measuredQuantity } from '../quantity/index.ts';
import { insertEntry, replace } from '../source/edit.ts';
import { sourceText } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Fix } from './check.ts';
import { atPlace, inUnitOf, quantityLabel } from './protection-words.ts';
import { passes } from './threshold.ts';
import { formatQuantity } from './words.ts';

/** Every limit, as the file and each of its map sets make it. */
const limits = ({ installation: { engines } }: EngineSubject): Limit[] =>
  engines.flatMap(({ configuration }) => limitsOf(configuration));

/** Exchanges the texts of caution and warning, where each stands on one line. */
function swap({ name, caution, warning }: Limit): Fix[] {
  const [one, other] = [sourceText(caution!.node), sourceText(warning!.node)];
  if (one.includes('\n') || other.includes('\n')) return [];
  const edits = [replace(caution!.node, other), replace(warning!.node, one)];
  return [{ title: `Swap caution and warning of ${name}`, safety: 'choice', edits }];
}

export const cautionAfterWarning: Check = engineCheck({
  id: 'caution-after-warning',
  severity: 'error',
  title: 'Caution does not come before the warning',
  page: {
    catches:
      'A caution that comes together with the warning or after it, at any place of the axis that their curves run over.',
    why: 'The caution is there to leave the pilot time to act. One that comes after the warning tells nothing, and mostly shows that two numbers were exchanged.',
    example:
      'protection:\n  overspeed:\n    watches: engine_speed\n    above: { caution: 5850 rpm, warning: 5600 rpm }',
    remedy:
      'Let the caution come first in the direction of danger: lower under `above`, higher under `below`.',
    basis: 'The meaning of the keys.',
  },
  *find(subject) {
    for (const limit of limits(subject)) {
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
        message: `${quantityLabel(limit.watches)} gives the caution ${direction} ${inUnitOf(caution, first.caution)}${atPlace(limit, first.x)}, ${together ? 'together with' : 'after'} the warning ${direction} ${inUnitOf(warning, first.warning)}.`,
        related: [{ at: warning.node, message: 'The warning.' }],
        fixes: everywhere ? swap(limit) : [],
      };
    }
  },
});

/**
 * The least distance from caution to warning; undefined where they can't be compared or stand in the wrong
 * order.
 */
function gapOf(limit: Limit): number | undefined {
  const pairs = thresholdPairs(limit);
  const isOrdered = pairs.every(({ caution, warning }) => isBeyond(limit.direction, warning, caution));
  return pairs.length > 0 && isOrdered
    ? minimumOf(pairs.map(({ caution, warning }) => Math.abs(warning - caution)))
    : undefined;
}

/** Writes half the gap as the hysteresis, behind the last thing that the limit says. */
function halfTheGap({ section, caution }: Limit, gap: number | undefined): Fix[] {
  const mapping = nodeOf(section);
  if (!gap || !caution || mapping.type !== 'mapping') return [];
  const half = formatQuantity(gap / 2, differenceUnit(unitOf(caution)), 2);
  const edits = [insertEntry(mapping, 'hysteresis', { line: half }, mapping.entries.at(-1))];
  return [{ title: `Write half the gap to the warning, ${half}`, safety: 'choice', edits }];
}

export const hysteresisMissing: Check = engineCheck({
  id: 'hysteresis-missing',
  severity: 'warning',
  title: 'Limit without hysteresis',
  page: {
    catches: 'A limit with a caution or a warning and no `hysteresis`, or one of nothing or less.',
    why: 'A value that stands at the limit passes it many times a second. The light flickers, and a protective cut that comes and goes shakes the engine.',
    example: 'protection:\n  overspeed: { watches: engine_speed, above: { warning: 5850 rpm } }',
    remedy:
      'Say how far the value must come back before the limit clears: more than its noise, less than the gap between caution and warning.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    for (const limit of limits(subject)) {
      if (thresholdsOf(limit).length === 0) continue;
      const { hysteresis } = limit.section;
      if (hysteresis && hysteresis.canonical <= 0) {
        yield {
          at: hysteresis.node,
          message: `The hysteresis of ${limit.name} is ${hysteresis.node.text}: a value at the limit makes it come and go.`,
        };
      }
      if (isWritten(limit.section, 'hysteresis')) continue;
      yield {
        at: nodeOf(limit.section),
        message: `${limit.name} has no hysteresis: a value at the limit makes it come and go.`,
        fixes: halfTheGap(limit, gapOf(limit)),
      };
    }
  },
});

/** Whether a key is written at all, in any layer, even if what it holds can't be read. */
const isWritten = (section: object, key: string): boolean =>
  nodesOf(section).some((layer) => layer.entry(key) !== undefined);

export const hysteresisLargerThanGap: Check = engineCheck({
  id: 'hysteresis-larger-than-gap',
  severity: 'warning',
  title: 'Hysteresis reaches over the gap from caution to warning',
  page: {
    catches: 'A hysteresis that is as large as the least distance between caution and warning, or larger.',
    why: 'A warning that clears only where the caution begins keeps the pilot in the warning while the engine is back in order, and the caution is never seen by itself on the way back.',
    example:
      'protection:\n  overspeed:\n    watches: engine_speed\n    above: { caution: 5700 rpm, warning: 5800 rpm }\n    hysteresis: 150 rpm',
    remedy: 'Make the hysteresis smaller than the gap, or move caution and warning apart.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    for (const limit of limits(subject)) {
      const { hysteresis } = limit.section;
      const gap = gapOf(limit);
      const kind = differenceKind(measuredQuantity(limit.watches)?.entry.kind ?? 'any');
      if (!hysteresis || !fitsWatched(kind, hysteresis)) continue;
      if (!gap || !limit.caution || passes(gap, hysteresis.canonical)) continue;
      yield {
        at: hysteresis.node,
        message: `The hysteresis of ${hysteresis.node.text} is not less than the ${formatQuantity(gap, differenceUnit(unitOf(limit.caution)))} from caution to warning.`,
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
  title: 'Limit that does nothing',
  page: {
    catches:
      'A limit without `above` or `below`, one that sets neither caution nor warning there, and one without any action.',
    why: 'It stands in the file like a protection and protects nothing.',
    example:
      'protection:\n  hot: { watches: coolant_temperature, above: { warning: 115 °C }, hysteresis: 3 K }',
    remedy: 'Say where it comes on and what is done about it, or take it out.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      for (const [name, section] of Object.entries(configuration.protection ?? {})) {
        if (!section) continue;
        const lacking = lackOf(section);
        if (lacking) yield { at: nodeOf(section), message: `${name} ${lacking}: nothing comes of it.` };
      }
    }
  },
});

function lackOf(section: ProtectionLimit): string | undefined {
  const sides = [section.above, section.below].filter((side) => side !== undefined);
  if (sides.length === 0 && !isWritten(section, 'above') && !isWritten(section, 'below'))
    return 'says neither above nor below what it comes on';
  const isEmpty = (side: object) => !isWritten(side, 'caution') && !isWritten(side, 'warning');
  if (sides.length > 0 && sides.every(isEmpty)) return 'sets neither a caution nor a warning';
  if (section.action ? section.action.node.items.length === 0 : !isWritten(section, 'action'))
    return 'has no action';
  return undefined;
}
