import { counted } from '../counted.ts';
import { nearestDouble } from '../quantity/exact.ts';
import { differenceUnit } from '../quantity/index.ts';
import type { Coding } from '../storage/coding.ts';
import type { KeptPart } from '../storage/kept-parts.ts';
import type { WrittenNumber } from '../storage/written.ts';
import type { Related } from './check.ts';
import { nameOf } from './form-words.ts';
import { cellPlace } from './tables.ts';
import { formatQuantity } from './words.ts';

/** `` `fuel.target_lambda` at 3000 rpm, 100 kPa abs is 0.855 `` */
export function isWritten({ value, part }: KeptPart, number: WrittenNumber): string {
  const name = nameOf(value.node);
  const is = `is ${writtenText(number)}`;
  if (part.name !== 'values') return `A breakpoint of ${name} ${is}`;
  if (value.type === 'table') return `${name} at ${cellPlace(value, number.row, number.column)} ${is}`;
  return value.type === 'quantity' ? `${name} ${is}` : `A number in ${name} ${is}`;
}

/** `5800 rpm`, as written in the file. */
export function writtenText({ node, digits, unit }: WrittenNumber): string {
  return `${node.text.slice(...digits)} ${unit}`.trim();
}

/** ` (and 3 more cells)`, or nothing. */
export function andMore({ value, part }: KeptPart, count: number): string {
  if (count === 0) return '';
  const noun = part.name !== 'values' ? 'breakpoint' : value.type === 'table' ? 'cell' : 'number';
  return ` (and ${counted(count, `more ${noun}`)})`;
}

/** Where the controller file defines the value of a count. */
export function valueOfCount({ part, field }: KeptPart, { step }: Coding, unit: string): Related[] {
  const node = part.scale?.node ?? field.type?.node;
  const worth = formatQuantity(Math.abs(nearestDouble(step)), differenceUnit(unit));
  return node ? [{ at: node, message: `Stored as \`${part.type.name}\`, ${worth} per count.` }] : [];
}
