import type { StorageField } from '../../generated/configuration.ts';

export type NumberTypeName = NonNullable<StorageField['type']>['text'];

/** How one number is kept in memory. */
export interface NumberType {
  readonly name: NumberTypeName;
  readonly kind: 'unsigned' | 'signed' | 'float';
  readonly bytes: number;
  /** The least and the greatest number that it holds. */
  readonly lowest: number;
  readonly highest: number;
}

/** The greatest finite number of 32 bits. Source: IEEE 754, binary32: (2 − 2⁻²³) · 2¹²⁷. */
const GREATEST_F32 = (2 - 2 ** -23) * 2 ** 127;

/** The type of a name such as `u16`; `i16` and `s16` are the same. */
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

/** The number of the type next to `number`: a half is rounded away from zero, what lies beyond an end becomes that end. */
export function nearestOf(type: NumberType, number: number): number {
  const held = Math.min(type.highest, Math.max(type.lowest, number));
  if (type.kind !== 'float') return Math.sign(held) * Math.round(Math.abs(held)) + 0;
  return type.bytes === 4 ? Math.fround(held) : held;
}
