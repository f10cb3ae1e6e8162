import type { StorageField } from '../../generated/configuration.ts';

export type NumberTypeName = NonNullable<StorageField['type']>['text'];

/** The format of a number in memory. */
export interface NumberType {
  readonly name: NumberTypeName;
  readonly kind: 'unsigned' | 'signed' | 'float';
  readonly bytes: number;
  /** The lowest and highest number that it can represent. */
  readonly lowest: number;
  readonly highest: number;
}

/** The largest finite 32-bit number. Source: IEEE 754, binary32: (2 − 2⁻²³) · 2¹²⁷. */
const GREATEST_F32 = (2 - 2 ** -23) * 2 ** 127;

/** The type with a name such as `u16`; `i16` and `s16` are the same. */
export function numberType(name: NumberTypeName): NumberType {
  const bits = Number(name.slice(1));
  const bytes = bits / 8;
  if (name.startsWith('f')) {
    const highest = bits === 32 ? GREATEST_F32 : Number.MAX_VALUE;
    return { name, kind: 'float', bytes, lowest: -highest, highest };
  }
  return name.startsWith('u')
    ? { name, kind: 'unsigned', bytes, lowest: 0, highest: 2 ** bits - 1 }
    : { name, kind: 'signed', bytes, lowest: -(2 ** (bits - 1)), highest: 2 ** (bits - 1) - 1 };
}

/**
 * The nearest number that the type can represent. Halves are rounded away from zero; numbers outside its range become
 * the end of the range.
 */
export function nearestOf(type: NumberType, number: number): number {
  const held = Math.min(type.highest, Math.max(type.lowest, number));
  if (type.kind !== 'float') return Math.sign(held) * Math.round(Math.abs(held)) + 0;
  return type.bytes === 4 ? Math.fround(held) : held;
}
