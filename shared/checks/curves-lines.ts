import type { Shape } from '../configuration/shape.ts';
import type { TableValue } from '../configuration/values.ts';
import {
  type Allowances,
  type LineFault,
  lineFaultsOf,
  linesOf,
  repeatedValuesOf,
} from '../derived/table-lines.ts';
import type { Node } from '../source/tree.ts';
import { type Check, type Found, fileCheck, type PlacedTable, type Subject } from './check.ts';
import { checkEach } from './each.ts';
import { departureText, lineFixes, lineText, middleOf, wordOf } from './line-fixes.ts';
import { lineSettings } from './line-settings.ts';
import { breakpointText, tableName, tablesOf, withUnit } from './tables.ts';
import { thresholdsOf, together } from './thresholds.ts';
import { stepsAgainst, type TrendThresholds, touches, trendSettings, trendsOf } from './trend.ts';
import { formatNumber } from './words.ts';

/** A row is underlined as a whole, a column at its breakpoint, and a value of a curve by itself. */
function placeOf(table: TableValue, { lines, first, last }: LineFault): Node {
  if (!table.isMap) return lines.nodes[last]![0]!;
  return lines.axis === 'y' ? table.rowNodes[first]! : table.x!.nodes[first]!;
}

/** The thresholds by which lines are judged, and those of the check that reports what runs against a trend. */
type LineThresholds = readonly [Allowances, TrendThresholds];

const thresholdsIn = (subject: Subject): LineThresholds =>
  together(thresholdsOf(lineSettings, subject), thresholdsOf(trendSettings, subject));

/** The line faults of a table, without those against a trend of the table: `map-not-monotonic` reports them. */
function faultsIn(placed: PlacedTable, [allowances, trend]: LineThresholds): readonly LineFault[] {
  const { table, shape } = placed;
  if (!table.isMap)
    return trendsOf(placed).length > 0 ? repeatedValuesOf(allowances, table, isStrict(shape)) : [];
  const faults = lineFaultsOf(allowances, table);
  return faults.length === 0 ? faults : faults.filter((fault) => !isAgainstTrend(placed, fault, trend));
}

const isStrict = ({ table }: Shape): boolean => table?.strict === true;

function isAgainstTrend(placed: PlacedTable, fault: LineFault, thresholds: TrendThresholds): boolean {
  const { axis } = fault.lines;
  const trend = trendsOf(placed).find(([along]) => along === axis)?.[1];
  if (!trend) return false;
  return stepsAgainst(placed.table, axis, trend, thresholds).some((step) => touches(fault, step));
}

/** Reports the line faults of one kind. */
const ofKind = <Kind extends LineFault['kind']>(
  kind: Kind,
  message: (placed: PlacedTable, fault: Extract<LineFault, { kind: Kind }>) => string,
) =>
  checkEach(function* (placed: PlacedTable, thresholds: LineThresholds): Iterable<Found> {
    for (const fault of faultsIn(placed, thresholds)) {
      if (fault.kind !== kind) continue;
      yield {
        at: placeOf(placed.table, fault),
        message: message(placed, fault as Extract<LineFault, { kind: Kind }>),
        fixes: lineFixes(placed.table, fault),
        cause: placed.table[fault.lines.axis]!.nodes[fault.first],
      };
    }
  });

export const tableLineOutlier: Check = fileCheck({
  id: lineSettings.id,
  severity: 'warning',
  title: 'Row or column does not fit',
  page: {
    catches:
      'A whole row or column of a map (a line) that lies above or below what the lines around it suggest, with nearly all of its cells on the same side. It is reported only if the change of slope at the line and at both of its neighbours points to the same error, so a knee, a plateau, a ridge over several columns and smooth curvature are not reported. A larger deviation is allowed at and next to the edges of a map.',
    why: 'A wrong row is smooth in itself, so its cells look right one by one: the engine runs lean, or knocks, at one load over all speeds.',
    example:
      'y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 60, 80, 100, 120, 140] }\nvalues:\n  - [50, 54, 57]\n  - [60, 64, 68]\n  - [57, 61, 65]   # 67, 72, 76 were meant\n  - [73, 78, 83]\n  - [78, 83, 88]\n  - [82, 87, 93]',
    remedy:
      'Compare the line with its source. One fix moves or scales it and keeps its shape, the other interpolates it. If the line is intended, accept the finding with a reason.',
    basis:
      'Second differences across the lines, and medians of them, on which single cells have little effect (Rousseeuw and Croux 1993, from memory). The multiples are common practice, no source; `docs/tables.md` shows what they find.',
  },
  settings: lineSettings.settings,
  *find(subject) {
    yield* outliersOfEach(tablesOf(subject), thresholdsIn(subject));
  },
});

const outliersOfEach = ofKind('departed', ({ table, shape }, { lines, first, by }) => {
  const copy = copiedFrom(table, first, lines.axis);
  const others = `the ${wordOf(lines)}s around it suggest`;
  return `${tableName(table, shape)}: ${lineText(table, lines, first)} is about ${departureText(table, lines, first, by)} what ${others}.${copy}`;
});

/** ` It repeats the row at 140 kPa abs.` */
function copiedFrom(table: TableValue, line: number, axis: 'x' | 'y'): string {
  const lines = linesOf(table)!.find((one) => one.axis === axis)!;
  const own = lines.cells[line]!;
  const twin = lines.cells.findIndex(
    (cells, i) => i !== line && cells.every((cell, c) => cell === own[c]) && new Set(own).size > 1,
  );
  return twin < 0 ? '' : ` It repeats ${lineText(table, lines, twin)}.`;
}

export const tableLinesExchanged: Check = fileCheck({
  id: 'table-lines-exchanged',
  severity: 'warning',
  title: 'Neighbouring rows or columns swapped',
  page: {
    catches:
      'Two neighbouring rows or columns at which the map reverses its trend, if swapping them makes it rise or fall steadily and almost smoothly.',
    why: 'One load gets the values of the next. If that raises advance or lambda at the higher load, the engine can knock there.',
    example:
      'values:\n  - [50, 54, 57]\n  - [67, 72, 76]\n  - [60, 64, 68]   # swapped with the row above\n  - [73, 78, 83]\n  - [78, 83, 88]',
    remedy: 'Swap the two lines, or correct the axis if its breakpoints are swapped.',
    basis: 'Second differences across the lines. Common practice, no source.',
  },
  *find(subject) {
    yield* exchangesOfEach(tablesOf(subject), thresholdsIn(subject));
  },
});

const exchangesOfEach = ofKind('exchanged', ({ table, shape }, { lines, first, last }) => {
  const axis = table[lines.axis]!;
  const values = [first, last].map((line) => withUnit(table, formatNumber(middleOf(lines, line))));
  return `${tableName(table, shape)}: the ${wordOf(lines)}s at ${breakpointText(axis, first)} (middle cell ${values[0]}) and ${breakpointText(axis, last)} (${values[1]}) break the trend of the map; swapped, they follow it.`;
});

export const tableLinesIdentical: Check = fileCheck({
  id: 'table-lines-identical',
  severity: 'warning',
  title: 'Row, column or value repeated',
  page: {
    catches:
      'Two neighbouring rows or columns of a map with the same cells, or two equal values of a curve, between others that change steadily on both sides. Plateaus at the edges, lines of one or two values and tables with several such pairs are not reported. A pair of equal values in the dead time of an injector is also reported at an edge, because dead time falls at every voltage.',
    why: 'The usual cause is a line pasted twice. The engine then gets the values of one load at the next.',
    example:
      'dead_time:\n  x: { quantity: battery_voltage, unit: V, breakpoints: [8, 10, 12, 14, 16] }\n  unit: ms\n  values: [2.60, 1.80, 1.80, 0.97, 0.75]',
    remedy: 'Write the values that were meant. The fixes interpolate one of the two lines.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    yield* copiesOfEach(tablesOf(subject), thresholdsIn(subject));
  },
});

const copiesOfEach = ofKind('repeated', ({ table, shape }, { lines, first, last }) => {
  const axis = table[lines.axis]!;
  const places = `${breakpointText(axis, first)} and ${breakpointText(axis, last)}`;
  return table.isMap
    ? `${tableName(table, shape)} has identical ${wordOf(lines)}s at ${places}, although the map changes steadily on both sides.`
    : `${tableName(table, shape)} has the same value at ${places}, although its other values change from breakpoint to breakpoint.`;
});

export const tableLineShifted: Check = fileCheck({
  id: 'table-line-shifted',
  severity: 'warning',
  title: 'Row or column shifted by one',
  page: {
    catches:
      'A row or column of a map whose shape follows its neighbours only if its cells are moved by one place.',
    why: 'A cell was inserted at one end and lost at the other, so each speed gets the value of the next.',
    example:
      'values:\n  - [10, 18, 25, 29, 31, 32]\n  - [ 8, 16, 23, 27, 29, 30]\n  - [ 6,  6, 14, 21, 25, 27]   # one cell too far right\n  - [ 4, 12, 19, 23, 25, 26]\n  - [ 2, 10, 17, 21, 23, 24]',
    remedy: 'Move the cells back and write the one that was lost.',
    basis: 'The median difference from the neighbouring lines. Common practice, no source.',
  },
  *find(subject) {
    yield* shiftsOfEach(tablesOf(subject), thresholdsIn(subject));
  },
});

const shiftsOfEach = ofKind('shifted', ({ table, shape }, { lines, first, by }) => {
  const side = lines.axis === 'y' ? (by > 0 ? 'to the right' : 'to the left') : by > 0 ? 'down' : 'up';
  return `${tableName(table, shape)}: ${lineText(table, lines, first)} seems shifted one cell ${side}; shifted back, it matches the neighbouring ${wordOf(lines)}s.`;
});
