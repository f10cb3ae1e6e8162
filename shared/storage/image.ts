import type { StorageSection } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { LARGEST_IMAGE, type Window } from '../image/memory.ts';
import { contentDigest, type Hash } from './digest.ts';
import { identityMisfit, identityOf } from './identity.ts';
import { ImageWriter } from './image-writer.ts';
import { brokenSizes, type Checksum, checksumsOf, imageSize, type Region } from './layout.ts';
import { type StorageFault, type StoredPart, storedParts } from './stored-parts.ts';

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
  const writer = new ImageWriter(new Uint8Array(window.size).fill(fillOf(storage)), isLittle);
  for (const part of parts) writer.part(part, storage.unused?.text !== 'fill');
  const digest = contentDigest(parts, hash);
  const identity = identityOf(installation, digest);
  if (identity) writer.text(identity);
  const misfit = identityMisfit(installation);
  const checksums = checksumsOf(storage).map((checksum) => writer.checksum(checksum));
  return {
    storage,
    window,
    isLittle,
    bytes: writer.bytes,
    parts,
    checksums,
    identity,
    digest,
    faults: [...sizeFaults(storage), ...faults, ...writer.faults, ...(misfit ? [misfit] : [])],
  };
}

/** The sizes in a layout that cannot be those of a memory. */
export const sizeFaults = (storage: StorageSection): StorageFault[] =>
  brokenSizes(storage).map(({ node }) => ({
    node,
    message: `\`${node.text}\` is not a whole number of bytes.`,
  }));
