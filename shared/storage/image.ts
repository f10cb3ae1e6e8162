import type { StorageSection } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { groupedBy } from '../grouped-by.ts';
import { checksumOf } from '../image/checksum.ts';
import { hexAddress, type Window } from '../image/memory.ts';
import { memo } from '../memo.ts';
import { contentDigest, type Hash } from './digest.ts';
import {
  addressOf,
  brokenSizes,
  type Checksum,
  checksumsOf,
  identityRegion,
  imageSize,
  type Region,
} from './layout.ts';
import { writeRaw } from './number-type.ts';
import { labelOf, type StorageFault, type StoredPart, sentence, storedParts } from './stored-parts.ts';

/** The bytes that the controller holds for an engine. */
export interface StorageImage {
  readonly storage: StorageSection;
  readonly window: Window;
  readonly isLittle: boolean;
  readonly bytes: Uint8Array;
  readonly parts: readonly StoredPart[];
  readonly checksums: readonly (Checksum & { readonly value: number })[];
  readonly identity: (Region & { readonly text: string }) | undefined;
  /** The content digest, as hexadecimal digits. */
  readonly digest: string;
  /** Why the image must not be used; without them it contains what the text says. */
  readonly faults: readonly StorageFault[];
}

/** In bytes. The schema allows an address space; no engine needs that much, and the memory of this computer is finite. */
const LARGEST_IMAGE = 64 * 1024 * 1024;

/** Bytes of no field, unless the layout says otherwise: erased memory. */
export const fillOf = ({ fill }: StorageSection): number => (fill ? fill.canonical & 0xff : 0xff);

/** The addresses of the image; undefined if its size is missing or too large. */
export function windowOf(storage: StorageSection): Window | undefined {
  const size = imageSize(storage);
  const base = storage.base_address?.canonical ?? 0;
  if (size === undefined || size < 1 || size > LARGEST_IMAGE || !Number.isSafeInteger(base) || base < 0)
    return undefined;
  return { base, size };
}

/** Builds the image of an engine. Undefined if its controller does not state how large the image is. */
export function buildImage(installation: Installation, hash: Hash): StorageImage | undefined {
  const storage = installation.controller?.storage;
  const window = storage && windowOf(storage);
  if (!storage || !window) return undefined;
  const { parts, faults } = storedParts(installation);
  const isLittle = storage.byte_order?.text !== 'big';
  const writer = new Writer(new Uint8Array(window.size).fill(fillOf(storage)), isLittle);
  for (const part of parts) writer.part(part, storage.unused?.text !== 'fill');
  const digest = contentDigest(parts, hash);
  const identity = identityOf(installation, storage, digest);
  if (identity && 'text' in identity) writer.text(identity);
  const identityFaults = identity && 'message' in identity ? [identity] : [];
  const checksums = checksumsOf(storage).map((checksum) => writer.checksum(checksum));
  return {
    storage,
    window,
    isLittle,
    bytes: writer.bytes,
    parts,
    checksums,
    identity: identity && 'text' in identity ? identity : undefined,
    digest,
    faults: [...sizeFaults(storage), ...faults, ...writer.faults, ...identityFaults],
  };
}

/** The sizes in a layout that cannot be those of a memory. */
export const sizeFaults = (storage: StorageSection): StorageFault[] =>
  brokenSizes(storage).map(({ node }) => ({
    node,
    message: `\`${node.text}\` is not a whole number of bytes.`,
  }));

/**
 * Fields with one place in the image that store different values. The layout is the same whatever is stored, so this needs
 * no digest.
 */
export const fieldConflicts = memo((installation: Installation): readonly StorageFault[] => {
  const storage = installation.controller?.storage;
  const window = storage && windowOf(storage);
  if (!storage || !window) return [];
  const writer = new Writer(new Uint8Array(window.size), true);
  const isPlaced = ({ part }: StoredPart) => {
    const [start, end] = [part.at.canonical, addressOf(part, part.rows, 0)];
    return Number.isSafeInteger(start) && start >= 0 && end <= window.size;
  };
  const places = groupedBy(storedParts(installation).parts.filter(isPlaced), placeText);
  for (const [, parts] of places) {
    if (parts.length > 1) for (const part of parts) writer.part(part, storage.unused?.text !== 'fill');
  }
  return writer.faults;
});

/** Parts with the same text have all bytes in common. */
const placeText = ({ part }: StoredPart): string =>
  `${part.at.canonical} ${part.type.bytes} ${part.rows} ${part.columns}`;

/** What an image is recognised by, in ASCII. */
function identityOf(
  { configuration }: Installation,
  storage: StorageSection,
  digest: string,
): (Region & { text: string }) | StorageFault | undefined {
  const region = identityRegion(storage);
  if (!region) return undefined;
  const { revision } = configuration;
  if (!revision)
    return {
      node: region.node,
      message: 'The identity needs the `revision` of the engine file, which is missing.',
    };
  const text = identityText(revision.text, digest);
  if (!/^[ -~]*$/.test(text)) {
    return {
      node: revision.node,
      message: `The identity is stored in ASCII, which cannot spell the revision \`${revision.text}\`.`,
    };
  }
  const space = region.end - region.start;
  if (text.length > space) {
    return {
      node: revision.node,
      message: `The identity \`${text}\` has ${text.length} characters; the controller stores ${space}.`,
    };
  }
  return { ...region, text };
}

/** The number of digits of the digest in the identity. */
const IDENTITY_DIGITS = 12;

export const identityText = (revision: string, digest: string): string =>
  `${revision} ${digest.slice(0, IDENTITY_DIGITS)}`;

/** The length of the identity of a revision. */
export const identityLength = (revision: string): number => revision.length + 1 + IDENTITY_DIGITS;

/** Writes regions of an image and notes which of them claim a byte with different contents. */
class Writer {
  readonly faults: StorageFault[] = [];
  readonly #view: DataView;
  /** The region that has written each byte. */
  readonly #owners = new Map<number, string>();

  constructor(
    readonly bytes: Uint8Array,
    readonly isLittle: boolean,
  ) {
    this.#view = new DataView(bytes.buffer);
  }

  part(stored: StoredPart, repeats: boolean): void {
    const { part, rows, columns, cells } = stored;
    const scratch = new DataView(new ArrayBuffer(8));
    const [height, width] = repeats ? [part.rows, part.columns] : [rows, columns];
    const label = labelOf(stored);
    if (!this.#isInside(part.at.canonical, addressOf(part, part.rows, 0), label, part.at.node)) return;
    for (let row = 0; row < height; row++) {
      for (let column = 0; column < width; column++) {
        const cell = cells[Math.min(row, rows - 1) * columns + Math.min(column, columns - 1)]!;
        writeRaw(part.type, cell.raw, scratch, 0, this.isLittle);
        const own = new Uint8Array(scratch.buffer, 0, part.type.bytes);
        const other = this.#put(addressOf(part, row, column), own, label);
        if (other === undefined) continue;
        const message = `${sentence(label)} and ${other} have the same place in the controller and different values.`;
        this.faults.push({ node: cell.node, message });
        return;
      }
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
    const other = this.#put(start, bytes, label);
    if (other !== undefined) {
      this.faults.push({
        node,
        message: `${sentence(label)} and ${other} have the same place in the controller.`,
      });
    }
  }

  /** Writes bytes; returns the region that has written something else there. */
  #put(start: number, bytes: Uint8Array, label: string): string | undefined {
    for (const [i, byte] of bytes.entries()) {
      const at = start + i;
      const owner = this.#owners.get(at);
      if (owner !== undefined && this.bytes[at] !== byte) return owner;
      this.#owners.set(at, owner ?? label);
      this.#view.setUint8(at, byte);
    }
    return undefined;
  }

  #isInside(start: number, end: number, label: string, node: StorageFault['node']): boolean {
    if (Number.isSafeInteger(start) && start >= 0 && end <= this.bytes.length) return true;
    const message = `${sentence(label)} ends beyond the image, which has ${this.bytes.length} bytes (up to ${hexAddress(this.bytes.length - 1)}).`;
    this.faults.push({ node, message });
    return false;
  }
}

/** A number of so many bytes in the byte order of the storage. */
export function numberBytes(number: number, count: number, isLittle: boolean): Uint8Array {
  const bytes = Uint8Array.from({ length: count }, (_, i) => Math.floor(number / 256 ** i) % 256);
  return isLittle ? bytes : bytes.reverse();
}

/** The inverse of `numberBytes`. */
export function numberOfBytes(bytes: Uint8Array, isLittle: boolean): number {
  const significant = isLittle ? [...bytes].reverse() : [...bytes];
  return significant.reduce((number, byte) => number * 256 + byte, 0);
}
