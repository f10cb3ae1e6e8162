/** The column that a table is sorted by, and the direction. */
export interface Order {
  readonly key: string;
  readonly isDescending: boolean;
}

/** The value of a row in a column, for sorting. */
export type Sortable = number | string | null;

/** The first press on a heading sorts ascending, the second descending, the third restores the order of the file. */
export function nextOrder(order: Order | null, key: string): Order | null {
  if (order?.key !== key) return { key, isDescending: false };
  return order.isDescending ? null : { key, isDescending: true };
}

/** The sorted rows. Rows without a value are last in both directions; equal rows keep their order. */
export function sorted<Row>(
  rows: readonly Row[],
  order: Order | null,
  valueIn: (row: Row, key: string) => Sortable,
): Row[] {
  if (!order) return [...rows];
  const sign = order.isDescending ? -1 : 1;
  return rows.toSorted((one, other) => {
    const [a, b] = [valueIn(one, order.key), valueIn(other, order.key)];
    if (a === null || b === null) return Number(a === null) - Number(b === null);
    return sign * compared(a, b);
  });
}

function compared(a: number | string, b: number | string): number {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  return String(a).localeCompare(String(b), 'en', { numeric: true });
}

/** Whether a label contains all words, in any order; without words, always. */
export function matches(label: string, words: string): boolean {
  const lower = label.toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => lower.includes(word));
}

/** The value of `aria-sort` for a heading. */
export function ariaSort(order: Order | null, key: string): 'ascending' | 'descending' | 'none' {
  if (order?.key !== key) return 'none';
  return order.isDescending ? 'descending' : 'ascending';
}

/** The arrow in a heading. */
export const arrow = (order: Order | null, key: string): string =>
  ({ ascending: ' ▲', descending: ' ▼', none: '' })[ariaSort(order, key)];
