import type { StorageField } from '../../generated/configuration.ts';
import { BINARY32, BINARY64, nearestBinary, nearestWhole, type Ratio } from '../quantity/exact.ts';

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

/** The type with a name such as `u16`; `i16` and `s16` are the same. */
export function numberType(name: NumberTypeName): NumberType {
  const bits = Number(name.slice(1));
  const bytes = bits / 8;
  if (name.startsWith('f')) {
    const highest = (bits === 32 ? BINARY32 : BINARY64).highest;
    return { name, kind: 'float', bytes, lowest: -highest, highest };
  }
  return name.startsWith('u')
    ? { name, kind: 'unsigned', bytes, lowest: 0, highest: 2 ** bits - 1 }
    : { name, kind: 'signed', bytes, lowest: -(2 ** (bits - 1)), highest: 2 ** (bits - 1) - 1 };
}

/** The nearest number that a type can represent, and whether the wanted one is outside its range. */
export interface Nearest {
  readonly raw: number;
  readonly overflows: boolean;
}

/**
 * The nearest number that the type can represent. Halves are rounded away from zero, those of floating-point numbers to
 * even; numbers outside the range of the type become the end of the range.
 */
export function nearestOf(type: NumberType, wanted: Ratio): Nearest {
  const raw =
    type.kind === 'float'
      ? nearestBinary(wanted, type.bytes === 4 ? BINARY32 : BINARY64)
      : Number(nearestWhole(wanted));
  const held = Math.min(type.highest, Math.max(type.lowest, raw));
  return { raw: held, overflows: held !== raw };
}

/** Writes a number that the type can represent. */
export function writeRaw(type: NumberType, raw: number, view: DataView, at: number, little: boolean): void {
  const { kind, bytes } = type;
  if (bytes === 8) view.setFloat64(at, raw, little);
  else if (kind === 'float') view.setFloat32(at, raw, little);
  // The bits of a negative number are those of its remainder.
  else if (bytes === 4) view.setUint32(at, raw, little);
  else if (bytes === 2) view.setUint16(at, raw, little);
  else view.setUint8(at, raw);
}

/** Reads a number of the type; a floating-point number may be infinite or not a number. */
export function readRaw({ kind, bytes }: NumberType, view: DataView, at: number, little: boolean): number {
  if (kind === 'float') return bytes === 8 ? view.getFloat64(at, little) : view.getFloat32(at, little);
  const isSigned = kind === 'signed';
  if (bytes === 4) return isSigned ? view.getInt32(at, little) : view.getUint32(at, little);
  if (bytes === 2) return isSigned ? view.getInt16(at, little) : view.getUint16(at, little);
  return isSigned ? view.getInt8(at) : view.getUint8(at);
}
