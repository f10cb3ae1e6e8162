import { capital } from '../capital.ts';
import { checksumOf } from '../image/checksum.ts';
import { hexAddress } from '../image/memory.ts';
import { addressOf, type Checksum, isInside, type Region, spanOf } from './layout.ts';
import { writeRaw } from './number-type.ts';
import { labelOf, type StorageFault, type StoredCell, type StoredPart } from './stored-parts.ts';

/** Writes regions of an image and notes which of them claim a byte with different contents. */
export class ImageWriter {
  readonly faults: StorageFault[] = [];
  readonly #labels: string[] = [];
  /** The number of the region that has written each byte, from 1; its label is the one before. */
  readonly #owners: Int32Array;

  constructor(
    readonly bytes: Uint8Array,
    readonly isLittle: boolean,
  ) {
    this.#owners = new Int32Array(bytes.length);
  }

  part(stored: StoredPart, repeats: boolean): void {
    const { part } = stored;
    const label = labelOf(stored);
    if (!this.#isInside(...spanOf(part), label, part.at.node)) return;
    this.#labels.push(label);
    for (const { index, cell } of cellsOf(stored, repeats)) {
      const other = this.#put(addressOf(part, 0, index), cellBytes(stored, cell, this.isLittle));
      if (other === undefined) continue;
      this.faults.push(conflict(cell, label, other));
      return;
    }
  }

  text({ start, end, text, label, node }: Region & { readonly text: string }): void {
    if (!this.#isInside(start, end, label, node)) return;
    const bytes = new Uint8Array(end - start);
    for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
    this.#claim(start, bytes, { label, node });
  }

  checksum(checksum: Checksum): Checksum & { value: number } {
    const { kind, over, start, end, label, node } = checksum;
    const value = checksumOf(kind, this.bytes.subarray(over.start, over.end));
    if (!this.#isInside(start, end, label, node)) return { ...checksum, value };
    this.#claim(start, numberBytes(value, end - start, this.isLittle), { label, node });
    return { ...checksum, value };
  }

  #claim(start: number, bytes: Uint8Array, { label, node }: Pick<Region, 'label' | 'node'>): void {
    this.#labels.push(label);
    const other = this.#put(start, bytes);
    if (other !== undefined) {
      this.faults.push({
        node,
        message: `${capital(label)} and ${other} have the same place in the controller.`,
      });
    }
  }

  /** Writes bytes of the last region; returns the one that has written something else there. */
  #put(start: number, bytes: Uint8Array): string | undefined {
    for (const [i, byte] of bytes.entries()) {
      const at = start + i;
      const owner = this.#owners[at]!;
      if (owner > 0 && this.bytes[at] !== byte) return this.#labels[owner - 1];
      this.#owners[at] ||= this.#labels.length;
      this.bytes[at] = byte;
    }
    return undefined;
  }

  #isInside(start: number, end: number, label: string, node: StorageFault['node']): boolean {
    if (isInside(start, end, { size: this.bytes.length })) return true;
    const message = `${capital(label)} ends beyond the image, which has ${this.bytes.length} bytes (up to ${hexAddress(this.bytes.length - 1)}).`;
    this.faults.push({ node, message });
    return false;
  }
}

/** Two regions that store something else in one place. */
export const conflict = ({ node }: StoredCell, label: string, other: string): StorageFault => ({
  node,
  message: `${capital(label)} and ${other} have the same place in the controller and different values.`,
});

/** The cells of a part by their index in its field, with those that repeat the last used ones. */
export function* cellsOf({ part, rows, columns, cells }: StoredPart, repeats: boolean) {
  const [height, width] = repeats ? [part.rows, part.columns] : [rows, columns];
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const cell = cells[Math.min(row, rows - 1) * columns + Math.min(column, columns - 1)]!;
      yield { index: row * part.columns + column, cell };
    }
  }
}

/** A cell in the byte order of the storage. */
export function cellBytes(
  { part: { type } }: StoredPart,
  { raw }: StoredCell,
  isLittle: boolean,
): Uint8Array {
  const bytes = new Uint8Array(type.bytes);
  writeRaw(type, raw, new DataView(bytes.buffer), 0, isLittle);
  return bytes;
}

/** A number of so many bytes in the byte order of the storage. */
function numberBytes(number: number, count: number, isLittle: boolean): Uint8Array {
  const bytes = Uint8Array.from({ length: count }, (_, i) => Math.floor(number / 256 ** i) % 256);
  return isLittle ? bytes : bytes.reverse();
}

/** The inverse of `numberBytes`. */
export function numberOfBytes(bytes: Uint8Array, isLittle: boolean): number {
  const significant = isLittle ? [...bytes].reverse() : [...bytes];
  return significant.reduce((number, byte) => number * 256 + byte, 0);
}
