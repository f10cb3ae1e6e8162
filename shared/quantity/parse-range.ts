import type { Kind } from './kinds.ts';
import { isFault, parseAs, parseQuantity, type Quantity, type QuantityFault, withUnit } from './parse.ts';

export interface QuantityRange {
  readonly low: Quantity;
  readonly high: Quantity;
}

/** Reads `LOW..HIGH UNIT`; the one unit applies to both. Offsets are into the whole text. */
export function parseRange(kind: Kind, text: string): QuantityRange | QuantityFault {
  const dots = /\.\.+/.exec(text);
  if (!dots) return notARange(kind, text);
  const highStart = dots.index + dots[0].length;
  if (dots[0] !== '..') return { fault: 'not-a-range', range: [dots.index, highStart] };
  const bare = parseQuantity(text.slice(0, dots.index));
  if (isFault(bare)) return bare;
  if (bare.unit && bare.unitRange) {
    return {
      fault: 'unit-unexpected',
      range: bare.unitRange,
      unitText: text.slice(...bare.unitRange),
      unit: bare.unit,
    };
  }
  const high = shifted(parseAs(kind, text.slice(highStart)), highStart);
  if (isFault(high)) return high;
  const { unit, reference, unitRange } = high;
  const low =
    unit && unitRange
      ? withUnit(bare.number, bare.numberRange, { unit, ...(reference && { reference }) }, unitRange)
      : bare;
  if (low.number > high.number)
    return { fault: 'range-reversed', range: [low.numberRange[0], high.numberRange[1]] };
  return { low, high };
}

function notARange(kind: Kind, text: string): QuantityFault {
  const single = parseAs(kind, text);
  if (isFault(single)) return { fault: 'not-a-range', range: [0, text.length] };
  return { fault: 'not-a-range', range: [0, text.length], quantity: single };
}

function shifted<Read extends Quantity | QuantityFault>(read: Read, by: number): Read {
  const moved = { ...read };
  for (const key of ['range', 'numberRange', 'unitRange'] as const) {
    const range = (read as Partial<Record<typeof key, readonly [number, number]>>)[key];
    if (range) Object.assign(moved, { [key]: [range[0] + by, range[1] + by] });
  }
  const inner = (read as { quantity?: Quantity }).quantity;
  return inner ? Object.assign(moved, { quantity: shifted(inner, by) }) : moved;
}
