import { bendAt, effectOn, type LeastDeparture, type Lines, medianOf, rangeOf, stepOf } from './line-departures.ts';

/** Two neighbouring lines that were exchanged, or that are the same although the table changes on both sides. */
export interface LinePair {
  readonly first: number;
}

export interface LineShift {
  readonly line: number;
  /** By how many cells the line is displaced: 1 towards its end. */
  readonly by: -1 | 1;
}

/** How much of the bends around two lines may be left after they are exchanged back. */
const LEFT_AFTER_EXCHANGE = 0.35;

/** Neighbours whose exchange makes the table rise or fall all along, and nearly smooth. */
export function exchangedLines(lines: Lines, least: LeastDeparture): LinePair[] {
  const { cells, at } = lines;
  const count = at.length;
  if (count < 5) return [];
  const found: LinePair[] = [];
  for (let first = 0; first < count - 1; first++) {
    const middle = stepOf(cells, first);
    const steps = [first - 1, first + 1]
      .filter((from) => from >= 0 && from < count - 1)
      .map((from) => stepOf(cells, from));
    if (!steps.every((step) => step * middle < 0)) continue;
    const exchanged = cells.map((line, i) =>
      i === first ? cells[first + 1]! : i === first + 1 ? cells[first]! : line,
    );
    const around = [first - 1, first, first + 1, first + 2].filter((i) => i > 0 && i < count - 1);
    const bend = (of: Lines): number =>
      around.reduce((sum, i) => sum + Math.abs(bendAt(of, i) / effectOn(at, i, 0)), 0);
    const before = bend(lines);
    const limit = Math.max(least.range * rangeOf(cells), least.step) * (around.length < 4 ? 2 : 1);
    if (before / around.length < limit || bend({ cells: exchanged, at }) > LEFT_AFTER_EXCHANGE * before)
      continue;
    const isSteady = [first - 1, first, first + 1]
      .filter((from) => from >= 0 && from < count - 1)
      .every((from) => stepOf(exchanged, from) * middle < 0);
    if (isSteady) found.push({ first });
  }
  return found;
}

/** How many of the least steps of the table the lines on both sides must differ by. */
const STEPS_BESIDE_COPY = 3;

/**
 * Neighbours with the same cells, where the table goes on changing in one direction on both sides. A table with several such
 * pairs was written in steps. With `alsoAtEdges` the first and the last two lines count too.
 */
export function repeatedLines({ cells }: Lines, { step }: LeastDeparture, alsoAtEdges: boolean): LinePair[] {
  const count = cells.length;
  const found: LinePair[] = [];
  for (let first = 0; first < count - 1; first++) {
    const line = cells[first]!;
    if (!line.every((cell, c) => cell === cells[first + 1]![c])) continue;
    // A line of one or two values repeats often, such as lambda 1 at light load.
    if (line.length > 1 && new Set(line).size < 3) continue;
    const steps = [first - 1, first + 1]
      .filter((from) => from >= 0 && from < count - 1)
      .map((from) => stepOf(cells, from));
    if (steps.length < (alsoAtEdges ? 1 : 2)) continue;
    if (steps.every((one) => one * steps[0]! > 0 && Math.abs(one) >= STEPS_BESIDE_COPY * step))
      found.push({ first });
  }
  return found.length > 1 ? [] : found;
}

/** How much of the difference in shape may be left after a line is moved back, and how much more than the others'. */
const LEFT_AFTER_SHIFT = 0.3;
const LEFT_BESIDE_OTHERS = 2;
/** How much more than the others a shifted line must differ in shape. */
const SHAPE_DIFFERENCE = 4;

/** A line between two others that follows them only if its cells are moved by one. */
export function shiftedLines({ cells, at }: Lines, { step }: LeastDeparture): LineShift[] {
  const [count, width] = [cells.length, cells[0]!.length];
  if (count < 5 || width < 5) return [];
  const inner = Array.from({ length: count - 2 }, (_, i) => i + 1);
  const shapes = inner.map((line) => {
    const template = templateOf({ cells, at }, line);
    return [0, 1, -1].map((by) => differenceInShape(cells[line]!, template, by)) as [number, number, number];
  });
  const usual = medianOf(Float64Array.from(shapes, ([as]) => as));
  return shapes.flatMap(([as, later, earlier], i): LineShift[] => {
    const left = Math.min(later, earlier);
    if (as < Math.max(step, SHAPE_DIFFERENCE * usual)) return [];
    if (left > LEFT_AFTER_SHIFT * as || left > LEFT_BESIDE_OTHERS * usual + step / 2) return [];
    return [{ line: inner[i]!, by: later < earlier ? 1 : -1 }];
  });
}

/** What the neighbours make of a line. */
function templateOf({ cells, at }: Lines, line: number): readonly number[] {
  const [low, high] = [cells[line - 1]!, cells[line + 1]!];
  const share = (at[line]! - at[line - 1]!) / (at[line + 1]! - at[line - 1]!);
  return low.map((cell, c) => cell + (high[c]! - cell) * share);
}

/**
 * The median difference of a line from its template after the middle difference, with cell `c + by` in place of `c`. The
 * line may also be a multiple of the template, as where boost rises with throttle.
 */
function differenceInShape(line: readonly number[], template: readonly number[], by: number): number {
  // The same inner cells for each shift.
  const wanted = centred(template.slice(1, -1));
  const own = centred(line.slice(1 + by, line.length - 1 + by));
  const difference = (scale: number): number =>
    medianOf(own.cells.map((cell, c) => Math.abs(cell - scale * wanted.cells[c]!)));
  return wanted.spread === 0 ? difference(1) : Math.min(difference(1), difference(own.spread / wanted.spread));
}

/** A line around its middle, and its mean distance from it. */
function centred(line: readonly number[]): { readonly cells: Float64Array; readonly spread: number } {
  const middle = medianOf(Float64Array.from(line));
  const cells = Float64Array.from(line, (cell) => cell - middle);
  return { cells, spread: cells.reduce((sum, cell) => sum + Math.abs(cell), 0) / cells.length };
}
