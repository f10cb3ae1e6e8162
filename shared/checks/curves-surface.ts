import type { TableValue } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import {
  cellsContinuedFrom,
  type Expectation,
  type Smoothness,
  smoothnessOf,
} from '../derived/smoothness.ts';
import { type Allowances, departedValuesOf, isBeside, lineFaultsOf } from '../derived/table-lines.ts';
import { type Check, type Fix, type Found, fileCheck } from './check.ts';
import { checkEach } from './each.ts';
import { lineFixes } from './line-fixes.ts';
import { lineSettings } from './line-settings.ts';
import {
  areWrittenIn,
  axesOf,
  cellPlace,
  type PlacedTable,
  RowSpellings,
  tableName,
  tablesOf,
  withUnit,
} from './tables.ts';
import { type Thresholds, thresholdsOf, together } from './thresholds.ts';
import { type Step, stepsAgainst, type TrendThresholds, touches, trendSettings, trendsOf } from './trend.ts';

/** The thresholds of `cell-outlier`. */
type CellThresholds = Thresholds<
  'roughness' | 'doubt' | 'range' | 'coarse_range' | 'size' | 'corner' | 'curve'
>;

/** Those, and the ones by which rows and columns are reported: their cells are left out. */
type CellSettings = readonly [CellThresholds, Allowances];

/** With fewer breakpoints than this along an axis, the cells of a map are too far apart to predict each other well. */
const COARSE = 5;

/** Whether a cell lies outside the span of its predictions by more than the settings allow. */
function isSlip(
  table: TableValue,
  smoothness: Smoothness,
  cell: Expectation,
  spellings: RowSpellings,
  settings: CellThresholds,
): boolean {
  const isFine = axesOf(table).every(({ axis }) => axis.breakpoints.length >= COARSE);
  const doubt = table.isMap && isFine ? settings.doubt : 1;
  const range = table.isMap && !isFine ? settings.coarse_range : settings.range;
  // At the end of a curve a knee looks like a typing error, unless the value is of a different magnitude.
  const bend = table.isMap
    ? settings.corner * Math.abs(cell.smooth)
    : Math.abs(cell.smooth) + smoothness.range;
  const least = Math.max(range * smoothness.range, settings.size * smoothness.size, cell.oneSided ? bend : 0);
  const by = departure(cell);
  // This settles most cells. The roughness is computed from all other cells, which is slow, so it comes last.
  if (by <= 0 || by <= least || by <= 2 * spellings.stepIn(cell.row)) return false;
  return by > doubt * (cell.high - cell.low) + settings.roughness * smoothness.roughnessAwayFrom(cell);
}

const departure = ({ value, low, high }: Expectation): number => Math.max(low - value, value - high);

/** The outliers of a table. A cell that only looks wrong because it is next to a worse one is left out. */
function outliers(table: TableValue, spellings: RowSpellings, [settings, line]: CellSettings): Expectation[] {
  const smoothness = smoothnessOf(table);
  if (!smoothness) return [];
  // A wrong line is one finding, not one for each of its cells and of those beside it.
  const faults = lineFaultsOf(line, table);
  const departed = smoothness.expectations
    .filter(({ row, column }) => !faults.some((fault) => isBeside(fault, row, column)))
    .filter((cell) => isSlip(table, smoothness, cell, spellings, settings))
    .sort((a, b) => departure(b) - departure(a));
  const columns = table.x!.breakpoints.length;
  const besideWorse = new Set<number>();
  return departed.filter((cell) => {
    const isWorst = !besideWorse.has(cell.row * columns + cell.column);
    for (const place of cellsContinuedFrom(cell, columns)) besideWorse.add(place);
    return isWorst;
  });
}

/** A cell at fault, and the value that fits. */
type Slip = Pick<Expectation, 'row' | 'column' | 'smooth'>;

/** The outliers of a curve: by the shape that it must have, if it has a trend, and by its neighbours otherwise. */
function slipsOf({ table, shape }: PlacedTable, spellings: RowSpellings, settings: CellSettings): Slip[] {
  const slips: Slip[] = outliers(table, spellings, settings);
  if (table.isMap || trendsOf({ table, shape }).length === 0) return slips;
  const byShape = departedValuesOf(table, shape.table?.strict === true, settings[0].curve);
  const known = new Set(slips.map(({ column }) => column));
  return [
    ...slips,
    ...byShape
      .filter(({ column }) => ![column - 1, column, column + 1].some((one) => known.has(one)))
      .map(({ column, expected }) => ({ row: 0, column, smooth: expected })),
  ];
}

function smoothFix(table: TableValue, { row, column }: Slip, text: string): Fix[] {
  const node = table.rows[row]![column]!;
  if (!areWrittenIn(table, [node])) return [];
  const title = `Change the cell at ${cellPlace(table, row, column)} to ${withUnit(table, text)}`;
  return [{ title, safety: 'choice', edits: [{ span: node, text }] }];
}

export const cellOutlier: Check = fileCheck({
  id: 'cell-outlier',
  severity: 'warning',
  title: 'Cell does not fit its neighbours',
  page: {
    catches:
      'A cell that does not fit the cells around it. The check predicts the cell in several ways: between its neighbours along its row and column, by extrapolation from two cells on one side, and from the other three corners of each adjacent rectangle. It reports a cell that lies outside all predictions by more than the thresholds allow, given the span between the predictions and the roughness of the table. A curve with a trend is also judged by its shape: dead time and dwell are nearly powers of the voltage.',
    why: 'One wrong digit among hundreds of cells is easily overlooked. When the engine reaches that speed and load, it causes a lean hole, a spike of advance or a surge of boost.',
    example:
      'values:\n  - [70, 74, 78, 81, 82]\n  - [75, 79, 38, 86, 87]   # 83 was meant\n  - [79, 83, 87, 90, 91]',
    remedy:
      'Compare the cell with its source. The fix writes the value predicted from the cells around it. If the cell is intended, accept the finding with a reason.',
    basis:
      'Robust statistics: the roughness is 1.4826 times the median deviation of the cells from their predictions, the consistent estimate for a normal distribution (Rousseeuw and Croux 1993, from memory). Cells predicted from the cell in question, or used to predict it, are left out. The multiples are common practice, no source.',
  },
  settings: {
    roughness: {
      kind: 'number',
      value: '3',
      meaning: 'Allowed deviation of a cell, as a multiple of the roughness of the table.',
    },
    doubt: {
      kind: 'number',
      value: '0.3',
      meaning: 'Additional allowed deviation, as a multiple of the span between the predictions.',
    },
    range: {
      kind: 'ratio',
      value: '4 %',
      meaning: 'Smallest deviation that is reported, relative to the range of the values in the table.',
    },
    coarse_range: {
      kind: 'ratio',
      value: '15 %',
      meaning: 'Replaces `range` for a map with fewer than five rows or columns; `doubt` is then 1.',
    },
    size: {
      kind: 'ratio',
      value: '3 %',
      meaning: 'Smallest deviation that is reported, relative to the median cell.',
    },
    corner: {
      kind: 'ratio',
      value: '20 %',
      meaning:
        'Smallest deviation that is reported at a corner of a map, relative to the predicted value. A map may bend there.',
    },
    curve: {
      kind: 'ratio',
      value: '4.5 %',
      meaning:
        'Smallest deviation that is reported in a curve of known shape, such as dead time, dwell and the cranking pulse.',
    },
  },
  *find(subject, settings) {
    const line = thresholdsOf(lineSettings, subject);
    yield* outliersOfEach(tablesOf(subject), together(settings, line));
  },
});

const outliersOfEach = checkEach(function* (placed: PlacedTable, settings: CellSettings): Iterable<Found> {
  const { table, shape } = placed;
  const spellings = new RowSpellings(table);
  for (const cell of slipsOf(placed, spellings, settings)) {
    const node = table.rows[cell.row]![cell.column]!;
    const smooth = spellings.like(cell.row, cell.smooth);
    yield {
      at: node,
      message: `${tableName(table, shape)} at ${cellPlace(table, cell.row, cell.column)} is ${withUnit(table, node.text)}; the cells around it suggest ${withUnit(table, smooth)}.`,
      fixes: smoothFix(table, cell, smooth),
    };
  }
});

export const mapNotMonotonic: Check = fileCheck({
  id: trendSettings.id,
  severity: 'warning',
  title: 'Table runs against its trend',
  page: {
    catches:
      'A step in a table against the usual trend. Injector dead time and dwell fall as voltage rises. Advance falls as manifold pressure rises; so does target lambda at high load (at part load, cruise may be leaner than idle). Warm-up enrichment and the cranking pulse fall as the coolant warms. Charge temperature retard rises with charge temperature, and the boost target with throttle position.',
    why: 'Each trend follows from how the part or the engine behaves. A step the other way is nearly always a typing error. If it adds advance or removes fuel with rising load, it can break pistons.',
    example:
      'dead_time:\n  x: { quantity: battery_voltage, unit: V, breakpoints: [8, 10, 12] }\n  unit: ms\n  values: [2.7, 1.3, 1.8]',
    remedy: 'Correct the cell. If the step is intended, accept the finding with a reason.',
    basis: 'Common practice, no source.',
  },
  settings: trendSettings.settings,
  *find(subject, trend) {
    const line = thresholdsOf(lineSettings, subject);
    yield* againstTrendEach(tablesOf(subject), together(trend, line));
  },
});

const againstTrendEach = checkEach(function* (
  placed: PlacedTable,
  [trendThresholds, lineThresholds]: readonly [TrendThresholds, Allowances],
): Iterable<Found> {
  const { table, shape } = placed;
  for (const [axis, trend] of trendsOf(placed)) {
    const steps = stepsAgainst(table, axis, trend, trendThresholds);
    const first = steps[0];
    if (!first) continue;
    const nodeAt = ([row, column]: Step['from']) => table.rows[row]![column]!;
    const words = (at: Step['from']) =>
      `${withUnit(table, nodeAt(at).text)} at ${cellPlace(table, at[0], at[1])}`;
    const [usual, actual] = trend === 'falls' ? ['fall', 'rises'] : ['rise', 'falls'];
    const others = steps.length - 1;
    const more = others === 0 ? '' : ` (and ${counted(others, 'more step')})`;
    yield {
      at: nodeAt(first.to),
      message: `${tableName(table, shape)} should ${usual} as \`${table[axis]!.quantity}\` rises, but ${actual} from ${words(first.from)} to ${words(first.to)}${more}.`,
      related: [{ at: nodeAt(first.from), message: `The previous cell along \`${axis}\`.` }],
      fixes: lineFaultsOf(lineThresholds, table)
        .filter((fault) => fault.lines.axis === axis && steps.some((step) => touches(fault, step)))
        .flatMap((fault) => lineFixes(table, fault)),
    };
  }
});

export const flatMap: Check = fileCheck({
  id: 'flat-map',
  severity: 'information',
  title: 'All cells have the same value',
  page: {
    catches: 'A curve or map of at least two cells, all with the same value.',
    why: 'The table is either a placeholder that nobody has filled in, or it suggests an influence that does not exist.',
    example:
      'charge_temperature_retard:\n  x: { quantity: charge_temperature, unit: °C, breakpoints: [40, 80] }\n  unit: deg\n  values: [0, 0]',
    remedy: 'Fill in the table, or remove it if the key is optional.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    yield* flatOnesOfEach(tablesOf(subject), undefined);
  },
});

const flatOnesOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  const { cells } = table;
  if (!cells || cells.length < 2 || cells.some((cell) => cell !== cells[0])) return;
  const first = table.rows[0]![0]!;
  const where = cells.length === 2 ? 'both cells' : `all ${cells.length} cells`;
  yield {
    at: table.valuesNode!,
    message: `${tableName(table, shape)} is ${withUnit(table, first.text)} in ${where}${first.value === neutral(table) ? ' and has no effect' : ''}.`,
  };
});

/** The table value that has no effect: a factor of one or an angle of zero. */
function neutral({ kind, unit }: TableValue): number | undefined {
  if (kind === 'ratio') return unit === '%' ? 100 : 1;
  return kind === 'angle' ? 0 : undefined;
}
