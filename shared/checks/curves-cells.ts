import { ofEachReading } from '../configuration/readings.ts';
import type { TableValue } from '../configuration/values.ts';
import { stoichiometricRatio } from '../derived/fuel.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import { pathOf, type ScalarNode } from '../source/tree.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { breakpointText, cellPlace, standIn, tableName, withUnit } from './tables.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity } from './words.ts';

interface Cell {
  readonly row: number;
  readonly column: number;
  readonly canonical: number;
  readonly node: ScalarNode;
}

/** The cells of a whole table that break a rule, row by row; rows without one are left out. */
function badRows(
  table: TableValue | undefined,
  isBad: (canonical: number, row: number) => boolean,
): Cell[][] {
  const { cells } = table ?? {};
  if (!table || !cells) return [];
  const width = table.x?.breakpoints.length ?? 0;
  const rows: Cell[][] = [];
  // Most maps are sound, and nothing is made of a cell to find that out.
  for (let row = 0; row < table.rows.length; row++) {
    const bad: Cell[] = [];
    for (let column = 0; column < width; column++) {
      const canonical = cells[row * width + column]!;
      if (isBad(canonical, row)) bad.push({ row, column, canonical, node: table.rows[row]![column]! });
    }
    if (bad.length > 0) rows.push(bad);
  }
  return rows;
}

/** The cell of a row that is furthest from what is allowed. */
function worstOf(bad: readonly Cell[], excess: (canonical: number) => number): Cell {
  return bad.reduce((worst, cell) => (excess(cell.canonical) > excess(worst.canonical) ? cell : worst));
}

/** ` Of this row, 2 more cells too.` */
function alsoInRow(bad: readonly Cell[]): string {
  if (bad.length === 1) return '';
  return bad.length === 2
    ? ' One more cell of this row too.'
    : ` ${bad.length - 1} more cells of this row too.`;
}

/** Writes a number in each cell of the table that it is given for. */
function writeCells(table: TableValue, title: string, texts: readonly (readonly [Cell, string])[]): Fix[] {
  const nodes = texts.map(([{ node }]) => node);
  if (!standIn(table, nodes)) return [];
  return [{ title, safety: 'choice', edits: texts.map(([{ node }, text]) => ({ span: node, text })) }];
}

export const advanceOutsideRange: Check = engineCheck({
  id: 'advance-outside-range',
  severity: 'error',
  title: 'Advance outside its range',
  page: {
    catches:
      'Cells of the advance map outside `ignition.advance_range`; one finding a row, at its worst cell.',
    why: 'The range says what the ignition can do and what the engine may get. A cell outside it is either cut off in silence or fires where the engine knocks.',
    example: 'ignition:\n  advance_range: -10..38 deg\n  advance:\n    values: [[18, 32, 43]]',
    remedy: 'Correct the cell, or widen the range where the ignition and the engine really allow it.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const { advance, advance_range: range } = configuration.ignition ?? {};
      if (!advance || !range) continue;
      const { low, high } = range;
      const excess = (canonical: number) => Math.max(low.canonical - canonical, canonical - high.canonical);
      for (const bad of badRows(advance, (canonical) => excess(canonical) > 1e-9)) {
        const { node, row, column, canonical } = worstOf(bad, excess);
        const end = canonical > high.canonical ? 'ends' : 'begins';
        const bound = canonical > high.canonical ? high : low;
        const text = (cell: Cell) =>
          formatNumber(Math.min(Math.max(cell.canonical, low.canonical), high.canonical));
        const which = advance.y ? `row at ${breakpointText(advance.y, row)}` : 'row';
        const title = `Keep the ${which} inside ${range.node.text}`;
        yield {
          at: node,
          message: `The advance at ${cellPlace(advance, row, column)} is ${withUnit(advance, node.text)} and the range ${end} at ${formatQuantity(bound.canonical, 'deg')}.${alsoInRow(bad)}`,
          related: [{ at: range.node, message: 'The range is set here.' }],
          fixes:
            advance.unit === 'deg'
              ? writeCells(
                  advance,
                  title,
                  bad.map((cell) => [cell, text(cell)]),
                )
              : [],
        };
      }
    }
  },
});

/** Where a map holds air-fuel ratios instead of lambda: dividing each cell by the stoichiometric ratio makes it plausible. */
function lambdaFix(
  table: TableValue,
  ratio: number | undefined,
  isPlausible: (lambda: number) => boolean,
): Fix[] {
  if (ratio === undefined || !table.cells?.every((canonical) => isPlausible(canonical / ratio))) return [];
  const cells = badRows(table, () => true).flat();
  const title = `Divide every cell by the stoichiometric ratio ${formatNumber(ratio)}`;
  return writeCells(
    table,
    title,
    cells.map((cell) => [cell, (cell.canonical / ratio).toFixed(3)]),
  );
}

export const lambdaOutsidePlausible: Check = engineCheck({
  id: 'lambda-outside-plausible',
  severity: 'error',
  title: 'A mixture that does not burn',
  page: {
    catches:
      'Cells of the target lambda map outside what a spark-ignition engine runs on, one finding a row, at its worst cell; and the `lambda` that an operating point states.',
    why: 'Outside these bounds the mixture misfires or does not light at all, and unburnt fuel meets a hot exhaust. Most often the cell is a slip, or an air-fuel ratio was typed for a lambda.',
    example: 'fuel:\n  target_lambda:\n    values: [[1.00, 12.9, 0.98]]',
    remedy: 'Write lambda: the air-fuel ratio divided by the stoichiometric ratio of the fuel.',
    basis: 'Common practice, no source.',
  },
  settings: {
    richest: { kind: 'number', value: '0.65', meaning: 'The richest mixture that an engine is run on.' },
    leanest: { kind: 'number', value: '1.3', meaning: 'The leanest mixture that an engine is run on.' },
  },
  *find({ read, installation: { engines } }, { richest, leanest }) {
    const plausible = `${formatNumber(richest)} and ${formatNumber(leanest)}`;
    const isPlausible = (lambda: number) => lambda >= richest && lambda <= leanest;
    for (const { node, canonical } of statedByPointsEach(read, undefined)) {
      if (isPlausible(canonical)) continue;
      yield {
        at: node,
        message: `The lambda of ${node.parent!.step} is ${node.text}; engines run between ${plausible}.`,
      };
    }
    for (const { configuration } of engines) {
      const map = configuration.fuel?.target_lambda;
      const excess = (canonical: number) => Math.max(richest - canonical, canonical - leanest);
      let fixes: Fix[] | undefined;
      for (const bad of badRows(map, (canonical) => excess(canonical) > 0)) {
        const { node, row, column } = worstOf(bad, excess);
        // It holds for every row, and has as many edits as the map has cells.
        fixes ??= lambdaFix(map!, stoichiometricRatio(configuration)?.canonical, isPlausible);
        yield {
          at: node,
          message: `Target lambda at ${cellPlace(map!, row, column)} is ${node.text}; engines run between ${plausible}.${alsoInRow(bad)}`,
          fixes,
        };
      }
    }
  },
});

/** The lambda that each operating point states. */
const statedByPointsEach = ofEachReading(['quantity'], ({ node, value }) =>
  node.step === 'lambda' && pathOf(node)[0] === 'operating_points' ? [value] : [],
);

export const leanAtHighLoad: Check = engineCheck({
  id: 'lean-at-high-load',
  severity: 'warning',
  title: 'Lean at high load',
  page: {
    catches:
      'Cells of the target lambda map that are leaner than usual where the manifold pressure is near ambient or above it; one finding a row, at its leanest cell.',
    why: 'At high load the fuel beyond the stoichiometric ratio cools charge, valves and turbine and holds off knock. A lean cell there is how pistons melt.',
    example:
      'fuel:\n  target_lambda:\n    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 100, 180] }\n    values: [[1.0, 1.0], [0.95, 0.92], [0.84, 1.02]]',
    remedy: 'Make the cell richer, or accept the finding with what shows that the engine bears it.',
    basis: 'Common practice, no source.',
  },
  settings: {
    full_load: { kind: 'absolute pressure', value: '95 kPa abs', meaning: 'High load begins here.' },
    full_load_lambda: { kind: 'number', value: '1', meaning: 'The leanest usual mixture from there on.' },
    boost: { kind: 'absolute pressure', value: '110 kPa abs', meaning: 'Boost begins here.' },
    boost_lambda: { kind: 'number', value: '0.95', meaning: 'The leanest usual mixture under boost.' },
  },
  *find({ installation: { engines } }, settings): Generator<Found> {
    for (const { configuration } of engines) {
      const map = configuration.fuel?.target_lambda;
      const pressures = absoluteBreakpoints(map?.y);
      const leanest = (row: number) => {
        const pressure = pressures[row]!;
        if (pressure >= settings.boost) return settings.boost_lambda;
        return pressure >= settings.full_load ? settings.full_load_lambda : Number.POSITIVE_INFINITY;
      };
      for (const bad of badRows(map, (canonical, row) => passes(canonical, leanest(row)))) {
        const { node, row, column } = worstOf(bad, (canonical) => canonical);
        const load = leanest(row) === settings.boost_lambda ? 'under boost' : 'at full load';
        yield {
          at: node,
          message: `${tableName(map!)} at ${cellPlace(map!, row, column)} is ${node.text}; ${load} no leaner than ${formatNumber(leanest(row))} is usual.${alsoInRow(bad)}`,
        };
      }
    }
  },
});
