import { bendAt, effectOn, type LeastDeparture, type Lines, medianOf, stepOf } from './line-departures.ts';

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

/** Neighbours, neither of them at an edge, whose exchange makes the table rise or fall all along, and nearly smooth. */
export function exchangedLines(lines: Lines, least: LeastDeparture): LinePair[] {
  const { cells, at } = lines;
  const count = at.length;
  if (count < 5) return [];
  const steps = at.slice(1).map((_, line) => stepOf(cells, line));
  const found: LinePair[] = [];
  for (let first = 1; first < count - 2; first++) {
    const middle = steps[first]!;
    if (steps[first - 1]! * middle >= 0 || steps[first + 1]! * middle >= 0) continue;
    const exchanged = cells.map((line, i) =>
      i === first ? cells[first + 1]! : i === first + 1 ? cells[first]! : line,
    );
    const around = [first - 1, first, first + 1, first + 2].filter((i) => i > 0 && i < count - 1);
    const bend = (of: Lines): number =>
      around.reduce((sum, i) => sum + Math.abs(bendAt(of, i) / effectOn(at, i, 0)), 0);
    const before = bend(lines);
    const size = medianOf(Float64Array.from(cells[first]!, Math.abs));
    const limit = Math.max(least.size * size, least.range, least.step);
    if (before / around.length < limit || bend({ cells: exchanged, at }) > LEFT_AFTER_EXCHANGE * before)
      continue;
    const isSteady = [first - 1, first, first + 1].every((from) => stepOf(exchanged, from) * middle < 0);
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
export function repeatedLines(
  { cells, at }: Lines,
  { step }: LeastDeparture,
  alsoAtEdges: boolean,
): LinePair[] {
  // A line of one or two values repeats often, such as lambda 1 at light load.
  const alike = cells.flatMap((line, i) =>
    line.every((cell, c) => cell === cells[i + 1]?.[c]) && (line.length === 1 || new Set(line).size > 2)
      ? [i]
      : [],
  );
  if (alike.length !== 1) return [];
  const [first] = alike as [number];
  const beside = [first - 1, first + 1].filter((from) => from >= 0 && from < cells.length - 1);
  if (beside.length < (alsoAtEdges ? 1 : 2)) return [];
  const widthFrom = (from: number): number => at[from + 1]! - at[from]!;
  const steps = beside.map((from) => stepOf(cells, from));
  // So close together, the lines may be the same by rounding.
  const slope = Math.min(...steps.map((one, i) => Math.abs(one) / widthFrom(beside[i]!)));
  if (slope * widthFrom(first) < step) return [];
  const isSteady = steps.every((one) => one * steps[0]! > 0 && Math.abs(one) >= STEPS_BESIDE_COPY * step);
  return isSteady ? [{ first }] : [];
}

/** How much of the difference in shape may be left after a line is moved back, and how much more than the others'. */
const LEFT_AFTER_SHIFT = 0.2;
const LEFT_BESIDE_OTHERS = 2;
/** How much more than the others a shifted line must differ in shape. */
const SHAPE_DIFFERENCE = 4;

/** A line between two others that follows them only if its cells are moved by one. */
export function shiftedLines({ cells, at }: Lines, { step, range }: LeastDeparture): LineShift[] {
  const [count, width] = [cells.length, cells[0]!.length];
  if (count < 6 || width < 6) return [];
  const inner = Array.from({ length: count - 2 }, (_, i) => i + 1);
  const templates = inner.map((line) => templateOf({ cells, at }, line));
  const here = inner.map((line, i) => differenceInShape(cells[line]!, templates[i]!, 1, 0));
  const floor = Math.max(2 * step, 0.5 * range);
  return inner.flatMap((line, i): LineShift[] => {
    if (here[i]! < 0.5 * floor) return [];
    // The lines beside a shifted one differ from their neighbours too.
    const usual = medianOf(Float64Array.from(here.filter((_, j) => Math.abs(j - i) > 1)));
    return ([1, -1] as const).flatMap((by): LineShift[] => {
      const asIs = differenceInShape(cells[line]!, templates[i]!, by, 0);
      if (asIs < Math.max(floor, SHAPE_DIFFERENCE * usual)) return [];
      const moved = differenceInShape(cells[line]!, templates[i]!, by, by);
      return moved <= LEFT_AFTER_SHIFT * asIs && moved <= LEFT_BESIDE_OTHERS * usual + step / 2
        ? [{ line, by }]
        : [];
    });
  });
}

/** What the neighbours make of a line. */
function templateOf({ cells, at }: Lines, line: number): readonly number[] {
  const [low, high] = [cells[line - 1]!, cells[line + 1]!];
  const share = (at[line]! - at[line - 1]!) / (at[line + 1]! - at[line - 1]!);
  return low.map((cell, c) => cell + (high[c]! - cell) * share);
}

/**
 * The mean difference of a line from its template after the middle difference, of all cells but those at the ends that a
 * shift by `by` would lose, moved back by `moved`.
 */
function differenceInShape(
  line: readonly number[],
  template: readonly number[],
  by: -1 | 1,
  moved: -1 | 0 | 1,
): number {
  const differences = new Float64Array(line.length - 2);
  for (let c = 0; c < differences.length; c++)
    differences[c] = line[c + 1 + by]! - template[c + 1 + by - moved]!;
  return spreadOf(differences);
}

/** The mean distance from the median, without the largest, which may be a wrong cell. */
function spreadOf(cells: Float64Array): number {
  const middle = medianOf(cells);
  let [sum, largest] = [0, 0];
  for (const cell of cells) {
    const distance = Math.abs(cell - middle);
    sum += distance;
    if (distance > largest) largest = distance;
  }
  return (sum - largest) / (cells.length - 1);
}
