/**
 * The triangular factor of a least-squares problem, to which rows are added one by one with Givens rotations. The factor of
 * all rows is that of the factors of their parts, so rows may be added anywhere and merged in any order.
 */
export class Triangle {
  /** The rows of the factor, each with its target last; below the last one, the size of the residual. */
  readonly cells: Float64Array;

  constructor(readonly width: number) {
    this.cells = new Float64Array((width + 1) * (width + 1));
  }

  /** Adds a row: `width` numbers and the target. The row is overwritten. */
  add(row: Float64Array): void {
    const { cells, width } = this;
    const step = width + 1;
    for (let k = 0; k <= width; k++) {
      const b = row[k]!;
      if (b === 0) continue;
      const at = k * step;
      const a = cells[at + k]!;
      const size = Math.sqrt(a * a + b * b);
      const cos = a / size;
      const sin = b / size;
      cells[at + k] = size;
      for (let j = k + 1; j <= width; j++) {
        const upper = cells[at + j]!;
        const lower = row[j]!;
        cells[at + j] = cos * upper + sin * lower;
        row[j] = cos * lower - sin * upper;
      }
    }
  }

  merge(other: Triangle): void {
    for (const row of other.rows()) this.add(row);
  }

  /** The rows of the factor, the last one with the size of the residual as its target. */
  rows(): Float64Array[] {
    const step = this.width + 1;
    return Array.from({ length: step }, (_, i) => this.cells.slice(i * step, (i + 1) * step));
  }

  static from(width: number, cells: readonly number[]): Triangle {
    const made = new Triangle(width);
    made.cells.set(cells);
    return made;
  }
}
