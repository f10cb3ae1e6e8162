import type { QuantityValue, RangeValue } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import {
  fromUnit,
  isFault,
  type Kind,
  type PressureReference,
  parseAs,
  type Quantity,
  toUnit,
  type Unit,
} from '../quantity/index.ts';
import { type Edit, insertEntry, removeEntry, replace } from '../source/edit.ts';
import type { SourceFile } from '../source/source-file.ts';
import type { MappingNode } from '../source/tree.ts';
import { decimalsOf, type Spelling, spell, spellingOf, spellingWithin, stepOf } from '../spelling.ts';
import { type NamedTable, writtenPoints } from './block.ts';
import { indices } from './cells.ts';
import { axisLabel, type Change, differenceUnit, type Refusal, refuse } from './change.ts';
import { gridEdits, whyFixed } from './grid-edits.ts';
import { listEdits } from './list-edits.ts';
import { inQuotesOf, isShared, needsQuotes } from './shared-text.ts';

/** The new unit, and the ambient pressure (Pa, absolute) for a conversion between gauge and absolute pressure. */
export interface Target {
  readonly unit: string;
  readonly ambient?: number;
}

interface Scale {
  readonly unit: Unit | undefined;
  readonly reference: PressureReference | undefined;
}

/** Converts the cells of a table to another unit. */
export function convertCells(file: SourceFile, { table, label }: NamedTable, to: Target): Change | Refusal {
  const fixed = whyFixed(table, false) ?? sharedUnit(table.node);
  if (fixed) return refuse(fixed);
  const numbers = table.rows.flat().map((cell) => cell.value as number);
  const written = spellingOf(table.rows.flat().map(({ text }) => text));
  const made = convertNumbers(table.kind, table.unit, to, numbers, written);
  if ('refusal' in made) return made;
  const width = table.x!.breakpoints.length;
  const texts = table.rows.map((_, r) => made.texts.slice(r * width, (r + 1) * width));
  const nodes = table.rows.flat();
  return {
    title: `Convert ${label.toLowerCase()} to ${unitName(to.unit)}`,
    summary: made.summary,
    edits: [
      ...unitEdits(file, table.node, to.unit, table.y ? 'y' : 'x'),
      ...gridEdits(table, { rows: indices(texts), columns: indices(texts[0]!), texts }),
    ],
    cells: nodes.map((node, i) => ({ node, text: made.texts[i]! })),
  };
}

/** Converts the breakpoints of an axis to another unit. */
export function convertAxis(
  file: SourceFile,
  { table }: NamedTable,
  on: 'x' | 'y',
  kind: Kind,
  to: Target,
): Change | Refusal {
  const axis = table[on];
  const list = axis?.node.get('breakpoints');
  if (!axis || list?.type !== 'sequence' || axis.breakpoints.length !== axis.nodes.length)
    return refuse('The axis is incomplete: a breakpoint is missing or is not a number.');
  if (isShared(table.node, on) || isShared(axis.node, 'breakpoints') || isShared(axis.node, 'unit'))
    return refuse('Other tables share this axis through a YAML anchor and would change too.');
  const written = spellingOf(axis.nodes.map(({ text }) => text));
  const made = convertNumbers(kind, axis.unit, to, writtenPoints(axis), written);
  if ('refusal' in made) return made;
  const rises = made.texts.every((text, i) => i === 0 || Number(text) > Number(made.texts[i - 1]));
  if (!rises) return refuse('Two breakpoints would become equal.');
  const items = axis.nodes.map((node, i) => ({ from: node, text: made.texts[i]! }));
  return {
    title: `Convert ${axisLabel(table, on)} to ${unitName(to.unit)}`,
    summary: made.summary,
    edits: [...unitEdits(file, axis.node, to.unit, 'quantity'), ...listEdits(list, items)],
    cells: items.map(({ from, text }) => ({ node: from, text })),
  };
}

/** Converts a value or a range to another unit. */
export function convertValue(value: QuantityValue | RangeValue, to: Target): Change | Refusal {
  const { node, kind } = value;
  const parts: readonly Quantity[] = value.type === 'range' ? [value.low, value.high] : [value.quantity];
  const unit = node.text.slice(...(parts.at(-1)!.unitRange ?? [node.text.length, node.text.length]));
  const texts = parts.map(({ numberRange }) => node.text.slice(...numberRange));
  const spelling: Spelling = { decimals: maximumOf(texts.map(decimalsOf)), padded: true };
  const numbers = parts.map(({ number }) => number);
  const made = convertNumbers(kind, unit, to, numbers, spelling);
  if ('refusal' in made) return made;
  const text = `${made.texts.join('..')} ${to.unit}`.trim();
  return {
    title: `Convert to ${text}`,
    summary: made.summary,
    edits: [replace(node, inQuotesOf(node, text))],
    cells: [{ node, text }],
  };
}

interface Converted {
  readonly texts: string[];
  readonly summary: string;
}

/** Converts numbers between units, accurate to a hundredth of the step in which they were written. */
function convertNumbers(
  kind: Kind,
  unit: string,
  to: Target,
  numbers: readonly number[],
  written: Spelling,
): Converted | Refusal {
  const from = scaleOf(kind, unit);
  const target = scaleOf(kind, to.unit);
  if (!from || !target) return refuse(`${unitName(to.unit)} cannot be used for this quantity.`);
  const shift = shiftBetween(from, target, to.ambient);
  if (shift === undefined)
    return refuse('A conversion between gauge and absolute pressure needs an ambient pressure.');
  const converted = numbers.map((number) => toScale(fromScale(number, from) + shift, target));
  const unitStep = Math.abs(toScale(fromScale(1, from), target) - toScale(fromScale(0, from), target));
  const spelling = spellingWithin(converted, stepOf(written) * unitStep);
  const texts = converted.map((number) => spell(number, spelling));
  if (!converted.every(Number.isFinite)) return refuse('A converted value would be too large.');
  const most = Math.max(0, ...texts.map((text, i) => Math.abs(Number(text) - converted[i]!)));
  const rounding =
    most > 1e-9 * maximumOf(converted.map(Math.abs))
      ? `rounded by at most ${Number(most.toPrecision(1))} ${differenceUnit(to.unit)}`.trimEnd()
      : 'exact';
  return { texts, summary: shift === 0 ? rounding : `${rounding}; valid only at this ambient pressure` };
}

function scaleOf(kind: Kind, unit: string): Scale | undefined {
  const read = parseAs(kind, `1 ${unit}`.trim());
  return isFault(read) ? undefined : { unit: read.unit, reference: read.reference };
}

const fromScale = (number: number, { unit }: Scale): number => (unit ? fromUnit(number, unit) : number);
const toScale = (canonical: number, { unit }: Scale): number => (unit ? toUnit(canonical, unit) : canonical);

/** The shift of a pressure when its reference changes; undefined if an ambient pressure is needed. */
function shiftBetween(from: Scale, to: Scale, ambient: number | undefined): number | undefined {
  if (from.reference === to.reference) return 0;
  if (ambient === undefined) return undefined;
  if (from.reference === 'gauge' && to.reference === 'absolute') return ambient;
  return from.reference === 'absolute' && to.reference === 'gauge' ? -ambient : undefined;
}

function sharedUnit(node: MappingNode): string | undefined {
  return isShared(node, 'unit') || isShared(node, 'values')
    ? 'Other tables share this table through a YAML anchor and would change too.'
    : undefined;
}

/** The edits that change the key `unit`; plain numbers have no such key. */
function unitEdits(file: SourceFile, mapping: MappingNode, unit: string, after: string): Edit[] {
  const entry = mapping.entry('unit');
  if (entry?.value.type === 'scalar') {
    return unit === ''
      ? removeEntry(file, mapping, entry)
      : [replace(entry.value, inQuotesOf(entry.value, unit))];
  }
  if (unit === '') return [];
  return [
    insertEntry(mapping, 'unit', { line: needsQuotes(unit) ? `"${unit}"` : unit }, mapping.entry(after)),
  ];
}

export const unitName = (unit: string): string => (unit === '' ? 'plain numbers' : unit);
