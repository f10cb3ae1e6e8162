import type { TableValue } from '../configuration/values.ts';
import { formatNumber, measuredQuantity, splitUnit } from '../quantity/index.ts';
import type { Edit } from '../source/edit.ts';
import type { ScalarNode } from '../source/tree.ts';
import type { Cells } from './surface.ts';

/** A change of a table, ready to be shown and to be made. */
export interface Change {
  /** `Scale 6 cells by 1.05` */
  readonly title: string;
  /** How much changes at most, and where; what was rounded. */
  readonly summary: string;
  readonly edits: readonly Edit[];
  /** What becomes of each cell that stays in its place and changes. */
  readonly cells: readonly { readonly node: ScalarNode; readonly text: string }[];
}

/** Why nothing can be changed, as a sentence. */
export interface Refusal {
  readonly refusal: string;
}

export const refuse = (refusal: string): Refusal => ({ refusal });

export const isRefusal = (outcome: object): outcome is Refusal => 'refusal' in outcome;

/** The largest difference of two versions, where it is, and the two values there. */
export interface Largest {
  readonly before: number;
  readonly after: number;
  readonly x: number;
  readonly y: number | undefined;
}

/** The largest change between tables over the same breakpoints; undefined where none changes. */
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

/** `largest change +2.3 % at 2400 rpm, 100 kPa abs (82.5 → 84.8)` */
export function largestWords(table: TableValue, largest: Largest | undefined): string {
  if (!largest) return 'no value changes';
  const { before, after, x, y } = largest;
  const by = after - before;
  const unit = differenceUnit(table.unit);
  const places = [`${formatNumber(x, 6)} ${table.x?.unit ?? ''}`.trim()];
  if (y !== undefined) places.push(`${formatNumber(y, 6)} ${table.y?.unit ?? ''}`.trim());
  const sign = by < 0 ? '−' : '+';
  const size = `${sign}${formatNumber(Math.abs(by), 3)} ${unit}`.trim();
  return `largest change ${size} at ${places.join(', ')} (${formatNumber(before, 6)} → ${formatNumber(after, 6)})`;
}

/** The unit of a difference: without a pressure reference; of temperatures in °C, kelvins. */
export function differenceUnit(unit: string): string {
  const read = splitUnit(unit);
  if (read?.unit.symbol === '°C') return 'K';
  return read?.unit.symbol ?? unit;
}

/** `engine speed` */
export function axisLabel(table: TableValue, axis: 'x' | 'y'): string {
  const quantity = table[axis]?.quantity ?? '';
  return measuredQuantity(quantity)?.entry.label.toLowerCase() ?? quantity;
}
