import type { MemoryCell, MemoryRegion, MemoryView } from '../../../server/features/memory-view-types.ts';

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

/** A row of bytes, a run of rows in which nothing is stored, or the rows at the end that are left out. */
export type DrawnRow =
  | { readonly type: 'left'; readonly at: number; readonly rows: number }
  | { readonly type: 'bytes'; readonly at: number; readonly bytes: readonly DrawnByte[] }
  | { readonly type: 'free'; readonly at: number; readonly end: number };

/** The number of colours in turn, so that neighbours differ. */
export const COLOURS = 5;

/** The image as rows; rows of free bytes are combined. */
export function rowsOf({ rows, regions, size, left }: MemoryView): DrawnRow[] {
  const colours = new Map(regions.map((region, i) => [region, i % COLOURS]));
  const cells = new Map<number, MemoryCell>();
  for (const cell of regions.flatMap((region) => region.cells))
    for (let i = 0; i < cell.bytes; i++) cells.set(cell.at + i, cell);
  const drawn: DrawnRow[] = [];
  let [end, begun] = [0, 0];
  let open: MemoryRegion[] = [];
  for (const { at, bytes } of rows) {
    if (at > end) drawn.push({ type: 'free', at: end, end: at });
    end = at + bytes.length / 2;
    while (begun < regions.length && regions[begun]!.start < end) open.push(regions[begun++]!);
    open = open.filter((region) => region.end > at);
    drawn.push({ type: 'bytes', at, bytes: Array.from({ length: end - at }, (_, i) => byteAt(at + i, i)) });

    function byteAt(address: number, i: number): DrawnByte {
      const own = open.filter((region) => region.start <= address && address < region.end);
      const colour = own[0] ? colours.get(own[0])! : 0;
      const hex = bytes.slice(2 * i, 2 * i + 2);
      return { at: address, hex, regions: own, colour, cell: cells.get(address) };
    }
  }
  if (end < size)
    drawn.push(left > 0 ? { type: 'left', at: end, rows: left } : { type: 'free', at: end, end: size });
  return drawn;
}
