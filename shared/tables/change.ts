import type { TableValue } from '../configuration/values.ts';
import { formatNumber, measuredQuantity, splitUnit } from '../quantity/index.ts';
import type { Edit } from '../source/edit.ts';
import type { ScalarNode } from '../source/tree.ts';
import type { Cells } from './surface.ts';

/** A change of a table, for a preview and for applying it. */
export interface Change {
  /** `Scale 6 cells by 1.05` */
  readonly title: string;
  /** The largest change and where it is, and whether numbers were rounded. */
  readonly summary: string;
  readonly edits: readonly Edit[];
  /** The new text of each cell that changes in place. */
  readonly cells: readonly { readonly node: ScalarNode; readonly text: string }[];
}

/** Why a change is not possible, as a sentence. */
export interface Refusal {
  readonly refusal: string;
}

export const refuse = (refusal: string): Refusal => ({ refusal });

export const isRefusal = (outcome: object): outcome is Refusal => 'refusal' in outcome;

/** The largest difference between two versions: the two values and where they are. */
export interface Largest {
  readonly before: number;
  readonly after: number;
  readonly x: number;
  readonly y: number | undefined;
}

/** The largest change between two tables with the same breakpoints; undefined if all cells are equal. */
export function largestChange(
  before: Cells,
  after: Cells,
  x: readonly number[],
  y: readonly number[] | undefined,
): Largest | undefined {
  let largest: Largest | undefined;
  before.forEach((row, r) => {
    row.forEach((cell, c) => {
      const now = after[r]![c]!;
      const size = largest ? Math.abs(largest.after - largest.before) : 0;
      if (Math.abs(now - cell) > size) largest = { before: cell, after: now, x: x[c]!, y: y?.[r] };
    });
  });
  return largest;
}

/** `largest change +2.3 points at 2400 rpm, 100 kPa abs (82.5 → 84.8)` */
export function largestWords(table: TableValue, largest: Largest | undefined): string {
  if (!largest) return 'no values change';
  const { before, after, x, y } = largest;
  const by = after - before;
  const unit = differenceUnit(table.unit);
  const places = [`${formatNumber(x, 6)} ${table.x?.unit ?? ''}`.trim()];
  if (y !== undefined) places.push(`${formatNumber(y, 6)} ${table.y?.unit ?? ''}`.trim());
  const sign = by < 0 ? '−' : '+';
  const size = `${sign}${formatNumber(Math.abs(by), 3)} ${unit}`.trim();
  return `largest change ${size} at ${places.join(', ')} (${formatNumber(before, 6)} → ${formatNumber(after, 6)})`;
}

/** The unit of a difference between numbers in `unit`: no pressure reference, K for °C, points for %. */
export function differenceUnit(unit: string): string {
  const read = splitUnit(unit);
  if (read?.unit.symbol === '°C') return 'K';
  if (read?.unit.symbol === '%') return 'points';
  return read?.unit.symbol ?? unit;
}

/** `engine speed` */
export function axisLabel(table: TableValue, axis: 'x' | 'y'): string {
  const quantity = table[axis]?.quantity ?? '';
  return measuredQuantity(quantity)?.entry.label.toLowerCase() ?? quantity;
}
