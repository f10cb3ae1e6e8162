import type { TableValue } from '../configuration/values.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { memo } from '../memo.ts';
import type { ScalarNode } from '../source/tree.ts';
import { exchangedLines, type LinePair, repeatedLines, shiftedLines } from './line-copies.ts';
import { departedLines, type LeastDeparture, type LineDeparture, type Lines } from './line-departures.ts';
import { writtenCells } from './smoothness.ts';

/** The rows of a table (along `y`) or its columns (along `x`); of a curve, its cells one by one. */
export interface TableLines extends Lines {
  readonly axis: 'x' | 'y';
  readonly nodes: readonly (readonly ScalarNode[])[];
}

/** What is wrong with a line of a table, or with two neighbouring ones. */
export type LineFault = { readonly lines: TableLines; readonly first: number } & (
  | { readonly kind: 'departed'; readonly last: number; readonly by: number }
  | { readonly kind: 'shifted'; readonly last: number; readonly by: -1 | 1 }
  | { readonly kind: 'exchanged'; readonly last: number }
  | { readonly kind: 'repeated'; readonly last: number }
);

/** The least departures that count in any table; `range` is a share of the range of its values. */
export type Allowances = Omit<LeastDeparture, 'step'>;

/** Rows and columns; undefined if the table is incomplete. */
export const linesOf = memo((table: TableValue): readonly TableLines[] | undefined => {
  const rows = writtenCells(table);
  if (!rows || !table.x) return undefined;
  const nodes = table.rows.map((row) => row.map((node) => node));
  const columns: TableLines = {
    axis: 'x',
    at: table.x.breakpoints,
    cells: transposed(rows),
    nodes: transposed(nodes),
  };
  if (!table.y) return [columns];
  return [{ axis: 'y', at: table.y.breakpoints, cells: rows, nodes }, columns];
});

const transposed = <Item>(rows: readonly (readonly Item[])[]): Item[][] =>
  (rows[0] ?? []).map((_, column) => rows.map((row) => row[column]!));

/**
 * The faults of the rows and columns of a map, at most one among three neighbouring lines: an exchange or a copy explains
 * departures beside it.
 */
export const lineFaultsOf = memo((allowances: Allowances, table: TableValue): readonly LineFault[] => {
  const both = table.isMap ? linesOf(table) : undefined;
  if (!both?.every(isRising)) return [];
  const step = stepOfCells(both[0]!);
  const size = hasRatios(table) ? allowances.size : 0;
  const least = { ...allowances, step, size, range: allowances.range * rangeOf(both[0]!) };
  return both.flatMap((lines) => {
    // A number may be rounded either way, and so may its neighbours.
    const rounded = { ...least, step: 2 * step };
    const departures =
      lines.axis === 'y' && isFilling(table)
        ? departedFilling(lines, rounded)
        : departedLines(lines, rounded);
    return faultsAlong(lines, least, departures);
  });
});

const isFilling = ({ kind, y }: TableValue): boolean =>
  kind === 'ratio' && y?.quantity === 'manifold_pressure' && y.breakpoints[0]! > 0;

/**
 * The air in the cylinder is nearly a straight line over manifold pressure, because the residual gas takes a constant part
 * of it (Hendricks and Sorenson 1990, SAE 900616, from memory); its quotient, the volumetric efficiency, bends steeply
 * at light load. So the rows are judged as air; the first and last must depart as volumetric efficiency too, because the
 * line does not reach far beyond the rows that it is drawn through.
 */
function departedFilling(lines: TableLines, least: LeastDeparture): LineDeparture[] {
  const { cells, at } = lines;
  const share = (line: number): number => at[line]! / at.at(-1)!;
  const air = cells.map((row, line) => row.map((cell) => cell * share(line)));
  const isEdge = ({ line }: LineDeparture) => line === 0 || line === at.length - 1;
  const asAir = departedLines({ cells: air, at }, { ...least, range: 0 }).map((one) => ({
    ...one,
    by: one.by / share(one.line),
  }));
  const edges = departedLines(lines, least).filter(
    (one) => isEdge(one) && asAir.some(({ line, by }) => line === one.line && by * one.by > 0),
  );
  return [...asAir.filter((one) => !isEdge(one)), ...edges];
}

/** The pairs of equal values in a curve that changes on both sides of them; with `isStrict` also at its ends. */
export function repeatedValuesOf(allowances: Allowances, table: TableValue, isStrict: boolean): LineFault[] {
  const [lines] = linesOf(table) ?? [];
  if (!lines || !isRising(lines)) return [];
  const found = repeatedLines(lines, { ...allowances, step: stepOfCells(lines) }, isStrict);
  return found.map(({ first }) => ({ kind: 'repeated', lines, first, last: first + 1 }));
}

/** A value of a curve that the curve through the others does not meet, and what it makes of it. */
export interface DepartedValue {
  readonly column: number;
  readonly expected: number;
}

/**
 * The values that depart from a curve with a trend by more than `least`, as a share of the value. Times are judged by their
 * logarithms, and those over voltage along the logarithm of the voltage: dead time and dwell are nearly powers of it, and the
 * fuel of a cold start nearly an exponential of temperature. An end may be limited on purpose, unless `isStrict`.
 */
export const departedValuesOf = memo(
  (table: TableValue, isStrict: boolean, least: number): readonly DepartedValue[] => {
    const [lines] = (!table.isMap && linesOf(table)) || [];
    if (!lines || !isRising(lines)) return [];
    const values = lines.cells.map(([value]) => value!);
    const isLogarithmic = table.kind === 'time' && values.every((value) => value > 0);
    const isOfVoltage = table.x!.quantity === 'battery_voltage' && lines.at[0]! > 0;
    const rounding = 2 * stepOfCells(lines);
    const departed = departedLines(
      {
        cells: values.map((value) => [isLogarithmic ? Math.log(value) : value]),
        at: isLogarithmic && isOfVoltage ? lines.at.map(Math.log) : lines.at,
      },
      {
        ...{ size: 0, range: 0, roughness: 1, edge: isStrict ? 1.5 : 2.5 },
        step: isLogarithmic
          ? Math.max(least, rounding / minimumOf(values))
          : Math.max(least * maximumOf(values.map(Math.abs)), rounding),
      },
    );
    return departed
      .filter(({ line }) => isStrict || (line > 0 && line < values.length - 1))
      .map(({ line, by }) => ({
        column: line,
        expected: isLogarithmic ? values[line]! * Math.exp(-by) : values[line]! - by,
      }));
  },
);

/** Whether a cell is in a line of the fault, or in one next to it. */
export function isBeside({ lines, first, last }: LineFault, row: number, column: number): boolean {
  const line = lines.axis === 'y' ? row : column;
  return line >= first - 1 && line <= last + 1;
}

/** A column of `breakpoints-not-rising` has no place among the others. */
const isRising = ({ at }: TableLines): boolean => at.every((one, i) => i === 0 || one > at[i - 1]!);

function faultsAlong(
  lines: TableLines,
  least: LeastDeparture,
  departures: readonly LineDeparture[],
): LineFault[] {
  const pair =
    <Kind extends 'exchanged' | 'repeated'>(kind: Kind) =>
    ({ first }: LinePair) =>
      ({ kind, lines, first, last: first + 1 }) as const;
  const all: LineFault[] = [
    ...exchangedLines(lines, least).map(pair('exchanged')),
    ...repeatedLines(lines, least, false).map(pair('repeated')),
    ...shiftedLines(lines, least).map(
      ({ line, by }) => ({ kind: 'shifted', lines, first: line, last: line, by }) as const,
    ),
    ...departures.map(({ line, by }) => ({ kind: 'departed', lines, first: line, last: line, by }) as const),
  ];
  return all.filter((fault, i) => all.slice(0, i).every((better) => isApart(fault, better)));
}

const isApart = (a: LineFault, b: LineFault): boolean => a.first > b.last + 2 || a.last < b.first - 2;

/** Whether a share of a cell has a meaning: not for an angle or a pressure over ambient, whose zeros are arbitrary. */
export const hasRatios = ({ kind, reference }: TableValue): boolean =>
  kind !== 'angle' && reference !== 'gauge';

/** The difference between the 95th and the 5th percentile of all cells. */
function rangeOf({ cells }: Lines): number {
  const all = Float64Array.from(cells.flat()).sort();
  return all[Math.floor(0.95 * (all.length - 1))]! - all[Math.ceil(0.05 * (all.length - 1))]!;
}

/** The step to which the cells of a table are rounded: the largest number of which all their differences are multiples. */
function stepOfCells({ cells }: Lines): number {
  const all = cells.flat();
  const scale = SCALES.find((one) => all.every((cell) => isNear(cell * one, Math.round(cell * one))));
  if (scale === undefined) return 0;
  const first = Math.round(all[0]! * scale);
  let step = 0;
  for (const cell of all) {
    let other = Math.abs(Math.round(cell * scale) - first);
    while (other !== 0) [step, other] = [other, step % other];
    if (step === 1) break;
  }
  return step / scale;
}

const SCALES = [1, 10, 100, 1e3, 1e4, 1e5, 1e6];
const isNear = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6 * Math.max(1, Math.abs(b));
