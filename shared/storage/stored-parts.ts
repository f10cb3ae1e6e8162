import type { StorageField } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import type { Installation } from '../configuration/installation.ts';
import type { QuantityValue, Value } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import { exactOf, type Ratio } from '../quantity/exact.ts';
import type { Node, ScalarNode } from '../source/tree.ts';
import { type KeptPart, keptOf } from './kept-parts.ts';
import { addressOf, type FieldPart, partLabels, partsOf } from './layout.ts';
import { type NumberType, nearestOf } from './number-type.ts';
import { valueShapeAt } from './path.ts';
import { engineOf, placeOfField, valueOfField, writtenAt } from './place.ts';
import { storedNumbers } from './stored-numbers.ts';
import type { WrittenNumber } from './written.ts';

/** Why an image cannot be built, and where that is written. */
export interface StorageFault {
  readonly node: Node;
  /** A sentence. */
  readonly message: string;
}

/** A number or word as it is stored. */
export interface StoredCell {
  readonly row: number;
  readonly column: number;
  readonly raw: number;
  readonly node: ScalarNode;
  /** Of a number; undefined for a word. */
  readonly number:
    | { readonly written: WrittenNumber; readonly exact: Ratio; readonly kept: Ratio }
    | undefined;
  /** Of a word. */
  readonly word: string | undefined;
}

/** A block of stored numbers: the values of a field or one of its axes, as far as the engine uses it. */
export interface StoredPart {
  /** The key of the field: `map_set[2].boost.target`. */
  readonly key: string;
  readonly field: StorageField;
  readonly part: FieldPart;
  readonly kept: KeptPart;
  /** The unit in which the numbers are written; empty for words and numbers without a unit. */
  readonly unit: string;
  readonly rows: number;
  readonly columns: number;
  /** Row by row. */
  readonly cells: readonly StoredCell[];
}

export interface StoredParts {
  readonly parts: readonly StoredPart[];
  readonly faults: readonly StorageFault[];
}

/** `` the x axis of `boost.target` `` */
export const labelOf = ({ key, part }: Pick<StoredPart, 'key' | 'part'>): string =>
  `${partLabels[part.name]}\`${key}\``;

/** Everything that the fields of the controller store of this engine, in the order of the layout. */
export const storedParts = memo((installation: Installation): StoredParts => {
  const parts: StoredPart[] = [];
  const faults: StorageFault[] = [];
  for (const [key, field] of Object.entries(installation.controller?.storage?.fields ?? {})) {
    const value = valueOfField(installation, key);
    const place = placeOfField(key);
    const written = value ? undefined : writtenAt(engineOf(installation, place).configuration, place.path);
    // Without a value the place is filled; with one that cannot be used, nobody has chosen what is there.
    if (written && valueShapeAt(place.path)) {
      faults.push({
        node: written,
        message: `The value of \`${key}\` cannot be used, so it cannot be stored.`,
      });
    }
    if (!value) continue;
    const found = keptOf(field, place.path, value);
    faults.push(...missingParts(key, field, value, found));
    for (const kept of found) {
      const read = storedPart(kept, key);
      if ('message' in read) faults.push(read);
      else parts.push(read);
    }
  }
  return { parts, faults };
});

/** The parts of a field that a value does not have: nobody has chosen what is there. */
function missingParts(
  key: string,
  field: StorageField,
  { node }: Value,
  found: readonly KeptPart[],
): StorageFault[] {
  const missing = partsOf(field).filter(({ name }) => !found.some(({ part }) => part.name === name));
  if (missing.some(({ name }) => name === 'values'))
    return [{ node, message: `A number of \`${key}\` is missing or cannot be read.` }];
  return missing.map(({ name }) => ({
    node,
    message: `\`${key}\` has no ${name} axis, but its field stores one.`,
  }));
}

/** Cached, because an edit changes few of thousands of values. */
const storedPart = memo((kept: KeptPart, key: string): StoredPart | StorageFault => {
  const { field, part, written, coding } = kept;
  const { rows, columns, numbers, words } = written;
  const node = numbers[0]?.node ?? words[0]?.node ?? kept.value.node;
  const label = labelOf({ key, part });
  if (numbers.length + words.length !== rows * columns || rows * columns === 0) {
    return { node: kept.value.node, message: `A number of ${label} is missing or cannot be read.` };
  }
  if (rows > part.rows || columns > part.columns) {
    const isFlat = part.rows === 1 && rows === 1;
    const [own, size] = [written, part].map((one) => (isFlat ? one.columns : `${one.columns} x ${one.rows}`));
    return {
      node: written.columnsNode,
      message: `${capital(label)} has ${own} values; its field stores ${size}.`,
    };
  }
  const cells: StoredCell[] = [];
  for (const { node, word, row, column } of words) {
    const raw = codeOf(field, word);
    if (!raw) return { node, message: `${capital(label)} is \`${word}\`, for which its field has no code.` };
    if (!holds(part.type, raw.canonical)) {
      return {
        node: raw.node,
        message: `The code of \`${word}\` is ${raw.node.text}, which \`${part.type.name}\` cannot store.`,
      };
    }
    cells.push({ row, column, raw: raw.canonical, node, number: undefined, word });
  }
  if (numbers.length > 0 && !coding) {
    return { node, message: `The scale or offset of ${label} does not fit its value.` };
  }
  for (const { number, exact, stored } of storedNumbers(kept)) {
    const { node, row, column } = number;
    if (stored.overflows) {
      const text = `${node.text.slice(...number.digits)} ${number.unit}`.trim();
      return { node, message: `${capital(label)} contains ${text}, which its field cannot store.` };
    }
    const { raw, kept: keeps } = stored;
    cells.push({ row, column, raw, node, number: { written: number, exact, kept: keeps }, word: undefined });
  }
  return { key, field, part, kept, unit: numbers[0]?.unit ?? '', rows, columns, cells };
});

/** The stored number of a word or flag. */
export const codeOf = ({ codes }: StorageField, word: string): QuantityValue | undefined =>
  codes && Object.hasOwn(codes, word) ? codes[word] : undefined;

const holds = (type: NumberType, raw: number): boolean =>
  Number.isInteger(raw) && !nearestOf(type, exactOf(raw)).overflows;

/** The address of a cell, relative to the base address. */
export const addressOfCell = ({ part }: StoredPart, { row, column }: StoredCell): number =>
  addressOf(part, row, column);
