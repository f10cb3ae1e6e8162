import { byPin } from '../configuration/pin-plan.ts';
import type { Box, Graph, Row } from './graph.ts';
import type { Columns, Item } from './layers.ts';

/** Heights in rows. */
const TITLE = 1;
const GAP = 1;

/** Where everything is, in rows from the top. */
export interface Arrangement {
  /** The top of each box. */
  readonly topOf: ReadonlyMap<Box, number>;
  readonly rowOf: ReadonlyMap<Row, number>;
  /** The row in which a circuit passes a column. */
  passing(column: number, circuit: string): number;
  /** The number of rows of the drawing. */
  readonly height: number;
}

/**
 * Decides the order in each column and how far down each item is. Connectors of the controller stay in order; everything else follows
 * the circuits, by the mean row of its neighbours, a few times in both directions.
 */
export function arrange({ edges }: Graph, { columns, columnOf }: Columns): Arrangement {
  const topOf = new Map<Item, number>();
  const itemOf = new Map(
    columns.flatMap((items) => items.flatMap((item) => (item.box ? [[item.box, item]] : []))) as [
      Box,
      Item,
    ][],
  );
  const passOf = new Map(
    columns.flatMap((items, i) =>
      items.flatMap((item) => (item.box ? [] : [[`${i} ${item.circuit}`, item]])),
    ) as [string, Item][],
  );
  const rowAt = (place: Place): number => (topOf.get(place.item) ?? 0) + place.offset();
  const neighbours = neighboursOf(edges, columnOf, itemOf, passOf);
  const order: Item[][] = columns.map((items) => [...items]);
  order[0]!.sort((a, b) => byKind(a) - byKind(b) || byPin(a.box?.title ?? '', b.box?.title ?? ''));
  for (const items of order) stack(items, topOf);

  const meanOf = (item: Item, side: -1 | 1 | 0): number | undefined => {
    const own = (neighbours.get(item) ?? []).filter((one) => side === 0 || one.side === side);
    if (own.length === 0) return undefined;
    return own.reduce((sum, { other, own: at }) => sum + rowAt(other) - at.offset(), 0) / own.length;
  };
  const sort = (column: number, side: -1 | 1) => {
    const items = order[column]!;
    for (const { box } of items) if (box?.kind === 'splice') sortRows(box, rowMeans(box, side));
    const means = new Map(
      items.map((item) => [item, meanOf(item, side) ?? meanOf(item, 0) ?? topOf.get(item)!]),
    );
    items.sort((a, b) => means.get(a)! - means.get(b)!);
    stack(items, topOf);
  };
  const rowMeans = (box: Box, side: -1 | 1) => {
    const own = neighbours.get(itemOf.get(box)!) ?? [];
    return (row: Row): number => {
      const there = own.filter((one) => one.own.row === row && one.side === side);
      const all = there.length > 0 ? there : own.filter((one) => one.own.row === row);
      return all.reduce((sum, { other }) => sum + rowAt(other), 0) / Math.max(1, all.length);
    };
  };
  for (let round = 0; round < 3; round++) {
    for (let column = 1; column < order.length; column++) sort(column, -1);
    for (let column = order.length - 2; column > 0; column--) sort(column, 1);
  }
  for (let column = 1; column < order.length; column++) sort(column, -1);

  const height = Math.max(0, ...order.map((items) => items.reduce((sum, item) => sum + heightOf(item), 0)));
  for (let round = 0; round < 2; round++) {
    for (const items of order) settle(items, topOf, (item) => meanOf(item, 0), height);
  }
  const rowOf = new Map<Row, number>();
  for (const [box, item] of itemOf)
    for (const [i, row] of box.rows.entries()) rowOf.set(row, topOf.get(item)! + TITLE + i);
  return {
    topOf: new Map([...itemOf].map(([box, item]) => [box, topOf.get(item)!])),
    rowOf,
    passing: (column, circuit) => topOf.get(passOf.get(`${column} ${circuit}`)!) ?? 0,
    height,
  };
}

const byKind = ({ box }: Item): number => (box?.kind === 'aircraft' ? 1 : 0);

const heightOf = ({ box }: Item): number => (box ? TITLE + box.rows.length + GAP : 1);

function stack(items: readonly Item[], topOf: Map<Item, number>): void {
  let top = 0;
  for (const item of items) {
    topOf.set(item, top);
    top += heightOf(item);
  }
}

const sortRows = (box: Box, meanOf: (row: Row) => number): void => {
  const means = new Map(box.rows.map((row) => [row, meanOf(row)]));
  box.rows.sort((a, b) => means.get(a)! - means.get(b)!);
};

/** A row of an item. */
interface Place {
  readonly item: Item;
  readonly row: Row | undefined;
  /** Rows below the top of the item; it changes with the order of the rows. */
  offset(): number;
}

interface Neighbour {
  readonly own: Place;
  readonly other: Place;
  /** Whether the other is in an earlier, a later or the same column. */
  readonly side: -1 | 0 | 1;
}

function neighboursOf(
  edges: Graph['edges'],
  columnOf: ReadonlyMap<Box, number>,
  itemOf: ReadonlyMap<Box, Item>,
  passOf: ReadonlyMap<string, Item>,
): Map<Item, Neighbour[]> {
  const found = new Map<Item, Neighbour[]>();
  const add = (own: Place, other: Place, side: -1 | 0 | 1) => {
    const list = found.get(own.item) ?? [];
    list.push({ own, other, side });
    found.set(own.item, list);
  };
  for (const { circuit, from, to } of edges) {
    const [a, b] = [columnOf.get(from.box)!, columnOf.get(to.box)!];
    const [first, last] = a <= b ? [from, to] : [to, from];
    const way: Place[] = [placeIn(itemOf, first.box, first.row)];
    for (let column = Math.min(a, b) + 1; column < Math.max(a, b); column++) {
      const item = passOf.get(`${column} ${circuit}`)!;
      way.push({ item, row: undefined, offset: () => 0 });
    }
    way.push(placeIn(itemOf, last.box, last.row));
    for (const [i, place] of way.slice(1).entries()) {
      add(place, way[i]!, a === b ? 0 : -1);
      add(way[i]!, place, a === b ? 0 : 1);
    }
  }
  return found;
}

const placeIn = (itemOf: ReadonlyMap<Box, Item>, box: Box, row: Row): Place => ({
  item: itemOf.get(box)!,
  row,
  offset: () => TITLE + box.rows.indexOf(row),
});

/**
 * Moves the items of a column, in their order, as near as possible to where their neighbours are: least squares with the order as
 * a constraint, by pooling neighbours that would overlap.
 */
function settle(
  items: readonly Item[],
  topOf: Map<Item, number>,
  wished: (item: Item) => number | undefined,
  height: number,
): void {
  const pools: { sum: number; count: number; size: number }[] = [];
  const before: number[] = [];
  let total = 0;
  for (const item of items) {
    before.push(total);
    pools.push({ sum: (wished(item) ?? topOf.get(item)!) - total, count: 1, size: 1 });
    total += heightOf(item);
    for (
      let last = pools.at(-1)!, above = pools.at(-2);
      above && mean(above) > mean(last);
      above = pools.at(-2)
    ) {
      pools.splice(-2, 2, {
        sum: above.sum + last.sum,
        count: above.count + last.count,
        size: above.size + last.size,
      });
      last = pools.at(-1)!;
    }
  }
  const free = Math.max(0, height - total);
  const shifts = pools.flatMap((pool) =>
    Array<number>(pool.size).fill(Math.round(Math.min(free, Math.max(0, mean(pool))))),
  );
  for (const [i, item] of items.entries()) topOf.set(item, before[i]! + shifts[i]!);
}

const mean = ({ sum, count }: { readonly sum: number; readonly count: number }): number => sum / count;
