import type { Arrangement } from './arrange.ts';
import type { Graph, Port } from './graph.ts';
import type { Columns } from './layers.ts';

/** A straight piece of a line. */
export type Stretch = readonly [x1: number, y1: number, x2: number, y2: number];

/** One circuit between two columns: the rows at which it meets them, and the vertical track that connects these. */
export interface Crossing {
  readonly left: readonly number[];
  readonly right: readonly number[];
  readonly track: number;
}

/** The circuits between a column and the next one. */
export type Channel = ReadonlyMap<string, Crossing>;

export const trackCount = (channel: Channel): number =>
  1 + Math.max(0, ...[...channel.values()].map(({ track }) => track));

/**
 * The circuits in each space between two columns, the first of them right of the first column. Two circuits share a track only if
 * one ends above the other.
 */
export function channelsOf(
  { edges }: Graph,
  { columns, columnOf }: Columns,
  arrangement: Arrangement,
): readonly Channel[] {
  const rows = Array.from({ length: columns.length - 1 }, () => new Map<string, Rows>());
  const add = (channel: number, circuit: string, side: keyof Rows, row: number) => {
    const own = rows[channel]!.get(circuit) ?? { left: new Set(), right: new Set() };
    own[side].add(row);
    rows[channel]!.set(circuit, own);
  };
  const rowOf = ({ row }: Port) => arrangement.rowOf.get(row)!;
  for (const { circuit, from, to } of edges) {
    const [a, b] = [columnOf.get(from.box)!, columnOf.get(to.box)!];
    if (a === b) {
      const [channel, side] = a === 0 ? ([0, 'left'] as const) : ([a - 1, 'right'] as const);
      add(channel, circuit, side, rowOf(from));
      add(channel, circuit, side, rowOf(to));
      continue;
    }
    const [first, last] = a < b ? [from, to] : [to, from];
    const [start, end] = [Math.min(a, b), Math.max(a, b)];
    add(start, circuit, 'left', rowOf(first));
    for (let column = start + 1; column < end; column++) {
      const row = arrangement.passing(column, circuit);
      add(column - 1, circuit, 'right', row);
      add(column, circuit, 'left', row);
    }
    add(end - 1, circuit, 'right', rowOf(last));
  }
  return rows.map(withTracks);
}

interface Rows {
  readonly left: Set<number>;
  readonly right: Set<number>;
}

/** Rows of the right column may lie half a row lower or higher. */
const APART = 1;

function withTracks(circuits: ReadonlyMap<string, Rows>): Channel {
  const spans = [...circuits].map(([name, { left, right }]) => {
    const all = [...left, ...right];
    return { name, left: [...left], right: [...right], top: Math.min(...all), bottom: Math.max(...all) };
  });
  spans.sort((a, b) => a.top - b.top || a.bottom - b.bottom);
  const bottoms: number[] = [];
  return new Map(
    spans.map(({ name, left, right, top, bottom }) => {
      const free = bottoms.findIndex((one) => one + APART < top);
      const track = free < 0 ? bottoms.length : free;
      bottoms[track] = bottom;
      return [name, { left, right, track }];
    }),
  );
}
