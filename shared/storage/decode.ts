import type { ControllerConfiguration, StorageField } from '../../generated/configuration.ts';
import type { Memory } from '../image/memory.ts';
import { decimalTextUntil, nearestDouble, states } from '../quantity/exact.ts';
import { exactToUnit, splitUnit, type Unit } from '../quantity/index.ts';
import { type Coding, codingOf, textOfRaw, valueOfRaw } from './coding.ts';
import { type Doubt, unitOfPart } from './decoded-unit.ts';
import { fillOf } from './image.ts';
import { addressOf, type FieldPart, isInside, type PartName, partsOf, spanOf } from './layout.ts';
import { readRaw } from './number-type.ts';

/** What an image holds in one part of a field, without an engine file: as many rows and columns as it uses. */
export interface DecodedPart {
  readonly key: string;
  readonly field: StorageField;
  readonly name: PartName;
  readonly at: number;
  readonly rows: number;
  readonly columns: number;
  readonly raw: readonly number[];
  /** Numbers in the unit, or words; undefined where the bytes are not a value. */
  readonly texts: readonly (string | undefined)[];
  /** Empty for words and numbers without a unit; undefined if the layout does not state it. */
  readonly unit: string | undefined;
  /** What the layout does not state, so that the numbers have a meaning only beside the engine file. */
  readonly doubt: Doubt | undefined;
}

/** The values in an image, in the order of the layout. Fields that the image file does not contain are left out. */
export function decodeImage({ storage }: ControllerConfiguration, memory: Memory): DecodedPart[] {
  const isLittle = storage?.byte_order?.text !== 'big';
  const view = new DataView(memory.bytes.buffer);
  return Object.entries(storage?.fields ?? {}).flatMap(([key, field]) => {
    const parts = partsOf(field).filter((part) => isKept(part, memory));
    const decoded = parts.map((part) => decode(key, field, part, view, isLittle));
    const [columns, rows] = (['x', 'y'] as const).map((name) => {
      const axis = decoded.find((one) => one.name === name);
      if (!axis) return Number.POSITIVE_INFINITY;
      const count = rising(axis);
      return storage?.unused?.text === 'fill'
        ? withoutFill(name, count, parts, memory, fillOf(storage))
        : count;
    }) as [number, number];
    return decoded.map((one) => {
      if (one.name === 'x') return used(one, columns, 1);
      return one.name === 'y' ? used(one, rows, 1) : used(one, columns, rows);
    });
  });
}

function isKept(part: FieldPart, memory: Memory): boolean {
  const [start, end] = spanOf(part);
  return isInside(start, end, { size: memory.bytes.length }) && memory.has(start, end - start);
}

function decode(
  key: string,
  field: StorageField,
  part: FieldPart,
  view: DataView,
  isLittle: boolean,
): DecodedPart {
  const { rows, columns, name, type } = part;
  const { unit, doubt } = unitOfPart(key, part);
  const coding = codingOf(part, unit ?? '');
  const raw = Array.from({ length: rows * columns }, (_, i) =>
    readRaw(type, view, addressOf(part, Math.floor(i / columns), i % columns), isLittle),
  );
  const words = Object.entries(field.codes ?? {});
  const texts = raw.map((one) => {
    if (words.length > 0) return words.find(([, code]) => code.canonical === one)?.[0];
    return coding && textOf(coding, one, splitUnit(unit ?? '')?.unit);
  });
  return {
    key,
    field,
    name,
    at: part.at.canonical,
    rows,
    columns,
    raw,
    texts,
    ...(words.length > 0 ? { unit: '', doubt: undefined } : { unit, doubt }),
  };
}

/** The number of breakpoints before the first that does not rise: the others are unused. */
function rising({ texts }: DecodedPart): number {
  const numbers = texts.map(Number);
  const end = numbers.findIndex((number, i) => i > 0 && !(number > numbers[i - 1]!));
  return end < 0 ? numbers.length : end;
}

/** The number of breakpoints without those at the end that are filled together with their whole row or column. */
function withoutFill(
  name: 'x' | 'y',
  count: number,
  parts: readonly FieldPart[],
  { bytes }: Memory,
  fill: number,
): number {
  const isFilled = (part: FieldPart, row: number, column: number) => {
    const at = addressOf(part, row, column);
    return bytes.subarray(at, at + part.type.bytes).every((byte) => byte === fill);
  };
  const isUnused = (i: number) =>
    parts.every((part) => {
      if (part.name === name) return isFilled(part, 0, i);
      if (part.name !== 'values') return true;
      const [rows, columns] = name === 'x' ? [part.rows, 1] : [1, part.columns];
      return Array.from({ length: rows * columns }, (_, j) => j).every((j) =>
        name === 'x' ? isFilled(part, j, i) : isFilled(part, i, j),
      );
    });
  let used = count;
  while (used > 0 && isUnused(used - 1)) used--;
  return used;
}

function used(part: DecodedPart, columns: number, rows: number): DecodedPart {
  const isUsed = (_: unknown, i: number) => i % part.columns < columns && Math.floor(i / part.columns) < rows;
  return {
    ...part,
    rows: Math.min(rows, part.rows),
    columns: Math.min(columns, part.columns),
    raw: part.raw.filter(isUsed),
    texts: part.texts.filter(isUsed),
  };
}

/** Beyond this number of decimals, a count of an integer type has no exact text. */
const EXACT_DECIMALS = 12;

/**
 * The shortest text that states the value of a count; where there is none, as for nearly every floating-point number,
 * the shortest that is stored as this count.
 */
function textOf(coding: Coding, raw: number, unit: Unit | undefined): string | undefined {
  // No text says these.
  if (!Number.isFinite(raw) || Object.is(raw, -0)) return undefined;
  const value = exactToUnit(valueOfRaw(coding, raw), unit);
  const isExact = (text: string) => states(text, value);
  const exact =
    coding.type.kind === 'float' ? undefined : decimalTextUntil(value, 0, EXACT_DECIMALS, isExact);
  const size = Math.abs(nearestDouble(value));
  // With fewer decimals the text is zero.
  const least = size > 0 ? Math.max(0, -Math.ceil(Math.log10(size))) : 0;
  return exact ?? textOfRaw(coding, raw, unit, least);
}
