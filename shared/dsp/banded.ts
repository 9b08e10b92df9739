/**
 * A symmetric positive-definite matrix with two diagonals on either side, factored as L D Lᵀ (L unit lower). All
 * work is O(n).
 */
export type Pentadiagonal = {
  /** n diagonal elements, n - 1 next to them, n - 2 beyond. */
  readonly main: Float64Array;
  readonly first: Float64Array;
  readonly second: Float64Array;
};

export type PentadiagonalFactor = {
  readonly pivot: Float64Array;
  readonly first: Float64Array;
  readonly second: Float64Array;
};

/** Null when the matrix is not positive definite, to rounding. */
export function factorPentadiagonal(matrix: Pentadiagonal): PentadiagonalFactor | null {
  const n = matrix.main.length;
  const pivot = new Float64Array(n);
  const first = new Float64Array(n);
  const second = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    // Row i of L: second[i] multiplies unknown i - 2, first[i] unknown i - 1.
    if (i >= 2) second[i] = matrix.second[i - 2]! / pivot[i - 2]!;
    if (i >= 1) {
      const carried = i >= 2 ? second[i]! * pivot[i - 2]! * first[i - 1]! : 0;
      first[i] = (matrix.first[i - 1]! - carried) / pivot[i - 1]!;
    }
    let d = matrix.main[i]!;
    if (i >= 1) d -= first[i]! ** 2 * pivot[i - 1]!;
    if (i >= 2) d -= second[i]! ** 2 * pivot[i - 2]!;
    if (!(d > 0)) return null;
    pivot[i] = d;
  }
  return { pivot, first, second };
}

/** Solves in place: `x` holds the right side and then the solution. */
export function solvePentadiagonal(factor: PentadiagonalFactor, x: Float64Array): Float64Array {
  const { pivot, first, second } = factor;
  const n = pivot.length;
  for (let i = 1; i < n; i++) {
    x[i] = x[i]! - first[i]! * x[i - 1]! - (i >= 2 ? second[i]! * x[i - 2]! : 0);
  }
  for (let i = 0; i < n; i++) x[i] = x[i]! / pivot[i]!;
  for (let i = n - 2; i >= 0; i--) {
    x[i] = x[i]! - first[i + 1]! * x[i + 1]! - (i + 2 < n ? second[i + 2]! * x[i + 2]! : 0);
  }
  return x;
}

/** Diagonal of the inverse, by the recursion of Takahashi, Fagan & Chen (1973). */
export function inverseDiagonal(factor: PentadiagonalFactor): Float64Array {
  const { pivot, first, second } = factor;
  const n = pivot.length;
  const main = new Float64Array(n + 2);
  const next = new Float64Array(n + 2);
  for (let i = n - 1; i >= 0; i--) {
    const l1 = i + 1 < n ? first[i + 1]! : 0;
    const l2 = i + 2 < n ? second[i + 2]! : 0;
    const toNext = -l1 * main[i + 1]! - l2 * next[i + 1]!;
    const toSecond = -l1 * next[i + 1]! - l2 * main[i + 2]!;
    main[i] = 1 / pivot[i]! - l1 * toNext - l2 * toSecond;
    next[i] = toNext;
  }
  return main.subarray(0, n);
}
