import type { Trend } from '../configuration/shape.ts';
import type { TableValue } from '../configuration/values.ts';
import {
  type Expectation,
  placesLeaningOn,
  type Smoothness,
  smoothnessOf,
  writtenCells,
} from '../derived/smoothness.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { type Check, type Fix, type Found, fileCheck } from './check.ts';
import { judgeEach } from './each.ts';
import {
  axesOf,
  cellPlace,
  type PlacedTable,
  RowSpellings,
  standIn,
  tableName,
  tablesOf,
  withUnit,
} from './tables.ts';

/** The settings of the check, by name. */
type Allowances = Readonly<
  Record<'roughness' | 'doubt' | 'range' | 'coarse_range' | 'size' | 'corner', number>
>;

/** A map with fewer breakpoints than this along an axis has its cells too far apart to trust one to tell the next. */
const COARSE = 5;

/** Whether a cell leaves the span of its continuations by more than it may. */
function isSlip(
  table: TableValue,
  smoothness: Smoothness,
  cell: Expectation,
  spellings: RowSpellings,
  settings: Allowances,
): boolean {
  const isFine = axesOf(table).every(({ axis }) => axis.breakpoints.length >= COARSE);
  const doubt = table.isMap && isFine ? settings.doubt : 1;
  const range = table.isMap && !isFine ? settings.coarse_range : settings.range;
  // At the end of a curve nothing tells a knee from a slip, unless the value is of another size altogether.
  const bend = table.isMap
    ? settings.corner * Math.abs(cell.smooth)
    : Math.abs(cell.smooth) + smoothness.range;
  const least = Math.max(range * smoothness.range, settings.size * smoothness.size, cell.oneSided ? bend : 0);
  const by = departure(cell);
  // Most cells are told by this, so the roughness, which asks all other cells, is seldom needed.
  if (by <= 0 || by <= least || by <= 2 * spellings.stepIn(cell.row)) return false;
  return by > doubt * (cell.high - cell.low) + settings.roughness * smoothness.roughnessAwayFrom(cell);
}

const departure = ({ value, low, high }: Expectation): number => Math.max(low - value, value - high);

/** The slips of a table. What a slip makes its neighbours look like is not told beside it. */
function outliers(table: TableValue, spellings: RowSpellings, settings: Allowances): Expectation[] {
  const smoothness = smoothnessOf(table);
  if (!smoothness) return [];
  const departed = smoothness.expectations
    .filter((cell) => isSlip(table, smoothness, cell, spellings, settings))
    .sort((a, b) => departure(b) - departure(a));
  const columns = table.x!.breakpoints.length;
  const besideWorse = new Set<number>();
  return departed.filter((cell) => {
    const isWorst = !besideWorse.has(cell.row * columns + cell.column);
    for (const place of placesLeaningOn(cell, columns)) besideWorse.add(place);
    return isWorst;
  });
}

function smoothFix(table: TableValue, { row, column }: Expectation, text: string): Fix[] {
  const node = table.rows[row]![column]!;
  if (!standIn(table, [node])) return [];
  const title = `Write ${withUnit(table, text)} at ${cellPlace(table, row, column)}`;
  return [{ title, safety: 'choice', edits: [{ span: node, text }] }];
}

export const cellOutlier: Check = fileCheck({
  id: 'cell-outlier',
  severity: 'warning',
  title: 'A cell stands out of its table',
  page: {
    catches:
      'A cell that no continuation of the cells around it meets (between its neighbours along and across, on from two cells to one side, around the corners of the next rectangles), by more than these differ among themselves and more than the table’s own roughness explains.',
    why: 'A digit that slipped in one of hundreds of cells is easily overlooked, and it sits there until the engine comes to that speed and load: a lean hole, a spike of advance, a surge of boost.',
    example:
      'values:\n  - [70, 74, 78, 81, 82]\n  - [75, 79, 38, 86, 87]   # 83 was meant\n  - [79, 83, 87, 90, 91]',
    remedy:
      'Compare the cell with the record it came from. The fix writes the value that the surface around it has; where the cell is meant, accept the finding with the reason.',
    basis:
      'Robust statistics: the scale is 1.4826 times the median departure, the consistent estimate for a normal distribution (Rousseeuw and Croux 1993, from memory), over the cells that do not lean on the one in question. The multiples are common practice, no source.',
  },
  settings: {
    roughness: {
      kind: 'number',
      value: '3',
      meaning: 'Multiple of the table’s roughness that a cell may depart by.',
    },
    doubt: {
      kind: 'number',
      value: '0.3',
      meaning: 'Share of the span between the continuations that a cell may depart by beyond them.',
    },
    range: { kind: 'ratio', value: '4 %', meaning: 'Least departure, as a share of the range of the table.' },
    coarse_range: {
      kind: 'ratio',
      value: '15 %',
      meaning:
        'The same for a map with fewer than five rows or columns, where the continuations count in full.',
    },
    size: {
      kind: 'ratio',
      value: '3 %',
      meaning: 'Least departure, as a share of the size of a usual cell.',
    },
    corner: {
      kind: 'ratio',
      value: '20 %',
      meaning: 'Least departure of a corner of a map, as a share of its smooth value: a map may bend there.',
    },
  },
  *find(subject, settings) {
    yield* outliersOfEach(tablesOf(subject), settings);
  },
});

const outliersOfEach = judgeEach(function* (
  { table, shape }: PlacedTable,
  settings: Allowances,
): Iterable<Found> {
  const spellings = new RowSpellings(table);
  for (const cell of outliers(table, spellings, settings)) {
    const node = table.rows[cell.row]![cell.column]!;
    const smooth = spellings.like(cell.row, cell.smooth);
    yield {
      at: node,
      message: `${tableName(table, shape)} at ${cellPlace(table, cell.row, cell.column)} is ${withUnit(table, node.text)}; the cells around it make ${withUnit(table, smooth)}.`,
      fixes: smoothFix(table, cell, smooth),
    };
  }
});

/** One step from a cell to the next along x or y. */
interface Step {
  readonly from: readonly [row: number, column: number];
  readonly to: readonly [row: number, column: number];
}

function stepsAlong(cells: readonly (readonly number[])[], axis: 'x' | 'y'): Step[] {
  return cells.flatMap((row, r) =>
    row.flatMap((_, c): Step[] => {
      const to = axis === 'x' ? ([r, c + 1] as const) : ([r + 1, c] as const);
      return cells[to[0]]?.[to[1]] === undefined ? [] : [{ from: [r, c], to }];
    }),
  );
}

/** The steps of a table against the trend, in reading order. */
function stepsAgainst(table: TableValue, axis: 'x' | 'y', trend: Trend, slack: number): Step[] {
  const cells = writtenCells(table) ?? [];
  const all = cells.flat();
  const least = slack * (maximumOf(all) - minimumOf(all));
  const sign = trend === 'rises' ? -1 : 1;
  const at = ([row, column]: Step['from']): number => cells[row]![column]!;
  return stepsAlong(cells, axis).filter(({ from, to }) => sign * (at(to) - at(from)) > least);
}

function trendsOf({ shape }: PlacedTable): ['x' | 'y', Trend][] {
  const { x, y } = shape.table?.trend ?? {};
  return [...(x ? [['x', x] as ['x', Trend]] : []), ...(y ? [['y', y] as ['y', Trend]] : [])];
}

export const mapNotMonotonic: Check = fileCheck({
  id: 'map-not-monotonic',
  severity: 'warning',
  title: 'A table goes against the trend',
  page: {
    catches:
      'A step of a table in the other direction than the trade expects: injector dead time and dwell fall with voltage, advance falls with manifold pressure, target lambda falls with load, warm-up fuel falls with temperature, the boost target rises with the throttle.',
    why: 'Each of these follows from how the part or the engine behaves. A step the other way is nearly always a slip, and where it adds advance or takes fuel with rising load it can break pistons.',
    example:
      'dead_time:\n  x: { quantity: battery_voltage, unit: V, breakpoints: [8, 10, 12] }\n  unit: ms\n  values: [2.7, 1.3, 1.8]',
    remedy: 'Correct the cell, or accept the finding with the reason where the step is meant.',
    basis: 'Common practice, no source.',
  },
  settings: {
    slack: {
      kind: 'ratio',
      value: '2 %',
      meaning: 'A step this small a share of the table’s range is no trend.',
    },
  },
  *find(subject, { slack }) {
    yield* againstTrendEach(tablesOf(subject), slack);
  },
});

const againstTrendEach = judgeEach(function* (placed: PlacedTable, slack: number): Iterable<Found> {
  const { table, shape } = placed;
  for (const [axis, trend] of trendsOf(placed)) {
    const steps = stepsAgainst(table, axis, trend, slack);
    const first = steps[0];
    if (!first) continue;
    const nodeAt = ([row, column]: Step['from']) => table.rows[row]![column]!;
    const words = (at: Step['from']) =>
      `${withUnit(table, nodeAt(at).text)} at ${cellPlace(table, at[0], at[1])}`;
    const quantity = table[axis]!.quantity.replaceAll('_', ' ');
    const verb = trend === 'falls' ? 'fall' : 'rise';
    const more = steps.length > 1 ? ` ${steps.length - 1} more of its steps go the same way.` : '';
    yield {
      at: nodeAt(first.to),
      message: `${tableName(table, shape)} should ${verb} with ${quantity}, but goes from ${words(first.from)} to ${words(first.to)}.${more}`,
      related: [{ at: nodeAt(first.from), message: `The cell before it along ${axis}.` }],
    };
  }
});

export const flatMap: Check = fileCheck({
  id: 'flat-map',
  severity: 'information',
  title: 'All cells of a table are the same',
  page: {
    catches: 'A curve or map of at least two cells that all hold the same value.',
    why: 'Such a table is either a placeholder that nobody filled in, or looks as if a quantity mattered that does not.',
    example:
      'charge_temperature_retard:\n  x: { quantity: charge_temperature, unit: °C, breakpoints: [40, 80] }\n  unit: deg\n  values: [0, 0]',
    remedy: 'Fill it in, or leave it out where the key is optional.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    yield* flatOnesOfEach(tablesOf(subject), undefined);
  },
});

const flatOnesOfEach = judgeEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  const { cells } = table;
  if (!cells || cells.length < 2 || cells.some((cell) => cell !== cells[0])) return;
  const first = table.rows[0]![0]!;
  yield {
    at: table.valuesNode!,
    message: `${tableName(table, shape)} is ${withUnit(table, first.text)} in all ${cells.length} cells${first.value === neutral(table) ? ' and changes nothing' : ''}.`,
  };
});

/** The number of a table that leaves what it acts upon as it is. */
function neutral({ kind, unit }: TableValue): number | undefined {
  if (kind === 'ratio') return unit === '%' ? 100 : 1;
  return kind === 'angle' ? 0 : undefined;
}
