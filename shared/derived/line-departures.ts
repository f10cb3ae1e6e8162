/**
 * How far a whole row or column of a table lies from where the lines around it place it. All numbers are in the unit of
 * the table and of the axis across the lines. A curve is a table whose lines have one cell.
 */
export interface Lines {
  /** The cells of each line. */
  readonly cells: readonly (readonly number[])[];
  /** The breakpoint of each line. */
  readonly at: readonly number[];
}

export interface LineDeparture {
  readonly line: number;
  /** How far the middle cell of the line lies above where the others place it; negative if below. */
  readonly by: number;
  /** The same, as a multiple of the least departure that counts. */
  readonly times: number;
}

/** The least departures that count. */
export interface LeastDeparture {
  /** Of the middle cell's size. */
  readonly size: number;
  /** In the unit of the table: a share of the range of its values. */
  readonly range: number;
  /** Of the roughness across the lines. */
  readonly roughness: number;
  /** Where a bend may be meant, as a multiple of the others. */
  readonly edge: number;
  /** In the unit of the table: what its values are rounded to. */
  readonly step: number;
}

/**
 * The bend of a table at each line but the first and last: the median of the second divided differences of its cells. The
 * bends of one wrong line and of its two neighbours alternate in sign; a knee bends the table at one line, and a smooth
 * surface all along.
 */
function bendsOf(lines: Lines): Float64Array {
  return Float64Array.from(lines.at, (_, i) => bendAt(lines, i));
}

/** The bend at one line; not a number at the first and last. */
export function bendAt(lines: Lines, i: number): number {
  return i === 0 || i === lines.at.length - 1 ? Number.NaN : medianOf(cellBends(lines, i));
}

/** The second divided difference of each cell of a line. */
function cellBends({ cells, at }: Lines, i: number): Float64Array {
  const [low, here, high] = [cells[i - 1]!, cells[i]!, cells[i + 1]!];
  const [before, after] = [at[i]! - at[i - 1]!, at[i + 1]! - at[i]!];
  const bends = new Float64Array(here.length);
  for (let c = 0; c < bends.length; c++)
    bends[c] = ((high[c]! - here[c]!) / after - (here[c]! - low[c]!) / before) / (before + after);
  return bends;
}

/** How much the bend at line `i` changes if line `i + beside` moves by one. */
export function effectOn(at: readonly number[], i: number, beside: -1 | 0 | 1): number {
  const [before, after] = [at[i]! - at[i - 1]!, at[i + 1]! - at[i]!];
  if (beside === 0) return -1 / (before * after);
  return 1 / ((beside < 0 ? before : after) * (before + after));
}

/** With fewer lines, nothing shows where the first and the last one belong. */
const LEAST_FOR_EDGES = 6;

/** The lines that depart from the others, worst first; a line whose bends a worse one explains is left out. */
export function departedLines(lines: Lines, least: LeastDeparture): LineDeparture[] {
  const { cells, at } = lines;
  if (at.length < 4) return [];
  const bends = bendsOf(lines);
  const departed: LineDeparture[] = [];
  for (let line = 0; line < at.length; line++) {
    const by = departureOf(lines, bends, line);
    if (by === 0) continue;
    const isEdge = isEdgeOf(lines, { line });
    if (isEdge && at.length < LEAST_FOR_EDGES) continue;
    const limit = Math.max(
      least.size * medianOf(Float64Array.from(cells[line]!, Math.abs)),
      least.range,
      least.step,
      least.roughness * roughnessWithout(at, bends, line),
    );
    const times = Math.abs(by) / (mayBend(cells, line) ? least.edge * limit : limit);
    if (times > 1 && isOnOneSide(lines, bends, line, by)) departed.push({ line, by, times });
  }
  // A departed line bends its neighbours too, and may make an edge look departed; an edge bends only the line beside it.
  departed.sort((a, b) => Number(isEdgeOf(lines, a)) - Number(isEdgeOf(lines, b)) || b.times - a.times);
  return departed.filter(({ line }, i) =>
    departed.slice(0, i).every((worse) => Math.abs(worse.line - line) > 2),
  );
}

const isEdgeOf = ({ at }: Lines, { line }: Pick<LineDeparture, 'line'>): boolean =>
  line === 0 || line === at.length - 1;

/**
 * The smallest departure of the line that any pair of a bend beside it and a curvature of the table further away leaves;
 * 0 if they disagree on its side.
 */
function departureOf({ cells, at }: Lines, bends: Float64Array, line: number): number {
  const last = at.length - 1;
  const curvatures = curvaturesBeside(bends, line);
  let by: number | undefined;
  for (const beside of [-1, 0, 1] as const) {
    const i = line - beside;
    if (i < 1 || i >= last) continue;
    const effect = effectOn(at, i, beside);
    for (const curvature of curvatures) {
      const one = (bends[i]! - curvature) / effect;
      if (by !== undefined && one * by <= 0) return 0;
      if (by === undefined || Math.abs(one) < Math.abs(by)) by = one;
    }
  }
  if (by === undefined || isOnPlateau(cells, line) || isFlatEdge(cells, line)) return 0;
  return by;
}

/**
 * What the bends would be if the line were right: those next to the ones that it takes part in. At an edge, where a table
 * is often more curved than elsewhere, everything up to three times the next one, and as much as that to the other side.
 */
function curvaturesBeside(bends: Float64Array, line: number): number[] {
  const last = bends.length - 1;
  if (line === 0 || line === last) {
    const [first, second] = line === 0 ? [bends[2]!, bends[3]!] : [bends[last - 2]!, bends[last - 3]!];
    return [first, 0, -first, STEEPENING * first, 2 * first - second];
  }
  const found = [line - 2, line + 2].filter((i) => i >= 1 && i < last).map((i) => bends[i]!);
  return found.length > 0 ? found : [0];
}

/** How much more a sound table may bend beside its edge than one line further in. */
const STEEPENING = 3;

/** Whether a bend that no other shows may be meant: at an edge, and beside one if the line lies between its neighbours. */
function mayBend(cells: Lines['cells'], line: number): boolean {
  const last = cells.length - 1;
  if (line === 0 || line === last) return true;
  return (line === 1 || line === last - 1) && stepOf(cells, line - 1) * stepOf(cells, line) >= 0;
}

/** A plateau at an edge, and the step that ends it: the first or last line, or the one beside it, nearly repeats the other. */
function isOnPlateau(cells: Lines['cells'], line: number): boolean {
  const last = cells.length - 1;
  if (line > 1 && line < last - 1) return false;
  const [edge, inner] = line <= 1 ? [0, 1] : [last - 1, last - 2];
  return Math.abs(stepOf(cells, edge)) < PLATEAU * Math.abs(stepOf(cells, inner));
}

/** The middle step from a line to the next. */
export function stepOf(cells: Lines['cells'], line: number): number {
  const [here, next] = [cells[line]!, cells[line + 1]!];
  const steps = new Float64Array(here.length);
  for (let c = 0; c < steps.length; c++) steps[c] = next[c]! - here[c]!;
  return medianOf(steps);
}

/** A first or last line of equal cells is usually a limit, such as the boost target with the throttle closed. */
const isFlatEdge = (cells: Lines['cells'], line: number): boolean =>
  (line === 0 || line === cells.length - 1) &&
  cells[line]!.length > 1 &&
  cells[line]!.every((cell) => cell === cells[line]![0]);

/** A step between two lines, relative to the next step, below which they are a plateau. */
const PLATEAU = 0.25;

/** The median departure of the other lines from those beside them. */
function roughnessWithout(at: readonly number[], bends: Float64Array, line: number): number {
  const others: number[] = [];
  for (let i = 1; i < at.length - 1; i++)
    if (Math.abs(i - line) > 1) others.push(Math.abs(bends[i]! / effectOn(at, i, 0)));
  return others.length === 0 ? 0 : medianOf(Float64Array.from(others));
}

/** The share of the cells of a line that must depart to the same side. */
const ONE_SIDED = 0.75;

function isOnOneSide(lines: Lines, bends: Float64Array, line: number, by: number): boolean {
  const i = Math.min(Math.max(line, 1), lines.at.length - 2);
  const effect = effectOn(lines.at, i, (line - i) as -1 | 0 | 1);
  const [curvature = 0] = curvaturesBeside(bends, line);
  const departures = cellBends(lines, i).map((bend) => (bend - curvature) / effect);
  return departures.filter((one) => one * by > 0).length >= ONE_SIDED * departures.length;
}

export function medianOf(values: Float64Array): number {
  const sorted = values.slice().sort();
  return (sorted[(sorted.length - 1) >> 1]! + sorted[sorted.length >> 1]!) / 2;
}
