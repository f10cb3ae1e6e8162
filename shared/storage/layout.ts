import type { StorageField, StorageSection } from '../../generated/configuration.ts';
import { nodeOf, type QuantityValue } from '../configuration/values.ts';
import { type ChecksumKind, checksumBytes } from '../image/checksum.ts';
import type { Window } from '../image/memory.ts';
import { over, type Ratio } from '../quantity/exact.ts';
import type { Node } from '../source/tree.ts';
import { exactValue } from './exact-value.ts';
import { type NumberType, numberType } from './number-type.ts';

export type PartName = 'values' | 'x' | 'y';

/** A block of numbers of one type: the values of a field, or the breakpoints of one of its axes. */
export interface FieldPart {
  readonly name: PartName;
  readonly type: NumberType;
  /** The address of its first byte, relative to the base address. */
  readonly at: QuantityValue;
  /** Rows are stored one after the other, each with space for every column. */
  readonly rows: number;
  readonly columns: number;
  readonly scale: QuantityValue | undefined;
  readonly offset: QuantityValue | undefined;
}

/** The parts of a field; none if its address or type is not stated. */
export function partsOf(field: StorageField): FieldPart[] {
  const { at, type, x_at, y_at } = field;
  if (!at || !type) return [];
  const rows = field.rows?.canonical ?? 1;
  const columns = field.columns?.canonical ?? 1;
  const { scale, offset, x_scale, x_offset, y_scale, y_offset } = field;
  const parts: FieldPart[] = [
    { name: 'values', type: numberType(type.text), at, rows, columns, scale, offset },
  ];
  const axis = { rows: 1 };
  const typeOf = (stated: typeof type | undefined) => numberType((stated ?? type).text);
  if (x_at) {
    parts.push({
      ...axis,
      name: 'x',
      type: typeOf(field.x_type),
      at: x_at,
      columns,
      scale: x_scale,
      offset: x_offset,
    });
  }
  if (y_at) {
    parts.push({
      ...axis,
      name: 'y',
      type: typeOf(field.y_type),
      at: y_at,
      columns: rows,
      scale: y_scale,
      offset: y_offset,
    });
  }
  return parts;
}

/** The address of a number in a part, relative to the base address. */
export function addressOf({ at, columns, type }: FieldPart, row: number, column: number): number {
  return at.canonical + (row * columns + column) * type.bytes;
}

/** The bytes from `start` to `end`, relative to the base address; `end` is exclusive. */
export interface Bytes {
  readonly start: number;
  readonly end: number;
}

/** A region of the storage image and what occupies it. */
export interface Region extends Bytes {
  /** Its name in a sentence: `` the x axis of `ignition.dwell` ``. */
  readonly label: string;
  /** Where its address is written. */
  readonly node: Node;
}

export const partLabels: Readonly<Record<PartName, string>> = {
  values: '',
  x: 'the x axis of ',
  y: 'the y axis of ',
};

/** Where a part begins in the image and where it ends. */
export const spanOf = (part: FieldPart): readonly [start: number, end: number] => [
  part.at.canonical,
  addressOf(part, part.rows, 0),
];

/** Whether bytes from `start` to `end` are in an image. */
export const isInside = (start: number, end: number, { size }: Pick<Window, 'size'>): boolean =>
  Number.isSafeInteger(start) && start >= 0 && end <= size;

/** Every region of the image that a field occupies. */
export function fieldRegions({ fields }: StorageSection): Region[] {
  return Object.entries(fields ?? {}).flatMap(([path, field]) =>
    partsOf(field).map((part) => {
      const [start, end] = spanOf(part);
      return { label: `${partLabels[part.name]}\`${path}\``, node: part.at.node, start, end };
    }),
  );
}

/** A checksum of the image: the bytes that hold it, and those that it covers. */
export interface Checksum extends Region {
  readonly kind: ChecksumKind;
  /** If the range is written in reverse, `end` is not above `start`. */
  readonly over: Bytes & { readonly node: Node };
}

/** The checksums in the order in which they are computed, without those that are not complete. */
export function checksumsOf({ checksum }: StorageSection): Checksum[] {
  const all = checksum && 'items' in checksum ? checksum.items : checksum ? [checksum] : [];
  return all.flatMap(({ kind, at, over }, i) => {
    const [, first, last] = /^(\w+) ?\.\. ?(\w+)$/.exec(over?.text ?? '') ?? [];
    if (!kind || !at || !over || first === undefined || last === undefined) return [];
    const start = at.canonical;
    const end = start + checksumBytes(kind.text);
    const label = all.length === 1 ? 'the checksum' : `checksum ${i + 1}`;
    const covered = { start: Number(first), end: Number(last) + 1, node: nodeOf(over) };
    return [{ label, node: at.node, kind: kind.text, start, end, over: covered }];
  });
}

/** The bytes that hold the identity. */
export function identityRegion({ identity }: StorageSection): Region | undefined {
  if (!identity?.at || !identity.length) return undefined;
  const start = identity.at.canonical;
  const end = start + bytesOf(identity.length);
  return { label: 'the identity', node: identity.at.node, start, end };
}

/** Everything that has a place in the image: fields, the identity and the checksums. */
export function regionsOf(storage: StorageSection): Region[] {
  const identity = identityRegion(storage);
  return [...fieldRegions(storage), ...(identity ? [identity] : []), ...checksumsOf(storage)];
}

/** All bytes of the image; undefined if its size is not stated. */
export function imageSize({ size }: StorageSection): number | undefined {
  return size && bytesOf(size);
}

/** The bytes of a size, of which a part counts as one: a byte less would move everything after it. */
function bytesOf(size: QuantityValue): number {
  const { top, bottom } = exactBytes(size);
  return Number((top + bottom - 1n) / bottom);
}

const exactBytes = (size: QuantityValue): Ratio => over(exactValue(size), { top: 8n, bottom: 1n });

/** The sizes in a layout that are not whole bytes, which no memory has. */
export function brokenSizes({ size, identity }: StorageSection): QuantityValue[] {
  const stated = [size, identity?.length].filter((one) => one !== undefined);
  return stated.filter((one) => {
    const { top, bottom } = exactBytes(one);
    return top % bottom !== 0n;
  });
}
