/** Least squares by Householder reflections, which keep the digits that normal equations lose (NIST StRD, Longley, Filip). */

export interface Solution {
  readonly values: Float64Array;
  /** The sum of squared residuals. */
  readonly residual: number;
  /** (XᵀX)⁻¹, row by row: times the variance of the noise, it is the covariance of the values. */
  readonly inverse: Float64Array;
}

/** Column-wise reduction of `rows` × `width` (row by row, the target last in each) to a triangle; in place. */
export function triangulate(matrix: Float64Array, rows: number, width: number): void {
  const step = width + 1;
  for (let k = 0; k < Math.min(rows, step); k++) {
    let size = 0;
    for (let i = k; i < rows; i++) size = Math.hypot(size, matrix[i * step + k]!);
    if (size === 0) continue;
    const head = matrix[k * step + k]!;
    const pivot = head > 0 ? -size : size;
    // The reflection is I − v vᵀ / (v₀ · −pivot), with v = column − pivot · e.
    const first = head - pivot;
    for (let j = k + 1; j < step; j++) {
      let sum = first * matrix[k * step + j]!;
      for (let i = k + 1; i < rows; i++) sum += matrix[i * step + k]! * matrix[i * step + j]!;
      const factor = sum / (first * pivot);
      matrix[k * step + j]! += factor * first;
      for (let i = k + 1; i < rows; i++) matrix[i * step + j]! += factor * matrix[i * step + k]!;
    }
    matrix[k * step + k] = pivot;
    for (let i = k + 1; i < rows; i++) matrix[i * step + k] = 0;
  }
}

/**
 * The coefficients for which the products with the rows are closest to the targets, the last number of each row. Undefined
 * if the rows do not determine them.
 */
export function leastSquares(rows: readonly ArrayLike<number>[], width: number): Solution | undefined {
  const step = width + 1;
  const height = Math.max(rows.length, step);
  const matrix = new Float64Array(height * step);
  rows.forEach((row, i) => {
    for (let j = 0; j < step; j++) matrix[i * step + j] = row[j]!;
  });
  // Columns of one size: the powers of a polynomial differ by many orders of magnitude.
  const sizes = new Float64Array(width);
  for (let j = 0; j < width; j++) {
    let size = 0;
    for (let i = 0; i < height; i++) size = Math.hypot(size, matrix[i * step + j]!);
    if (size === 0) return undefined;
    sizes[j] = 2 ** Math.round(Math.log2(size));
    for (let i = 0; i < height; i++) matrix[i * step + j]! /= sizes[j]!;
  }
  triangulate(matrix, height, width);
  for (let k = 0; k < width; k++) if (!(Math.abs(matrix[k * step + k]!) > 1e-14)) return undefined;
  const values = new Float64Array(width);
  for (let i = width - 1; i >= 0; i--) {
    let sum = matrix[i * step + width]!;
    for (let j = i + 1; j < width; j++) sum -= matrix[i * step + j]! * values[j]!;
    values[i] = sum / matrix[i * step + i]!;
  }
  const inverse = inverseOf(matrix, width);
  for (let i = 0; i < width; i++) {
    values[i]! /= sizes[i]!;
    for (let j = 0; j < width; j++) inverse[i * width + j]! /= sizes[i]! * sizes[j]!;
  }
  return { values, residual: matrix[width * step + width]! ** 2, inverse };
}

/** R⁻¹ R⁻ᵀ of the triangle. */
function inverseOf(triangle: Float64Array, width: number): Float64Array {
  const step = width + 1;
  const inverted = new Float64Array(width * width);
  for (let j = 0; j < width; j++) {
    inverted[j * width + j] = 1 / triangle[j * step + j]!;
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum += triangle[i * step + k]! * inverted[k * width + j]!;
      inverted[i * width + j] = -sum / triangle[i * step + i]!;
    }
  }
  const product = new Float64Array(width * width);
  for (let i = 0; i < width; i++) {
    for (let j = i; j < width; j++) {
      let sum = 0;
      for (let k = j; k < width; k++) sum += inverted[i * width + k]! * inverted[j * width + k]!;
      product[i * width + j] = sum;
      product[j * width + i] = sum;
    }
  }
  return product;
}
