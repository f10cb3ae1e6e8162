import type { Analysis } from '../analysis.ts';
import { orderChanges } from './areas.ts';
import { boundConsequences, canMoveBounds } from './bounds.ts';
import type { Change } from './change.ts';
import type { Consequence } from './consequence.ts';
import { orderConsequences } from './consequence-order.ts';
import { differences } from './difference.ts';
import { canChangeFaults, faultConsequences } from './faults.ts';
import { findingConsequences } from './findings.ts';
import { itemsOf } from './item.ts';
import { readingConsequences } from './readings.ts';
import { pathMapOf } from './renames.ts';
import { valueConsequences } from './values.ts';

/** What changed between two states of a file, and the consequences for the engine. Empty if nothing changed. */
export interface Comparison {
  /** By importance for the engine, not in the order of the text. */
  readonly changes: readonly Change[];
  readonly consequences: readonly Consequence[];
  /** Whether bounds may have moved but were not compared, for lack of time. */
  readonly boundsLeftOut?: boolean;
}

/**
 * Compares two analyses of one kind of file. One of them may be missing if the file was added or removed.
 * Comments, layout, the order of keys and the unit of an equal value make no difference. Never throws.
 *
 * Bounds take seconds. They are compared if something changed that can move them and `hasTime` returns true; without
 * `hasTime`, they are not part of the comparison. Faults take a fraction of a second; without `withFaults`, they are not part of it.
 */
export function compareAnalyses(
  was: Analysis | undefined,
  is: Analysis | undefined,
  hasTime?: () => boolean,
  withFaults = hasTime !== undefined,
): Comparison {
  const before = was && { analysis: was, items: itemsOf(was) };
  const after = is && { analysis: is, items: itemsOf(is) };
  const changes =
    before && after ? differences(before.items, after.items) : whole(before?.items, after?.items);
  const mapped = pathMapOf(changes);
  const values =
    before && after
      ? [...valueConsequences(before, after, mapped), ...readingConsequences(was!, is!, mapped)]
      : [];
  const canMove = hasTime !== undefined && was && is ? canMoveBounds(was, is, changes) : false;
  const isInTime = canMove && hasTime!();
  const faults =
    withFaults && was && is && canChangeFaults(was, is, changes) ? faultConsequences(was, is, mapped) : [];
  const bounds = isInTime ? boundConsequences(was!, is!, mapped) : [];
  return {
    changes: orderChanges(changes),
    consequences: orderConsequences([
      ...findingConsequences(was, is, mapped),
      ...values,
      ...bounds,
      ...faults,
    ]),
    ...(canMove && !isInTime && { boundsLeftOut: true }),
  };
}

/** What changed between two states of a file, in no particular order. */
export const changesBetween = (was: Analysis, is: Analysis): Change[] =>
  differences(itemsOf(was), itemsOf(is));

type Items = ReturnType<typeof itemsOf>;

function whole(was: Items | undefined, is: Items | undefined): Change[] {
  return [
    ...(was ? [{ type: 'removed', was } as const] : []),
    ...(is ? [{ type: 'added', is } as const] : []),
  ];
}
