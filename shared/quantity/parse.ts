import { dimensionOf, type Mismatch, misfit } from './kind-rules.ts';
import type { Dimension, Kind, PressureReference } from './kinds.ts';
import { splitTolerance, type Tolerance, type ToleranceFault, toleranceRange } from './tolerance.ts';
import { toCanonical, type Unit } from './unit.ts';
import { readUnit, referenceWords, type UnitReading } from './unit-text.ts';
import { unitNamed } from './units.ts';

/** Offsets into the parsed text, the end not included. */
export type TextRange = readonly [start: number, end: number];

export interface Quantity {
  /** As written. */
  readonly number: number;
  readonly unit?: Unit;
  /** Of a pressure only. */
  readonly reference?: PressureReference;
  /** In the dimension's canonical unit; a gauge pressure stays what it is, Pa above ambient. */
  readonly canonical: number;
  readonly numberRange: TextRange;
  /** Unit and reference word. */
  readonly unitRange?: TextRange;
  readonly tolerance?: Tolerance;
}

export interface QuantityFault {
  readonly fault: 'not-a-number' | 'not-a-range' | 'range-reversed' | 'unit-unknown' | 'tolerance' | Mismatch;
  /** What is wrong with a tolerance. */
  readonly tolerance?: ToleranceFault;
  readonly range: TextRange;
  readonly unitText?: string;
  readonly unit?: Unit;
  /** The unit that was probably meant. */
  readonly suggestion?: Unit;
  /** The text to replace the range: a unit with its reference word, a reference word, a number. */
  readonly suggestedText?: string;
  /** What could still be read. */
  readonly quantity?: Quantity;
}

export function isFault<Read extends object>(read: Read | QuantityFault): read is QuantityFault {
  return 'fault' in read;
}

/** Reads `NUMBER UNIT`, whatever the unit. A number alone has no unit; a bare pressure is a difference. */
export function parseQuantity(text: string): Quantity | QuantityFault {
  return read(text);
}

/** Reads a quantity that must be of the kind. */
export function parseAs(kind: Kind, text: string): Quantity | QuantityFault {
  const quantity = read(text, dimensionOf(kind));
  if (isFault(quantity)) return quantity;
  const reason = misfit(kind, quantity.unit, quantity.reference);
  return reason ? mismatchFault(reason, kind, text, quantity) : quantity;
}

/** The two whole-number forms are those of YAML's core schema. */
const NUMBER = /0x[\da-f]+|0o[0-7]+|[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/iy;
/** What makes the number before it ambiguous: `1_000`, `1,000`, `1 000`, `1.2.3`. */
const DOUBTFUL = /(?:\s*[\p{N}_,.'’]\S*)+/uy;
/** Characters that look like a minus sign. */
const DASH = /[\u2010-\u2015\u2212]\s*/y;

function read(text: string, dimension?: Dimension): Quantity | QuantityFault {
  const start = text.length - text.trimStart().length;
  const end = text.trimEnd().length;
  if (start >= end) return { fault: 'not-a-number', range: [0, text.length] };
  const mark = splitTolerance(text);
  if (mark)
    return { fault: 'tolerance', range: toleranceRange(text, mark.at), tolerance: { problem: 'not-here' } };
  const numberEnd = matchEnd(NUMBER, text, start);
  if (numberEnd === undefined) return notANumber(text, start, end);
  const doubtful = matchEnd(DOUBTFUL, text, numberEnd);
  if (doubtful !== undefined) return { fault: 'not-a-number', range: [start, doubtful] };
  const written = text.slice(start, numberEnd);
  const number = Number(written);
  const isLost = number === 0 && /^[^e]*[1-9]/i.test(written);
  if (!Number.isFinite(number) || isLost) return { fault: 'not-a-number', range: [start, numberEnd] };
  const numberRange: TextRange = [start, numberEnd];
  if (numberEnd === end) return { number, canonical: number, numberRange };
  const unitStart = numberEnd + text.slice(numberEnd).search(/\S/);
  const unit = readUnit(text.slice(unitStart, end), dimension);
  if ('fault' in unit) {
    const bare: Quantity = { number, canonical: number, numberRange };
    return { ...unit, range: [unitStart + unit.range[0], unitStart + unit.range[1]], quantity: bare };
  }
  const quantity = withUnit(number, numberRange, unit, [unitStart, end]);
  return Number.isFinite(quantity.canonical) ? quantity : { fault: 'not-a-number', range: numberRange };
}

/** Combines a number and a unit, each with its place in the text. */
export function withUnit(
  number: number,
  numberRange: TextRange,
  { unit, reference }: UnitReading,
  unitRange: TextRange,
): Quantity {
  const canonical = toCanonical(number, unit);
  return { number, unit, ...(reference && { reference }), canonical, numberRange, unitRange };
}

function matchEnd(pattern: RegExp, text: string, at: number): number | undefined {
  pattern.lastIndex = at;
  return pattern.test(text) ? pattern.lastIndex : undefined;
}

function notANumber(text: string, start: number, end: number): QuantityFault {
  const digits = matchEnd(DASH, text, start);
  const numberEnd = digits === undefined ? undefined : matchEnd(NUMBER, text, digits);
  if (numberEnd === undefined) return { fault: 'not-a-number', range: [start, end] };
  return {
    fault: 'not-a-number',
    range: [start, numberEnd],
    suggestedText: `-${text.slice(digits, numberEnd)}`,
  };
}

function mismatchFault(fault: Mismatch, kind: Kind, text: string, quantity: Quantity): QuantityFault {
  const { unit, reference, unitRange, numberRange } = quantity;
  if (!unit || !unitRange) return { fault, range: numberRange, quantity };
  const [start, end] = unitRange;
  const word = fault === 'reference-unexpected' && reference ? referenceWords[reference].length : end - start;
  const range: TextRange = [end - word, end];
  const unitText = text.slice(...range);
  const meant = fault === 'wrong-kind' ? meantInstead(kind, unit, unitText) : undefined;
  const suggested = meant && { suggestion: meant, suggestedText: meant.symbol };
  return { fault, range, unitText, unit, ...suggested, quantity };
}

/** `15 °C` for a difference means 15 K; `68 F` for a temperature is not a capacitance. */
function meantInstead(kind: Kind, unit: Unit, text: string): Unit | undefined {
  if (kind === 'temperature difference') return unit.symbol === '°C' ? unitNamed('K') : undefined;
  return kind === 'temperature' ? unitNamed(`°${text}`) : undefined;
}
