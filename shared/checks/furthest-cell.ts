import type { Node } from '../source/tree.ts';

/** A cell of a table that exceeds a limit, and by how much. */
export interface Offender {
  readonly cell: Node;
  readonly excess: number;
}

export interface FurthestCell<One extends Offender> {
  readonly worst: One;
  /** ` (and 3 more cells)`, or an empty text. */
  readonly others: string;
}

/** One cell per table: the one that exceeds its limit most, over all map sets that use the table. */
export function furthestOfEachTable<One extends Offender>(offenders: readonly One[]): FurthestCell<One>[] {
  const tables = new Map<Node | undefined, Map<Node, One>>();
  for (const one of offenders) {
    const table = one.cell.parent?.parent;
    const cells = tables.get(table) ?? new Map<Node, One>();
    tables.set(table, cells);
    if (one.excess > (cells.get(one.cell)?.excess ?? Number.NEGATIVE_INFINITY)) cells.set(one.cell, one);
  }
  return [...tables.values()].map((cells) => {
    const all = [...cells.values()];
    const worst = all.reduce((most, one) => (one.excess > most.excess ? one : most));
    const rest = all.length - 1;
    return { worst, others: rest === 0 ? '' : ` (and ${rest} more ${rest === 1 ? 'cell' : 'cells'})` };
  });
}
