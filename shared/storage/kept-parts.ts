import type { StorageField } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { type Value, valueAtPath } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { type Coding, codingOf } from './coding.ts';
import { type FieldPart, partsOf } from './layout.ts';
import { type WrittenPart, writtenParts } from './written.ts';

/** The numbers of a value in an engine file, and the part of a field that stores them. */
export interface KeptPart {
  readonly path: string;
  readonly field: StorageField;
  readonly value: Value;
  readonly part: FieldPart;
  readonly written: WrittenPart;
  /** Undefined if the scale or offset of the field does not fit the numbers. */
  readonly coding: Coding | undefined;
}

/**
 * Everything that the controller's fields store, for the engine with each map set. A value that map sets share is
 * listed once.
 */
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

/** The numbers of a value. Cached by the value, which survives edits elsewhere. */
export const partsWritten = memo((value: Value): readonly WrittenPart[] => writtenParts(value));

const keptOf = memo((field: StorageField, path: string, value: Value): readonly KeptPart[] => {
  const writtenOf = partsWritten(value);
  return partsOf(field).flatMap((part) => {
    const written = writtenOf.find(({ name }) => name === part.name);
    const coding = written && codingOf(part, written.numbers[0]?.unit ?? '');
    return written ? [{ path, field, value, part, written, coding }] : [];
  });
});
