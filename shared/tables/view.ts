import type { Analysis } from '../analysis.ts';
import type { Axis } from '../configuration/values.ts';
import { splitUnit, toUnit } from '../quantity/index.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { axisName } from './axis-title.ts';
import { type NamedTable, writtenPoints } from './block.ts';
import { pointsOn, reachOn } from './operating-region.ts';

/** A table as a panel draws it: plain data, each number in the unit given with it. */
export interface TableView {
  readonly path: string;
  readonly label: string;
  readonly unit: string;
  readonly x: AxisView;
  /** Null for a curve. */
  readonly y: AxisView | null;
  readonly numbers: readonly (readonly number[])[];
  /** The cells as written. */
  readonly texts: readonly (readonly string[])[];
  readonly points: readonly PointView[];
  /**
   * The part that some state of the envelope reaches: between the lowest and the highest `y` at each speed, or at any y.
   * Empty if it is unknown.
   */
  readonly reach: readonly {
    readonly x: number;
    readonly low: number | null;
    readonly high: number | null;
  }[];
}

export interface AxisView {
  readonly label: string;
  readonly unit: string;
  readonly points: readonly number[];
  readonly texts: readonly string[];
}

export interface PointView {
  readonly name: string;
  readonly x: number;
  readonly y: number | null;
  readonly value: number;
}

export const pathOfTable = ({ table }: NamedTable): string => pathText(pathOf(table.node));

/** The view of a table; undefined if its rows do not match its breakpoints. */
export function viewOf({ derivation }: Analysis, named: NamedTable): TableView | undefined {
  const { table, label } = named;
  const { x, y } = table;
  if (!table.cells || !x) return undefined;
  const inY = (canonical: number | undefined) =>
    y && canonical !== undefined ? inUnit(canonical, y.unit) : null;
  return {
    path: pathOfTable(named),
    label,
    unit: table.unit,
    x: axisView(x),
    y: y ? axisView(y) : null,
    numbers: table.rows.map((row) => row.map(({ value }) => Number(value))),
    texts: table.rows.map((row) => row.map(({ text }) => text)),
    points: (derivation ? pointsOn(derivation, table) : []).map((point) => ({
      name: point.name,
      x: inUnit(point.x, x.unit),
      y: inY(point.y),
      value: inUnit(point.value, table.unit),
    })),
    reach: (derivation ? reachOn(derivation, table) : []).map((corner) => ({
      x: inUnit(corner.speed, x.unit),
      low: inY(corner.low),
      high: inY(corner.high),
    })),
  };
}

function axisView(axis: Axis): AxisView {
  return {
    label: axisName(axis.quantity),
    unit: axis.unit,
    points: writtenPoints(axis),
    texts: axis.nodes.map(({ text }) => text),
  };
}

const inUnit = (canonical: number, unit: string): number => {
  const known = splitUnit(unit)?.unit;
  return known ? toUnit(canonical, known) : canonical;
};
