import type { StorageField, StorageSection } from '../../generated/configuration.ts';
import { nodeOf, type QuantityValue } from '../configuration/values.ts';
import type { Node } from '../source/tree.ts';
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

const partLabels: Readonly<Record<PartName, string>> = {
  values: '',
  x: 'the x axis of ',
  y: 'the y axis of ',
};

/** Every region of the image that a field occupies. */
export function fieldRegions({ fields }: StorageSection): Region[] {
  return Object.entries(fields ?? {}).flatMap(([path, field]) =>
    partsOf(field).map((part) => ({
      label: `${partLabels[part.name]}\`${path}\``,
      node: part.at.node,
      start: part.at.canonical,
      end: addressOf(part, part.rows, 0),
    })),
  );
}

/** The bytes that hold the checksum. */
export function checksumRegion({ checksum }: StorageSection): Region | undefined {
  if (!checksum?.at || !checksum.kind) return undefined;
  const start = checksum.at.canonical;
  const bytes = checksum.kind.text === 'crc-32' ? 4 : 2;
  return { label: 'the checksum', node: checksum.at.node, start, end: start + bytes };
}

/** The bytes covered by the checksum. If they are written in reverse, `end` is not above `start`. */
export function checksumCoverage({ checksum }: StorageSection): (Bytes & { node: Node }) | undefined {
  const [, first, last] = /^(\w+) ?\.\. ?(\w+)$/.exec(checksum?.over?.text ?? '') ?? [];
  if (!checksum?.over || first === undefined || last === undefined) return undefined;
  return { start: Number(first), end: Number(last) + 1, node: nodeOf(checksum.over) };
}

/** All bytes of the image; undefined if its size is not stated. */
export function imageSize({ size }: StorageSection): number | undefined {
  return size && Math.floor(size.canonical / 8);
}
