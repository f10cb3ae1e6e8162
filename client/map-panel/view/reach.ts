import type { TableView } from '../../../shared/tables/view.ts';

/** Whether the engine can reach the breakpoints of a cell; true if its reach is unknown. */
export function isReached({ x, y, reach }: TableView, row: number, column: number): boolean {
  const last = reach.at(-1);
  const speed = x.points[column]!;
  if (!last) return true;
  if (speed > last.x) return false;
  const corner = reach.find((one) => one.x === speed);
  if (!y || !corner || corner.y === null) return true;
  return y.points[row]! <= corner.y;
}
