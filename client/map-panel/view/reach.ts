import type { TableView } from '../../../shared/tables/view.ts';

/** Whether some state of the envelope is at the breakpoints of a cell; true if its reach is unknown. */
export function isReached({ x, y, reach }: TableView, row: number, column: number): boolean {
  const [first, last] = [reach[0], reach.at(-1)];
  const speed = x.points[column]!;
  if (!first || !last) return true;
  if (speed < first.x || speed > last.x) return false;
  const at = reach.find((one) => one.x === speed);
  if (!y || !at || at.low === null || at.high === null) return true;
  return at.low <= y.points[row]! && y.points[row]! <= at.high;
}
