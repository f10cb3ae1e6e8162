import { eachReading } from '../configuration/readings.ts';
import type { TableValue } from '../configuration/values.ts';
import { stoichiometricRatio } from '../derived/fuel.ts';
import { pathOf } from '../source/tree.ts';
import { advanceBeyondRange } from './advance-range.ts';
import { alsoInRow, badRows, type Cell, worstOf } from './bad-cells.ts';
import { boundCheck, type Check, engineCheck, type Fix } from './check.ts';
import { areWrittenIn, breakpointText, cellPlace, withUnit } from './tables.ts';
import { formatNumber, formatStated, inOtherUnit } from './words.ts';

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
    why: 'The range is what the ignition can deliver and the engine can tolerate. A cell outside it is clipped without warning; if it is not, too much advance makes the engine knock, and too little overheats the exhaust. Retard beyond the range is not applied, so hot charge gets an earlier spark than intended.',
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
          message: `Advance at ${cellPlace(advance, row, column)} is ${withUnit(advance, node.text)}${inOtherUnit(canonical, advance.unit, 'deg')}, ${side} the ${end} limit of ${formatStated(bound.canonical, 'deg')}.${alsoInRow(bad)}`,
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
