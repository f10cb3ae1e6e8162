import { eachReading } from '../configuration/readings.ts';
import type { TableValue } from '../configuration/values.ts';
import { stoichiometricRatio } from '../derived/fuel.ts';
import { absoluteBreakpoints } from '../derived/full-load.ts';
import { pathOf, type ScalarNode } from '../source/tree.ts';
import { advanceBeyondRange } from './advance-range.ts';
import { boundCheck, type Check, engineCheck, type Fix, type Found } from './check.ts';
import { areWrittenIn, breakpointText, cellPlace, withUnit } from './tables.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatStated } from './words.ts';

interface Cell {
  readonly row: number;
  readonly column: number;
  readonly canonical: number;
  readonly node: ScalarNode;
}

/** The bad cells of a complete table, row by row; rows without bad cells are left out. */
function badRows(
  table: TableValue | undefined,
  isBad: (canonical: number, row: number) => boolean,
): Cell[][] {
  const { cells } = table ?? {};
  if (!table || !cells) return [];
  const width = table.x?.breakpoints.length ?? 0;
  const rows: Cell[][] = [];
  // Most maps have no bad cell, so objects are made for bad cells only.
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

/** The cell of a row with the largest excess. */
function worstOf(bad: readonly Cell[], excess: (canonical: number) => number): Cell {
  return bad.reduce((worst, cell) => (excess(cell.canonical) > excess(worst.canonical) ? cell : worst));
}

/** ` 2 more cells in this row are affected.` */
function alsoInRow(bad: readonly Cell[]): string {
  if (bad.length === 1) return '';
  return bad.length === 2
    ? ' One more cell in this row is affected.'
    : ` ${bad.length - 1} more cells in this row are affected.`;
}

/** Writes a new number into each of the given cells. */
function writeCells(table: TableValue, title: string, texts: readonly (readonly [Cell, string])[]): Fix[] {
  const nodes = texts.map(([{ node }]) => node);
  if (!areWrittenIn(table, nodes)) return [];
  return [{ title, safety: 'choice', edits: texts.map(([{ node }, text]) => ({ span: node, text })) }];
}

export const advanceOutsideRange: Check = boundCheck({
  id: 'advance-outside-range',
  severity: 'error',
  title: 'Advance outside its permitted range',
  page: {
    catches:
      'Cells of the advance map outside `ignition.advance_range`. There is one finding per row, at the cell furthest outside. If the charge temperature retard takes the advance further outside the range, at an operating point or in any other state in the envelope, that state is reported too; it is an error at an operating point.',
    why: 'The range is what the ignition can deliver and the engine can tolerate. A cell outside it is either clipped without warning or makes the engine knock. Retard beyond the range is not applied, so hot charge gets an earlier spark than intended.',
    example: 'ignition:\n  advance_range: -10..38 deg\n  advance:\n    values: [[18, 32, 43]]',
    remedy:
      'Correct the cell or the charge temperature retard, or widen the range if the ignition and the engine really allow it.',
    basis: 'The meaning of the keys.',
  },
  *find(subject, proof) {
    for (const { configuration } of subject.installation.engines) {
      const { advance, advance_range: range } = configuration.ignition ?? {};
      if (!advance || !range) continue;
      const { low, high } = range;
      const excess = (canonical: number) => Math.max(low.canonical - canonical, canonical - high.canonical);
      for (const bad of badRows(advance, (canonical) => excess(canonical) > 1e-9)) {
        const { node, row, column, canonical } = worstOf(bad, excess);
        const [bound, side] = canonical > high.canonical ? [high, 'above'] : [low, 'below'];
        const end = bound === high ? 'upper' : 'lower';
        const text = (cell: Cell) =>
          formatNumber(Math.min(Math.max(cell.canonical, low.canonical), high.canonical), 6);
        const which = advance.y ? `row at ${breakpointText(advance.y, row)}` : 'row';
        const title = `Limit the ${which} to ${range.node.text}`;
        yield {
          at: node,
          message: `Advance at ${cellPlace(advance, row, column)} is ${withUnit(advance, node.text)}, ${side} the ${end} limit of ${formatStated(bound.canonical, 'deg')}.${alsoInRow(bad)}`,
          related: [{ at: range.node, message: 'The advance range.' }],
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
    yield* advanceBeyondRange(subject, proof, 'high');
    yield* advanceBeyondRange(subject, proof, 'low');
  },
});

/**
 * For a map of air-fuel ratios instead of lambda, where dividing by the stoichiometric ratio makes all cells plausible.
 */
function lambdaFix(
  table: TableValue,
  ratio: number | undefined,
  isPlausible: (lambda: number) => boolean,
): Fix[] {
  if (ratio === undefined || !table.cells?.every((canonical) => isPlausible(canonical / ratio))) return [];
  const cells = badRows(table, () => true).flat();
  const title = `Divide all cells by the stoichiometric ratio ${formatNumber(ratio, 4)}`;
  return writeCells(
    table,
    title,
    cells.map((cell) => [cell, (cell.canonical / ratio).toFixed(3)]),
  );
}

export const lambdaOutsidePlausible: Check = engineCheck({
  id: 'lambda-outside-plausible',
  severity: 'error',
  title: 'Lambda outside plausible range',
  page: {
    catches:
      'A cell of the target lambda map, or the `lambda` of an operating point, outside the range in which a spark-ignition engine runs. There is one finding per row of the map, at the cell furthest outside.',
    why: 'Outside this range the mixture misfires or does not ignite, and unburnt fuel reaches the hot exhaust. The usual cause is a typing error, or an air-fuel ratio in place of lambda.',
    example: 'fuel:\n  target_lambda:\n    values: [[1.00, 12.9, 0.98]]',
    remedy: 'Write lambda, which is the air-fuel ratio divided by the stoichiometric ratio of the fuel.',
    basis: 'Common practice, no source.',
  },
  settings: {
    richest: { kind: 'number', value: '0.65', meaning: 'Richest mixture on which an engine runs.' },
    leanest: { kind: 'number', value: '1.3', meaning: 'Leanest mixture on which an engine runs.' },
  },
  *find({ read, installation: { engines } }, { richest, leanest }) {
    const plausible = `${formatNumber(richest)} and ${formatNumber(leanest)}`;
    const isPlausible = (lambda: number) => lambda >= richest && lambda <= leanest;
    for (const { node, canonical } of statedByPointsEach(read, undefined)) {
      if (isPlausible(canonical)) continue;
      yield {
        at: node,
        message: `Lambda of \`${node.parent!.step}\` is ${node.text}; engines run between ${plausible}.`,
      };
    }
    for (const { configuration } of engines) {
      const map = configuration.fuel?.target_lambda;
      const excess = (canonical: number) => Math.max(richest - canonical, canonical - leanest);
      let fixes: Fix[] | undefined;
      for (const bad of badRows(map, (canonical) => excess(canonical) > 0)) {
        const { node, row, column } = worstOf(bad, excess);
        // The same fix serves every row, and it has an edit for each cell of the map.
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

/** The `lambda` of each operating point that states one. */
const statedByPointsEach = eachReading(['quantity'], ({ node, value }) =>
  node.step === 'lambda' && pathOf(node)[0] === 'operating_points' ? [value] : [],
);

export const leanAtHighLoad: Check = engineCheck({
  id: 'lean-at-high-load',
  severity: 'warning',
  title: 'Lean mixture at high load',
  page: {
    catches:
      'Cells of the target lambda map that are leaner than usual at a manifold pressure near ambient or above. There is one finding per row, at its leanest cell.',
    why: 'At high load the fuel beyond the stoichiometric ratio cools the charge, the valves and the turbine and suppresses knock. A lean cell there can melt pistons.',
    example:
      'fuel:\n  target_lambda:\n    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 100, 180] }\n    values: [[1.0, 1.0], [0.95, 0.92], [0.84, 1.02]]',
    remedy:
      'Make the cell richer, or accept the finding and state the evidence that the engine tolerates it.',
    basis: 'Common practice, no source.',
  },
  settings: {
    full_load: {
      kind: 'absolute pressure',
      value: '95 kPa abs',
      meaning: 'Manifold pressure at which high load begins.',
    },
    full_load_lambda: { kind: 'number', value: '1', meaning: 'Leanest usual lambda at high load.' },
    boost: {
      kind: 'absolute pressure',
      value: '110 kPa abs',
      meaning: 'Manifold pressure at which boost begins.',
    },
    boost_lambda: { kind: 'number', value: '0.95', meaning: 'Leanest usual lambda under boost.' },
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
          message: `Target lambda at ${cellPlace(map!, row, column)} is ${node.text}, leaner than the usual limit of ${formatNumber(leanest(row))} ${load}.${alsoInRow(bad)}`,
        };
      }
    }
  },
});
