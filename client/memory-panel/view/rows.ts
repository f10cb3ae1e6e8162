import type { MemoryCell, MemoryRegion, MemoryView } from '../../../server/features/memory-view-types.ts';

/** Bytes in a row. */
export const ROW = 16;

/** A byte as it is drawn. */
export interface DrawnByte {
  readonly at: number;
  readonly hex: string;
  /** The regions that claim it: none if it is free, several if they overlap. */
  readonly regions: readonly MemoryRegion[];
  /** The colour of its region, from 0. */
  readonly colour: number;
  readonly cell: MemoryCell | undefined;
}

/** A row of bytes, or a run of rows in which nothing is stored. */
export type DrawnRow =
  | { readonly type: 'bytes'; readonly at: number; readonly bytes: readonly DrawnByte[] }
  | { readonly type: 'free'; readonly at: number; readonly end: number };

/** The number of colours in turn, so that neighbours differ. */
export const COLOURS = 5;

/** The image as rows; rows of free bytes are combined. */
export function rowsOf(view: MemoryView): DrawnRow[] {
  const bytes = bytesOf(view);
  const rows: DrawnRow[] = [];
  for (let at = 0; at < bytes.length; at += ROW) {
    const row = bytes.slice(at, at + ROW);
    const last = rows.at(-1);
    if (row.some(({ regions }) => regions.length > 0)) rows.push({ type: 'bytes', at, bytes: row });
    else if (last?.type === 'free') rows[rows.length - 1] = { ...last, end: at + row.length };
    else rows.push({ type: 'free', at, end: at + row.length });
  }
  return rows;
}

function bytesOf({ bytes, regions }: MemoryView): DrawnByte[] {
  const claims = new Map<number, MemoryRegion[]>();
  const colours = new Map(regions.map((region, i) => [region, i % COLOURS]));
  const cells = new Map<number, MemoryCell>();
  for (const region of regions) {
    for (let at = region.start; at < region.end; at++) claims.set(at, [...(claims.get(at) ?? []), region]);
    for (const cell of region.cells) for (let i = 0; i < cell.bytes; i++) cells.set(cell.at + i, cell);
  }
  return Array.from({ length: bytes.length / 2 }, (_, at) => {
    const own = claims.get(at) ?? [];
    const hex = bytes.slice(2 * at, 2 * at + 2);
    return { at, hex, regions: own, colour: own[0] ? colours.get(own[0])! : 0, cell: cells.get(at) };
  });
}
