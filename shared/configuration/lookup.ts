import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Axis, TableValue } from './values.ts';

/** Identifies a table of an engine, so that the same table can be found in every version of the file. */
export type WhichTable = (configuration: EngineConfiguration) => TableValue | undefined;

/**
 * The position of a value on an axis: at the fraction `share` of the way from breakpoint `index` to the next. Values
 * outside the axis are at its edge.
 */
export interface AxisPlace {
  readonly index: number;
  readonly share: number;
}

export function placeOnAxis(axis: Pick<Axis, 'breakpoints'>, value: number): AxisPlace {
  const points = axis.breakpoints;
  const last = points.length - 1;
  if (last <= 0 || value <= points[0]!) return { index: 0, share: 0 };
  if (value >= points[last]!) return { index: last - 1, share: 1 };
  let index = 0;
  while (points[index + 1]! <= value) index++;
  return { index, share: (value - points[index]!) / (points[index + 1]! - points[index]!) };
}

/**
 * The value of a table in canonical units: linear between breakpoints (bilinear for a map), the edge value outside. `x`
 * and `y` are in canonical units and in the axis's pressure reference. Undefined if the table is incomplete.
 */
export function lookUp(table: TableValue, x: number, y?: number): number | undefined {
  if (!table.cells || !table.x) return undefined;
  const width = table.x.breakpoints.length;
  const across = placeOnAxis(table.x, x);
  if (!table.y) return along(table.cells, 0, across, width);
  if (y === undefined) return undefined;
  const down = placeOnAxis(table.y, y);
  const above = along(table.cells, down.index * width, across, width);
  if (down.share === 0) return above;
  const below = along(table.cells, (down.index + 1) * width, across, width);
  return above + (below - above) * down.share;
}

function along(cells: Float64Array, start: number, { index, share }: AxisPlace, width: number): number {
  const left = cells[start + index]!;
  if (share === 0 || width === 1) return left;
  return left + (cells[start + index + 1]! - left) * share;
}
