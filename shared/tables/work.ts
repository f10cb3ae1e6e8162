import { type Analysis, readingsOf } from '../analysis.ts';
import type { QuantityValue, RangeValue } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { maximumOf } from '../extremes.ts';
import {
  alsoIn,
  formatUnit,
  isFault,
  type Kind,
  kindAccepts,
  measuredQuantity,
  parseAs,
  type Quantity,
} from '../quantity/index.ts';
import { offsetsOf } from '../source/source-file.ts';
import {
  type Block,
  type Breakpoint,
  blockAt,
  breakpointAt,
  type NamedTable,
  type Stretch,
  tableAround,
  tablesIn,
} from './block.ts';
import { changeBreakpoints, middleBehind } from './breakpoints.ts';
import { changeCells } from './cells.ts';
import { axisLabel, type Change, differenceUnit, type Refusal, refuse } from './change.ts';
import { convertAxis, convertCells, convertValue, type Target } from './convert.ts';
import { heightOf, widthOf } from './surface.ts';

/** A change at a selection. `text` is what the user typed. */
export type Work =
  | { readonly kind: 'set' | 'add' | 'scale' | 'paste'; readonly text: string }
  | { readonly kind: 'fill' | 'smooth' }
  | { readonly kind: 'delete' }
  | { readonly kind: 'insert' | 'resample'; readonly axis?: 'x' | 'y'; readonly text: string }
  | { readonly kind: 'unit' | 'reference'; readonly text: string };

/** The changes that need input from the user. */
export type Question = Exclude<Work['kind'], 'fill' | 'smooth' | 'delete' | 'unit' | 'paste'>;

/** What is selected in a text: cells, a breakpoint or a single value. */
export interface Spot {
  readonly analysis: Analysis;
  readonly block: Block | undefined;
  readonly breakpoint: Breakpoint | undefined;
  /** The table around the cursor, even if the cursor is not on one of its numbers. */
  readonly table: NamedTable | undefined;
  readonly value: QuantityValue | RangeValue | undefined;
}

export function spotOf(analysis: Analysis, selections: readonly Stretch[]): Spot {
  const { file } = analysis;
  const tables = tablesIn(analysis);
  const at = selections[0]?.start ?? 0;
  const holds = ({ start, end }: Stretch) => start <= at && at <= end;
  const value = readingsOf(analysis).find(
    (reading) =>
      (reading.value.type === 'quantity' || reading.value.type === 'range') &&
      file.chunks.has(reading.node.chunk) &&
      holds(offsetsOf(file, reading.node)),
  )?.value as Spot['value'];
  const block = blockAt(file, tables, selections);
  const breakpoint = breakpointAt(file, tables, at);
  return { analysis, block, breakpoint, table: block ?? breakpoint ?? tableAround(file, tables, at), value };
}

/** The change at a spot, or why it is not possible. */
export function change(spot: Spot, work: Work): Change | Refusal {
  const { block, breakpoint, table } = spot;
  switch (work.kind) {
    case 'set':
    case 'add':
    case 'scale':
    case 'paste':
    case 'fill':
    case 'smooth':
      return block ? changeCells(block, work) : refuse('Select cells of a curve or map first.');
    case 'delete':
      if (!breakpoint) return refuse('Put the cursor on a breakpoint first.');
      return changeBreakpoints(breakpoint, breakpoint.axis, { kind: 'delete', index: breakpoint.index });
    case 'insert':
    case 'resample': {
      const axis = work.axis ?? breakpoint?.axis;
      if (!table || !axis) return refuse('Put the cursor on a breakpoint first.');
      return changeBreakpoints(table, axis, { kind: work.kind, text: work.text });
    }
    case 'unit':
      return convert(spot, { unit: work.text });
    case 'reference': {
      const ambient = parseAs('absolute pressure', work.text);
      if (isFault(ambient)) return refuse('Enter an absolute pressure, such as 101.325 kPa abs.');
      const unit = otherReference(spot);
      if (unit === undefined) return refuse('The cursor is not on a gauge or absolute pressure.');
      return convert(spot, { unit, ambient: ambient.canonical });
    }
  }
}

function convert(spot: Spot, to: Target): Change | Refusal {
  const { analysis, block, breakpoint, table, value } = spot;
  if (breakpoint) return convertAxis(analysis.file, breakpoint, breakpoint.axis, axisKind(breakpoint), to);
  if (block ?? table) return convertCells(analysis.file, (block ?? table)!, to);
  return value ? convertValue(value, to) : refuse('The cursor is not on a value with a unit.');
}

function axisKind({ table, axis }: Breakpoint): Kind {
  return measuredQuantity(table[axis]!.quantity)?.entry.kind ?? 'any';
}

/** The quantity that a conversion at the spot would convert. */
function sample({ breakpoint, table, value }: Spot): { kind: Kind; quantity: Quantity } | undefined {
  if (!table && value)
    return { kind: value.kind, quantity: value.type === 'range' ? value.high : value.quantity };
  if (!table) return undefined;
  const axis = breakpoint && table.table[breakpoint.axis];
  const nodes = axis ? axis.nodes : table.table.rows.flat();
  const largest = maximumOf(nodes.map((node) => Math.abs(Number(node.value))));
  const kind = breakpoint ? axisKind(breakpoint) : table.table.kind;
  const quantity = parseAs(kind, `${largest} ${axis ? axis.unit : table.table.unit}`.trim());
  return isFault(quantity) ? undefined : { kind, quantity };
}

/** The other customary units of the value at the spot. */
export function otherUnits(spot: Spot): string[] {
  const found = sample(spot);
  if (!found) return [];
  return alsoIn(found.quantity, found.kind).map((text) => text.replace(/^\S+\s*/, ''));
}

/** The unit at the spot with the other pressure reference; undefined if none or only one is possible. */
export function otherReference(spot: Spot): string | undefined {
  const found = sample(spot);
  const { unit, reference } = found?.quantity ?? {};
  if (!found || !unit || (reference !== 'gauge' && reference !== 'absolute')) return undefined;
  const other = reference === 'gauge' ? 'absolute' : 'gauge';
  return kindAccepts(found.kind, unit, other) ? formatUnit(unit, other) : undefined;
}

/** Standard atmospheric pressure at sea level, as a user types it. */
export const STANDARD_AMBIENT = '101.325 kPa abs';

/** The question before a change, and its initial answer. */
export interface Prompt {
  readonly prompt: string;
  readonly answer: string;
}

export function promptFor(spot: Spot, kind: Question, axis?: 'x' | 'y'): Prompt | Refusal {
  const { block, breakpoint, table } = spot;
  if (kind === 'reference') {
    const unit = otherReference(spot);
    if (unit === undefined) return refuse('The cursor is not on a gauge or absolute pressure.');
    return { prompt: `Ambient pressure for the conversion to ${unit}`, answer: STANDARD_AMBIENT };
  }
  if (kind === 'insert' || kind === 'resample') {
    const on = axis ?? breakpoint?.axis;
    const line = on && table?.table[on];
    if (!table || !on || !line) return refuse('Put the cursor on a breakpoint first.');
    const inUnit = line.unit ? `, in ${line.unit}` : '';
    return kind === 'insert'
      ? {
          prompt: `New breakpoint of ${axisLabel(table.table, on)}${inUnit}`,
          answer: middleBehind(line, breakpoint?.index ?? 0) ?? '',
        }
      : {
          prompt: `New breakpoints of ${axisLabel(table.table, on)}${inUnit}`,
          answer: line.nodes.map(({ text }) => text).join(' '),
        };
  }
  if (!block) return refuse('Select cells of a curve or map first.');
  const cells = counted(heightOf(block.area) * widthOf(block.area), 'cell');
  const inUnit = block.table.unit ? `, in ${block.table.unit}` : '';
  const first = block.table.rows[block.area.top]?.[block.area.left]?.text ?? '';
  if (kind === 'set') return { prompt: `New value for ${cells}${inUnit}`, answer: first };
  if (kind === 'add') {
    const unit = block.table.unit && `, in ${differenceUnit(block.table.unit)}`;
    return { prompt: `Amount to add to ${cells}${unit}, such as 2 or -0.5`, answer: '' };
  }
  return { prompt: `Factor for ${cells}, such as 1.05, or a signed percentage, such as +5 %`, answer: '' };
}
