import { type Misplaced, misplacedBreakpoints } from '../derived/axis-spacing.ts';
import type { Lines } from '../derived/line-departures.ts';
import { linesOf } from '../derived/table-lines.ts';
import { replace } from '../source/edit.ts';
import { type Check, type Found, fileCheck, type PlacedTable } from './check.ts';
import { checkEach } from './each.ts';
import { areWrittenIn, axesOf, breakpointText, tableName, tablesOf } from './tables.ts';
import { formatNumber } from './words.ts';

export const axisSpacingIrregular: Check = fileCheck({
  id: 'axis-spacing-irregular',
  severity: 'warning',
  title: 'Breakpoint breaks the axis spacing',
  page: {
    catches:
      'A breakpoint that does not fit the spacing of its axis: either swapping two of its digits would place it midway between its neighbours or make the steps change gradually, or it is off-centre on an axis that is otherwise even. It is not reported if the cells there fit their neighbours at the written breakpoint. Pairs of close breakpoints, as for a step, and axes that are finer where the table bends are not reported.',
    why: 'The cells of the breakpoint then apply at another speed or load, and the table is interpolated over too short a step on one side and too long a one on the other.',
    example: 'x: { quantity: engine_speed, unit: rpm, breakpoints: [3200, 3600, 4000, 4040, 4800] }   # 4400',
    remedy: 'Write the breakpoint for which the cells were determined.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    yield* misplacedOfEach(tablesOf(subject), undefined);
  },
});

const misplacedOfEach = checkEach(function* ({ table, shape }: PlacedTable): Iterable<Found> {
  for (const { axis } of axesOf(table)) {
    const numbers = axis.nodes.map(({ value }) => value);
    if (!isRising(numbers)) continue;
    const lines = linesOf(table)?.find((one) => table[one.axis] === axis);
    for (const misplaced of misplacedBreakpoints(numbers)) {
      const { index, expected, isExchange } = misplaced;
      if (!lines || !fitsBetter(lines, numbers, misplaced)) continue;
      const node = axis.nodes[index]!;
      const text = `${formatNumber(expected, 9)} ${axis.unit}`.trim();
      const neighbours = [index - 1, index + 1].filter((i) => i >= 0 && i < numbers.length);
      const between =
        neighbours.length === 2
          ? ` between ${breakpointText(axis, neighbours[0]!)} and ${breakpointText(axis, neighbours[1]!)}`
          : '';
      const why = isExchange ? `with two digits swapped, ${text}, it fits` : `${text} fits`;
      yield {
        at: node,
        message: `${tableName(table, shape)}: breakpoint ${breakpointText(axis, index)}${between} breaks the spacing of the axis; ${why}.`,
        fixes: areWrittenIn(table, [node])
          ? [
              {
                title: `Change the breakpoint to ${text}`,
                safety: 'choice',
                edits: [replace(node, formatNumber(expected, 9))],
              },
            ]
          : [],
        cause: node,
      };
    }
  }
});

/** How much nearer to its neighbours a line must lie at one breakpoint to fit clearly better there than at another. */
const CLEARLY = 0.5;

/**
 * Whether the cells at a breakpoint fit those beside it clearly better at the expected one, simply better if two digits are
 * exchanged, and not clearly worse if that leads to the middle: a sound table has the values of its own breakpoints, however
 * they are spaced.
 */
function fitsBetter(
  { at, cells }: Lines,
  written: readonly number[],
  { index, expected, isExchange }: Misplaced,
): boolean {
  const [low, high] = [index - 1, index + 1];
  if (low < 0 || high >= at.length) return false;
  const departureAt = (share: number): number =>
    sumOf(
      cells[index]!.map((cell, i) =>
        Math.abs(cell - cells[low]![i]! * (1 - share) - cells[high]![i]! * share),
      ),
    );
  const width = written[high]! - written[low]!;
  const asWritten = departureAt((at[index]! - at[low]!) / (at[high]! - at[low]!));
  const asExpected = departureAt((expected - written[low]!) / width);
  const isMiddle = 2 * expected === written[low]! + written[high]!;
  if (isExchange) return isMiddle ? CLEARLY * asExpected <= asWritten : asExpected < asWritten;
  return asExpected < CLEARLY * asWritten;
}

const sumOf = (numbers: readonly number[]): number => numbers.reduce((sum, one) => sum + one, 0);

function isRising(numbers: readonly unknown[]): numbers is readonly number[] {
  return numbers.every((one, i) => typeof one === 'number' && (i === 0 || one > (numbers[i - 1] as number)));
}
