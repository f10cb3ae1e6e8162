import type { StorageSection } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import type { Window } from '../image/memory.ts';
import { contentDigest, type Hash } from './digest.ts';
import { ImageWriter } from './image-writer.ts';
import { brokenSizes, type Checksum, checksumsOf, identityRegion, imageSize, type Region } from './layout.ts';
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
  const writer = new ImageWriter(new Uint8Array(window.size).fill(fillOf(storage)), isLittle);
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
