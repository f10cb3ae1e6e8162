import type { ControllerConfiguration, StorageField } from '../../generated/configuration.ts';
import type { Memory } from '../image/memory.ts';
import { decimalText, exactNumber, minus, type Ratio } from '../quantity/exact.ts';
import { exactToUnit, exampleUnit, type Kind, kindAccepts, splitUnit, unitTexts } from '../quantity/index.ts';
import { codingOf, valueOfRaw } from './coding.ts';
import { fillOf } from './image.ts';
import { addressOf, type FieldPart, type PartName, partsOf } from './layout.ts';
import { readRaw } from './number-type.ts';
import { kindsOf, valueShapeAt } from './path.ts';
import { placeOfField } from './place.ts';

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
  readonly unit: string;
}

/** The values in an image, in the order of the layout. Fields that the image file does not contain are left out. */
export function decodeImage({ storage }: ControllerConfiguration, memory: Memory): DecodedPart[] {
  const isLittle = storage?.byte_order?.text !== 'big';
  const view = new DataView(memory.bytes.buffer);
  return Object.entries(storage?.fields ?? {}).flatMap(([key, field]) => {
    const parts = partsOf(field).filter((part) => isInside(part, memory));
    const decoded = parts.map((part) => decode(key, field, part, view, isLittle));
    const [columns, rows] = (['x', 'y'] as const).map((name) => {
      const axis = decoded.find((one) => one.name === name);
      if (!axis) return Number.POSITIVE_INFINITY;
      const count = rising(axis);
      return storage?.unused?.text === 'fill' ? withoutFill(name, count, parts, memory, fillOf(storage)) : count;
    }) as [number, number];
    return decoded.map((one) => {
      if (one.name === 'x') return used(one, columns, 1);
      return one.name === 'y' ? used(one, rows, 1) : used(one, columns, rows);
    });
  });
}

function isInside(part: FieldPart, memory: Memory): boolean {
  const [start, end] = [part.at.canonical, addressOf(part, part.rows, 0)];
  const isPlace = Number.isSafeInteger(start) && start >= 0 && end <= memory.bytes.length;
  return isPlace && memory.has(start, end - start);
}

function decode(
  key: string,
  field: StorageField,
  part: FieldPart,
  view: DataView,
  isLittle: boolean,
): DecodedPart {
  const { rows, columns, name, type } = part;
  const unit = unitOf(key, part);
  const coding = codingOf(part, unit);
  const raw = Array.from({ length: rows * columns }, (_, i) =>
    readRaw(type, view, addressOf(part, Math.floor(i / columns), i % columns), isLittle),
  );
  const words = Object.entries(field.codes ?? {});
  const texts = raw.map((one) => {
    if (words.length > 0) return words.find(([, code]) => code.canonical === one)?.[0];
    if (!coding || !Number.isFinite(one)) return undefined;
    return exactText(exactToUnit(valueOfRaw(coding, one), splitUnit(unit)?.unit));
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
    unit: words.length > 0 ? '' : unit,
  };
}

/** The unit of the scale, or else the usual one of the value. */
function unitOf(key: string, part: FieldPart): string {
  const shape = valueShapeAt(placeOfField(key).path);
  const kinds: readonly Kind[] = shape ? kindsOf(shape, part.name) : [];
  const { scale, offset } = part;
  if (!scale?.quantity.unit) return scale ? '' : exampleUnit(kinds[0] ?? 'number');
  const symbol = scale.quantity.unit.symbol;
  if (scale.quantity.unit.dimension !== 'pressure')
    return symbol === 'K' ? (offset?.quantity.unit?.symbol ?? symbol) : symbol;
  const stated = offset?.quantity.reference ?? scale.quantity.reference;
  const fits = kinds.find((kind) => stated && kindAccepts(kind, scale.quantity.unit, stated));
  const word = stated === 'absolute' ? ' abs' : stated === 'gauge' ? ' gauge' : '';
  if (fits) return symbol + word;
  const usual = kinds
    .flatMap((kind) => unitTexts(kind))
    .find((text) => text === symbol || text.startsWith(`${symbol} `));
  return usual ?? symbol;
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
      const across = name === 'x' ? part.rows : part.columns;
      return Array.from({ length: across }, (_, j) => (name === 'x' ? [j, i] : [i, j]) as const).every(
        ([row, column]) => isFilled(part, row, column),
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

const MOST_DECIMALS = 12;

/** The decimal text of a number, as short as it is exact. */
function exactText(number: Ratio): string {
  for (let decimals = 0; decimals < MOST_DECIMALS; decimals++) {
    const text = decimalText(number, decimals);
    if (minus(exactNumber(text)!, number).top === 0n) return text;
  }
  return decimalText(number, MOST_DECIMALS).replace(/\.?0+$/, '');
}
