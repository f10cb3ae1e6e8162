/**
 * Least-squares coefficients x for which the products of the rows with x are closest to `targets`; exact if there are
 * as many rows as columns. Modified Gram–Schmidt keeps twice the digits of normal equations. `undefined` if the
 * columns do not determine x.
 */
export function leastSquares(
  rows: readonly (readonly number[])[],
  targets: readonly number[],
): readonly number[] | undefined {
  const width = rows[0]?.length ?? 0;
  const columns = Array.from({ length: width }, (_, j) => rows.map((row) => row[j]!));
  const rest = [...targets];
  const triangle: number[][] = [];
  const projections: number[] = [];

  for (const [j, column] of columns.entries()) {
    const size = Math.hypot(...column);
    const original = Math.hypot(...rows.map((row) => row[j]!));
    if (!(size > 1e-12 * original)) return undefined;
    const direction = column.map((value) => value / size);
    const weights = new Array<number>(width).fill(0);
    weights[j] = size;
    for (let k = j + 1; k < width; k++) weights[k] = removeAlong(direction, columns[k]!);
    triangle.push(weights);
    projections.push(removeAlong(direction, rest));
  }

  const solution = new Array<number>(width).fill(0);
  for (let j = width - 1; j >= 0; j--) {
    const known = solution.reduce((sum, value, k) => (k > j ? sum + triangle[j]![k]! * value : sum), 0);
    solution[j] = (projections[j]! - known) / triangle[j]![j]!;
  }
  return solution;
}

/** Removes the component along a unit `direction` from `vector` and returns its length. */
function removeAlong(direction: readonly number[], vector: number[]): number {
  const length = direction.reduce((sum, value, i) => sum + value * vector[i]!, 0);
  for (let i = 0; i < vector.length; i++) vector[i]! -= length * direction[i]!;
  return length;
}
