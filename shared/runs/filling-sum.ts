import { type AxisPlace, placeOnAxis } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { Moments } from './moments.ts';
import { Triangle } from './triangle.ts';

/** The rows that a cell of the map bears on. */
export interface CellRows {
  /** Rows with any weight. */
  readonly count: number;
  /** The sum of the weights, and of their squares. */
  readonly weight: number;
  readonly squares: number;
  /** The largest weight. */
  readonly largest: number;
  /** The sum of each weight times the squared relative uncertainty of the row's instruments. */
  readonly instruments: number;
}

/**
 * What the rows say about one map of volumetric efficiency. Rows between the same four breakpoints share a small triangle for
 * the four cells; the triangles together determine the map, in whatever order the rows came.
 */
export class FillingSum {
  readonly #boxes = new Map<number, Box>();
  /** The numbers of `CellRows` for each cell. */
  readonly #cells: Float64Array;
  #box = -1;
  #triangle: Box | undefined;
  /** Departures of rows from the mean of their stretch, relative: how neighbours are correlated. */
  readonly within = new Moments();
  /** By map set: the names under which rows ran; empty for the engine without one. */
  readonly mapSets = new Set<string>();
  readonly #x: { readonly breakpoints: readonly number[] };
  readonly #y: { readonly breakpoints: readonly number[] };
  readonly #row = new Float64Array(5);
  readonly #stretch: number[] = [];
  rows = 0;
  stretches = 0;

  constructor(readonly map: FillingMap) {
    this.#cells = new Float64Array(NUMBERS * map.now.length);
    this.#x = { breakpoints: map.x };
    this.#y = { breakpoints: map.y };
  }

  /**
   * Adds a row: speed and pressure as on the axes, the measured volumetric efficiency, and the squared relative uncertainty
   * of its instruments.
   */
  add(x: number, y: number, filling: number, instruments: number): void {
    const { map } = this;
    // Outside the axes the map is not known, and nothing is extrapolated.
    if (x < map.x[0]! || x > map.x.at(-1)! || y < map.y[0]! || y > map.y.at(-1)!) return;
    const across = placeOnAxis(this.#x, x);
    const down = placeOnAxis(this.#y, y);
    const width = map.x.length;
    const box = down.index * width + across.index;
    const row = this.#row;
    weights(across, down, row);
    row[4] = 0;
    for (let i = 0; i < 4; i++) {
      const weight = row[i]!;
      if (weight === 0) continue;
      const cell = box + CORNERS[i]![0] + CORNERS[i]![1] * width;
      row[4] += weight * map.now[cell]!;
      this.#count(cell, weight, instruments);
    }
    const now = row[4]!;
    if (this.#stretch.length === LONGEST_STRETCH) this.endStretch();
    this.#stretch.push(filling / now - 1);
    row[4] = filling - now;
    const own = box === this.#box ? this.#triangle! : this.#boxAt(box);
    own.rows++;
    own.triangle.add(row);
    this.rows++;
  }

  /** Most rows are in the same box as the row before. */
  #boxAt(at: number): Box {
    const box = this.#boxes.get(at) ?? { rows: 0, triangle: new Triangle(4) };
    this.#boxes.set(at, box);
    this.#box = at;
    this.#triangle = box;
    return box;
  }

  /** The next row is in another stretch: correlations are about the mean of each. */
  endStretch(): void {
    const list = this.#stretch;
    if (list.length === 0) return;
    const mean = list.reduce((sum, value) => sum + value, 0) / list.length;
    for (const value of list) this.within.add(value - mean);
    this.within.interrupt();
    this.stretches++;
    list.length = 0;
  }

  #count(cell: number, weight: number, instruments: number): void {
    const at = cell * NUMBERS;
    const cells = this.#cells;
    cells[at]!++;
    cells[at + 1]! += weight;
    cells[at + 2]! += weight * weight;
    if (weight > cells[at + LARGEST]!) cells[at + LARGEST] = weight;
    cells[at + 4]! += weight * instruments;
  }

  get boxes(): ReadonlyMap<number, Box> {
    return this.#boxes;
  }

  /** The cells that rows bear on. */
  get cells(): ReadonlyMap<number, CellRows> {
    const found = new Map<number, CellRows>();
    for (let cell = 0; cell < this.map.now.length; cell++) {
      const [count, weight = 0, squares = 0, largest = 0, instruments = 0] = this.#cells.subarray(
        NUMBERS * cell,
        NUMBERS * (cell + 1),
      );
      if (count) found.set(cell, { count, weight, squares, largest, instruments });
    }
    return found;
  }

  merge(other: FillingSum): void {
    this.endStretch();
    other.endStretch();
    this.rows += other.rows;
    this.stretches += other.stretches;
    this.within.merge(other.within);
    for (const name of other.mapSets) this.mapSets.add(name);
    for (const [at, box] of other.#boxes) {
      const own = this.#boxes.get(at) ?? { rows: 0, triangle: new Triangle(4) };
      own.rows += box.rows;
      own.triangle.merge(box.triangle);
      this.#boxes.set(at, own);
    }
    for (let i = 0; i < this.#cells.length; i++) {
      if (i % NUMBERS === LARGEST) this.#cells[i] = Math.max(this.#cells[i]!, other.#cells[i]!);
      else this.#cells[i]! += other.#cells[i]!;
    }
  }

  toJson() {
    this.endStretch();
    return {
      map: this.map,
      rows: this.rows,
      stretches: this.stretches,
      map_sets: [...this.mapSets].sort(),
      within: this.within.toList(),
      boxes: [...this.#boxes].map(([at, { rows, triangle }]) => [at, rows, [...triangle.cells]] as const),
      cells: [...this.#cells],
    };
  }

  static from(json: ReturnType<FillingSum['toJson']>): FillingSum {
    const made = new FillingSum(json.map);
    made.rows = json.rows;
    made.stretches = json.stretches;
    for (const name of json.map_sets) made.mapSets.add(name);
    made.within.merge(Moments.from(json.within));
    for (const [at, rows, cells] of json.boxes)
      made.#boxes.set(at, { rows, triangle: Triangle.from(4, cells) });
    made.#cells.set(json.cells);
    return made;
  }
}

/** The rows between the same four breakpoints. */
export interface Box {
  rows: number;
  readonly triangle: Triangle;
}

/** How many numbers a cell has, and which of them is the largest weight. */
const NUMBERS = 5;
const LARGEST = 3;

/** The rows of one stretch that are kept to find how neighbours are correlated. */
const LONGEST_STRETCH = 1000;

/** The present map: breakpoints and cells in canonical units, row by row. */
export interface FillingMap {
  /** The path of its key: two map sets may have maps of their own that say the same. */
  readonly at: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly now: readonly number[];
}

/** Undefined for a table that is incomplete, or no map. */
export function fillingMapOf(table: TableValue | undefined): FillingMap | undefined {
  if (!table?.cells || !table.x || !table.y) return undefined;
  const at = pathText(pathOf(table.node));
  return { at, x: table.x.breakpoints, y: table.y.breakpoints, now: [...table.cells] };
}

/** The corners of a box: columns and rows from its first cell. */
export const CORNERS: readonly (readonly [column: number, row: number])[] = [
  [0, 0],
  [1, 0],
  [0, 1],
  [1, 1],
];

/** The bilinear weights of the corners. */
function weights(across: AxisPlace, down: AxisPlace, into: Float64Array): void {
  into[0] = (1 - across.share) * (1 - down.share);
  into[1] = across.share * (1 - down.share);
  into[2] = (1 - across.share) * down.share;
  into[3] = across.share * down.share;
}
