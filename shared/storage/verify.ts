import { checksumOf } from '../image/checksum.ts';
import type { Memory } from '../image/memory.ts';
import { memo } from '../memo.ts';
import type { StorageImage } from './image.ts';
import { numberOfBytes } from './image-writer.ts';
import { addressOf, type Checksum } from './layout.ts';
import { readRaw } from './number-type.ts';
import { addressOfCell, type StoredCell, type StoredPart } from './stored-parts.ts';

/** A stored number or word that is another one in the image. */
export interface CellDifference {
  readonly stored: StoredPart;
  readonly cell: StoredCell;
  /** The count in the image; undefined if the image file does not contain it. */
  readonly raw: number | undefined;
}

/** A checksum that does not fit the bytes that it covers. */
export interface ChecksumDifference {
  readonly checksum: Checksum;
  readonly stored: number;
  readonly computed: number;
}

/** Bytes that belong to no value and differ. */
export interface ByteDifference {
  /** Relative to the base address. */
  readonly at: number;
  readonly file: Uint8Array;
  readonly image: Uint8Array;
}

/** How an image differs from what the text says. */
export interface ImageDifferences {
  readonly cells: readonly CellDifference[];
  readonly checksums: readonly ChecksumDifference[];
  readonly elsewhere: readonly ByteDifference[];
}

export const matches = ({ cells, checksums, elsewhere }: ImageDifferences): boolean =>
  cells.length + checksums.length + elsewhere.length === 0;

/**
 * Compares an image with the one built from the text: each value, each checksum, and every other byte. The memory must
 * have the window of the built image; bytes that the file does not contain count as filled.
 */
export function compareImage(built: StorageImage, memory: Memory): ImageDifferences {
  const { bytes, isLittle, storage } = built;
  const image = memory.bytes;
  const view = new DataView(image.buffer, image.byteOffset, image.byteLength);
  const places = placesIn(built);
  const cells = new Set<PlacedCell>();
  const elsewhere: number[] = [];
  const repeats = storage.unused?.text !== 'fill';
  for (let at = 0; at < bytes.length; at++) {
    if (bytes[at] === image[at] && (memory.missingCount === 0 || memory.has(at, 1))) continue;
    const place = places[at];
    if (place === undefined) {
      if (bytes[at] !== image[at]) elsewhere.push(at);
    } else if (place.type === 'cell') for (const cell of place.cells) cells.add(cell);
    else if (place.type === 'unused' && !(repeats && isRepeated(place, image))) {
      if (bytes[at] !== image[at]) elsewhere.push(at);
    }
  }
  const found = [...cells].map(({ stored, cell, at }) => {
    const { type } = stored.part;
    const isGiven = memory.has(at, type.bytes);
    return { stored, cell, raw: isGiven ? readRaw(type, view, at, isLittle) : undefined };
  });
  return {
    cells: found,
    checksums: checksumDifferences(built, image),
    elsewhere: runs(elsewhere, bytes, image),
  };
}

/** What a byte of the image belongs to. */
type Place = CellPlace | UnusedPlace | { readonly type: 'checksum' };

/** Fields may share a place, as maps share an axis: the byte is then a part of each of these. */
interface CellPlace {
  readonly type: 'cell';
  readonly cells: readonly PlacedCell[];
}

interface PlacedCell {
  readonly stored: StoredPart;
  readonly cell: StoredCell;
  readonly at: number;
}

/** A row or column that the value does not use, and the place of the last used one. */
interface UnusedPlace {
  readonly type: 'unused';
  readonly at: number;
  readonly used: number;
  readonly bytes: number;
}

/** What each byte belongs to; a value comes before the unused places of another. */
const placesIn = memo((built: StorageImage): readonly (Place | undefined)[] => {
  const places: (Place | undefined)[] = new Array(built.bytes.length).fill(undefined);
  const put = (place: Place, start: number, end: number) => {
    for (let at = start; at < Math.min(end, places.length); at++) places[at] = place;
  };
  for (const { part, rows, columns } of built.parts) {
    const { bytes } = part.type;
    for (let row = 0; row < part.rows; row++) {
      for (let column = 0; column < part.columns; column++) {
        if (row < rows && column < columns) continue;
        const at = addressOf(part, row, column);
        const used = addressOf(part, Math.min(row, rows - 1), Math.min(column, columns - 1));
        put({ type: 'unused', at, used, bytes }, at, at + bytes);
      }
    }
  }
  for (const { start, end } of built.checksums) put({ type: 'checksum' }, start, end);
  for (const stored of built.parts) {
    for (const cell of stored.cells) {
      const start = addressOfCell(stored, cell);
      const own: CellPlace = { type: 'cell', cells: [{ stored, cell, at: start }] };
      for (let at = start; at < start + stored.part.type.bytes; at++) {
        const other = places[at];
        places[at] = other?.type === 'cell' ? { type: 'cell', cells: [...other.cells, ...own.cells] } : own;
      }
    }
  }
  return places;
});

/** Whether an unused place repeats the last used one of the image, so that it says nothing more than that. */
function isRepeated({ at, used, bytes }: UnusedPlace, image: Uint8Array): boolean {
  for (let i = 0; i < bytes; i++) if (image[at + i] !== image[used + i]) return false;
  return true;
}

/** Neighbouring addresses as one difference. */
function runs(addresses: readonly number[], file: Uint8Array, image: Uint8Array): ByteDifference[] {
  const found: ByteDifference[] = [];
  for (let i = 0; i < addresses.length; ) {
    const at = addresses[i]!;
    let count = 1;
    while (addresses[i + count] === at + count) count++;
    found.push({ at, file: file.slice(at, at + count), image: image.slice(at, at + count) });
    i += count;
  }
  return found;
}

function checksumDifferences({ checksums, isLittle }: StorageImage, image: Uint8Array): ChecksumDifference[] {
  return checksums.flatMap((checksum) => {
    const { kind, over, start, end } = checksum;
    const stored = numberOfBytes(image.subarray(start, end), isLittle);
    const computed = checksumOf(kind, image.subarray(over.start, over.end));
    return stored === computed ? [] : [{ checksum, stored, computed }];
  });
}
