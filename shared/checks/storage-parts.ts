import type { StorageField } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { type Value, valueAtPath } from '../configuration/values.ts';
import { stepUnit } from '../derived/bus-signals.ts';
import { memo } from '../memo.ts';
import { type Coding, codingOf } from '../storage/coding.ts';
import { type FieldPart, partsOf } from '../storage/layout.ts';
import { type WrittenNumber, type WrittenPart, writtenParts } from '../storage/written.ts';
import type { Related } from './check.ts';
import { nameOf } from './form-words.ts';
import { cellPlace } from './tables.ts';
import { formatQuantity } from './words.ts';

/** Numbers of an engine file and the part of a field that keeps them. */
export interface KeptPart {
  readonly path: string;
  readonly field: StorageField;
  readonly value: Value;
  readonly part: FieldPart;
  readonly written: WrittenPart;
  /** Undefined where the field's scale or offset does not fit the numbers. */
  readonly coding: Coding | undefined;
}

/** Everything that the controller's fields keep, in each engine that a map set makes; what sets share stands once. */
export const keptParts = memo(({ engines, controller }: Installation): readonly KeptPart[] => {
  const kept: KeptPart[] = [];
  for (const [path, field] of Object.entries(controller?.storage?.fields ?? {})) {
    const steps = path.split('.');
    const values = new Set(engines.map(({ configuration }) => valueAtPath(configuration, steps)));
    for (const value of values) {
      if (value) kept.push(...keptOf(field, path, value));
    }
  }
  return kept;
});

/** The numbers of a value, which outlives a keystroke elsewhere. */
export const partsWritten = memo((value: Value): readonly WrittenPart[] => writtenParts(value));

const keptOf = memo((field: StorageField, path: string, value: Value): readonly KeptPart[] => {
  const writtenOf = partsWritten(value);
  return partsOf(field).flatMap((part) => {
    const written = writtenOf.find(({ name }) => name === part.name);
    const coding = written && codingOf(part, written.numbers[0]?.unit ?? '');
    return written ? [{ path, field, value, part, written, coding }] : [];
  });
});

/** `` `fuel.target_lambda` at 3000 rpm, 100 kPa abs is 0.855 `` */
export function isWritten({ value, part }: KeptPart, number: WrittenNumber): string {
  const name = nameOf(value.node);
  const is = `is ${writtenText(number)}`;
  if (part.name !== 'values') return `A breakpoint of ${name} ${is}`;
  if (value.type === 'table') return `${name} at ${cellPlace(value, number.row, number.column)} ${is}`;
  return value.type === 'quantity' ? `${name} ${is}` : `A number of ${name} ${is}`;
}

/** `5800 rpm`, as it stands in the file. */
export function writtenText({ node, digits, unit }: WrittenNumber): string {
  return `${node.text.slice(...digits)} ${unit}`.trim();
}

/** ` (and 3 more cells)`, or nothing. */
export function andMore({ value, part }: KeptPart, count: number): string {
  if (count === 0) return '';
  const noun = part.name !== 'values' ? 'breakpoint' : value.type === 'table' ? 'cell' : 'number';
  return ` (and ${count} more ${noun}${count === 1 ? '' : 's'})`;
}

/** Where the controller says what a count is worth. */
export function worthOfCount({ part, field }: KeptPart, { step }: Coding, unit: string): Related[] {
  const node = part.scale?.node ?? field.type?.node;
  const worth = formatQuantity(Math.abs(step), stepUnit(unit));
  return node ? [{ at: node, message: `Kept as ${part.type.name}, ${worth} a count.` }] : [];
}
