import { checksumOf } from '../image/checksum.ts';
import type { Memory } from '../image/memory.ts';
import { numberOfBytes, type StorageImage } from './image.ts';
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
  const { bytes, isLittle, parts } = built;
  const image = memory.bytes;
  const view = new DataView(image.buffer, image.byteOffset, image.byteLength);
  const known = new Uint8Array(bytes.length);
  const isSame = (start: number, count: number, other = start) => {
    for (let i = 0; i < count; i++) if (bytes[start + i] !== image[other + i]) return false;
    return true;
  };
  const cells: CellDifference[] = [];
  for (const stored of parts) {
    const { bytes: count } = stored.part.type;
    for (const cell of stored.cells) {
      const at = addressOfCell(stored, cell);
      if (at + count > bytes.length) continue;
      known.fill(1, at, at + count);
      const isGiven = memory.has(at, count);
      if (isSame(at, count) && isGiven) continue;
      cells.push({ stored, cell, raw: isGiven ? readRaw(stored.part.type, view, at, isLittle) : undefined });
    }
  }
  for (const { start, end } of built.checksums) known.fill(1, start, end);
  if (built.storage.unused?.text !== 'fill') for (const stored of parts) markRepeats(stored, image, known);
  return {
    cells,
    checksums: checksumDifferences(built, image),
    elsewhere: byteDifferences(bytes, image, known),
  };
}

/** An unused place that repeats the last used one of the image is part of the value, which is compared already. */
function markRepeats({ part, rows, columns }: StoredPart, image: Uint8Array, known: Uint8Array): void {
  const { bytes } = part.type;
  for (let row = 0; row < part.rows; row++) {
    for (let column = 0; column < part.columns; column++) {
      if (row < rows && column < columns) continue;
      const at = addressOf(part, row, column);
      const used = addressOf(part, Math.min(row, rows - 1), Math.min(column, columns - 1));
      const repeats = image.subarray(at, at + bytes).every((byte, i) => byte === image[used + i]);
      if (repeats && at + bytes <= image.length) known.fill(1, at, at + bytes);
    }
  }
}

function checksumDifferences({ checksums, isLittle }: StorageImage, image: Uint8Array): ChecksumDifference[] {
  return checksums.flatMap((checksum) => {
    const { kind, over, start, end } = checksum;
    const stored = numberOfBytes(image.subarray(start, end), isLittle);
    const computed = checksumOf(kind, image.subarray(over.start, over.end));
    return stored === computed ? [] : [{ checksum, stored, computed }];
  });
}

function byteDifferences(file: Uint8Array, image: Uint8Array, known: Uint8Array): ByteDifference[] {
  const found: ByteDifference[] = [];
  for (let at = 0; at < file.length; at++) {
    const start = at;
    while (at < file.length && known[at] === 0 && file[at] !== image[at]) at++;
    if (at > start) found.push({ at: start, file: file.slice(start, at), image: image.slice(start, at) });
  }
  return found;
}
