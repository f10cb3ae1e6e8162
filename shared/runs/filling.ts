import { maximumOf } from '../extremes.ts';
import { CORNERS, type FillingSum } from './filling-sum.ts';
import { leastSquares } from './householder.ts';
import { effectiveCount } from './moments.ts';

/** What a run says about one cell of the map of volumetric efficiency. */
export interface MeasuredCell {
  readonly row: number;
  readonly column: number;
  /** Ratios. */
  readonly now: number;
  readonly measured: number;
  /** Of noise and instruments together (JCGM 100:2008). */
  readonly uncertainty: number;
  /** The part of the instruments, which does not shrink with the number of rows. */
  readonly ofInstruments: number;
  readonly rows: number;
  /** Rows by their weights, as far as neighbours are independent. */
  readonly effectiveRows: number;
  /** The largest share that one row has in the cell. */
  readonly leverage: number;
  readonly believed: boolean;
}

/** A cell is believed from this many effective rows on, if its uncertainty is less than this share of the change. */
export const ENOUGH_ROWS = 20;
export const SMALL_SHARE = 1 / 3;

/**
 * How far the corrections of neighbouring cells usually differ, relative. Where rows say little, the present map keeps its
 * shape: neighbours are corrected alike. Common practice, no source.
 */
const NEIGHBOURS = 0.05;
/** The correction that is expected without any row. */
const CORRECTION = 0.3;
/** The statistical uncertainty of a believed cell, relative: the rows must determine it five times as well as its neighbours do. */
export const DETERMINED = NEIGHBOURS / 5;

/**
 * The cells that the rows bear on, by least squares over their bilinear weights. Empty without enough rows to estimate the
 * noise.
 */
export function measuredCells(sum: FillingSum): MeasuredCell[] {
  sum.endStretch();
  const { map, within, rows, stretches } = sum;
  const width = map.x.length;
  const rowsOf = sum.cells;
  const cells = [...rowsOf.keys()];
  if (cells.length === 0) return [];
  const noise = noiseOf(sum);
  if (noise === undefined) return [];
  const length = rows / Math.max(1, stretches);
  const independent = effectiveCount(within.count, within.pairs, within.correlation, length) / within.count;
  // Correlated rows determine a cell as fewer independent ones do. Without any noise, one unit in the last place remains.
  const spread = Math.max(Math.sqrt(noise / independent), maximumOf(map.now) * 1e-12);
  const place = new Map(cells.map((cell, i) => [cell, i]));
  const equations = [...dataRows(sum, place, spread), ...shapeRows(cells, place, width)];
  const solution = leastSquares(equations, cells.length);
  if (!solution) return [];
  return cells.map((cell, i) => {
    const now = map.now[cell]!;
    const { count, weight, squares, largest, instruments } = rowsOf.get(cell)!;
    const measured = now * (1 + solution.values[i]!);
    const statistical = Math.sqrt(solution.inverse[i * cells.length + i]!);
    const ofInstruments = measured * Math.sqrt(instruments / weight);
    const uncertainty = Math.hypot(now * statistical, ofInstruments);
    const effectiveRows = weight * independent;
    const isDetermined = statistical < DETERMINED && effectiveRows >= ENOUGH_ROWS;
    return {
      row: Math.floor(cell / width),
      column: cell % width,
      now,
      measured,
      uncertainty,
      ofInstruments,
      rows: count,
      effectiveRows,
      leverage: (largest * largest) / squares,
      believed: isDetermined && uncertainty < SMALL_SHARE * Math.abs(measured - now),
    };
  });
}

/** The variance of one row, from what no map could explain: the residuals of the four cells around each row. */
function noiseOf({ boxes }: FillingSum): number | undefined {
  let [squares, degrees] = [0, 0];
  for (const { rows, triangle } of boxes.values()) {
    const { cells } = triangle;
    let rank = 0;
    for (let k = 0; k < 4; k++) if (Math.abs(cells[k * 5 + k]!) > 1e-9) rank++;
    if (rows <= rank) continue;
    squares += cells[24]! ** 2;
    degrees += rows - rank;
  }
  return degrees > 0 ? squares / degrees : undefined;
}

/** The triangles of the boxes as equations for the relative corrections, in units of the noise. */
function* dataRows({ boxes, map }: FillingSum, place: ReadonlyMap<number, number>, spread: number) {
  const width = map.x.length;
  for (const [at, { triangle }] of boxes) {
    for (const row of triangle.rows().slice(0, 4)) {
      const equation = new Float64Array(place.size + 1);
      equation[place.size] = row[4]! / spread;
      CORNERS.forEach(([right, down], i) => {
        if (row[i] === 0) return;
        const cell = at + right + down * width;
        const column = place.get(cell);
        if (column !== undefined) equation[column]! += (row[i]! * map.now[cell]!) / spread;
      });
      yield equation;
    }
  }
}

/** Neighbouring cells are corrected alike, and without any row not at all. */
function* shapeRows(cells: readonly number[], place: ReadonlyMap<number, number>, width: number) {
  for (const [i, cell] of cells.entries()) {
    const level = new Float64Array(cells.length + 1);
    level[i] = 1 / CORRECTION;
    yield level;
    const right = cell % width < width - 1 ? place.get(cell + 1) : undefined;
    for (const other of [right, place.get(cell + width)]) {
      if (other === undefined) continue;
      const alike = new Float64Array(cells.length + 1);
      alike[i] = 1 / NEIGHBOURS;
      alike[other] = -1 / NEIGHBOURS;
      yield alike;
    }
  }
}
