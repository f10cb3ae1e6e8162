import type { StorageField } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { type Value, valueAtPath } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { type Coding, codingOf } from './coding.ts';
import { type FieldPart, partsOf } from './layout.ts';
import { engineOf, placeOfField } from './place.ts';
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
 * Everything that the controller's fields store. The values of a map set without a field of its own are stored in the
 * field without a map set while that set is in use; a value that map sets share is listed once.
 */
export const keptParts = memo((installation: Installation): readonly KeptPart[] => {
  const { engines, controller } = installation;
  const kept: KeptPart[] = [];
  const fields = controller?.storage?.fields ?? {};
  for (const [key, field] of Object.entries(fields)) {
    const place = placeOfField(key);
    const { set, path } = place;
    const hasOwn = (i: number) => i > 0 && fields[`map_set[${i}].${path}`] !== undefined;
    const stored = set === undefined ? engines.filter((_, i) => !hasOwn(i)) : [engineOf(installation, place)];
    const steps = path.split('.');
    const values = new Set(stored.map(({ configuration }) => valueAtPath(configuration, steps)));
    for (const value of values) if (value) kept.push(...keptOf(field, path, value));
  }
  return kept;
});

/** The numbers of a value. Cached by the value, which survives edits elsewhere. */
export const partsWritten = memo((value: Value): readonly WrittenPart[] => writtenParts(value));

/** The parts of a field that store a value. */
export const keptOf = memo((field: StorageField, path: string, value: Value): readonly KeptPart[] => {
  const writtenOf = partsWritten(value);
  return partsOf(field).flatMap((part) => {
    const written = writtenOf.find(({ name }) => name === part.name);
    const coding = written && codingOf(part, written.numbers[0]?.unit ?? '');
    return written ? [{ path, field, value, part, written, coding }] : [];
  });
});
