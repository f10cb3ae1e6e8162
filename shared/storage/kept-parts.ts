import type { StorageField } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { type Value, valueAtPath } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { type Coding, codingOf } from './coding.ts';
import { type FieldPart, partsOf } from './layout.ts';
import { type WrittenPart, writtenParts } from './written.ts';

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
