/** By which column a table is sorted, and which way. */
export interface Order {
  readonly key: string;
  readonly isDescending: boolean;
}

/** What a row has in a column, as it is put in order. */
export type Sortable = number | string | null;

/** One press on a head sorts upwards, the next downwards, the third gives the order of the file back. */
export function nextOrder(order: Order | null, key: string): Order | null {
  if (order?.key !== key) return { key, isDescending: false };
  return order.isDescending ? null : { key, isDescending: true };
}

/** The rows in order; those that have nothing in the column stand last either way. Equal ones keep their order. */
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

/** Whether a label holds every word, in any order; no word holds of all. */
export function matches(label: string, words: string): boolean {
  const lower = label.toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => lower.includes(word));
}

/** What assistive technology is told of a head: `ascending`, `descending` or `none`. */
export function ariaSort(order: Order | null, key: string): 'ascending' | 'descending' | 'none' {
  if (order?.key !== key) return 'none';
  return order.isDescending ? 'descending' : 'ascending';
}

/** The same for the eye. */
export const arrow = (order: Order | null, key: string): string =>
  ({ ascending: ' ▲', descending: ' ▼', none: '' })[ariaSort(order, key)];
