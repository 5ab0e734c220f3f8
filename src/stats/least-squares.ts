// Least squares by Householder reflections with rank detection; called by every fit of the
// statistics and by the advisor. Columns in, so that a design is built a column at a time.
import { entry, item } from "./entry.ts";

/**
 * A column counts as depending on those before it when what is left of it is shorter than this
 * share of it. chosen: rounding leaves some 1e-15, a real column of a session 1e-6 at the least
 * (ln k far from the start); NIST's Filip set needs less than 3e-8.
 */
const RANK_TOLERANCE = 1e-10;
/** A contrast is estimable when the null space moves it by no more than this. */
const ESTIMABLE_TOLERANCE = 1e-8;

/** A design factorised once, for any number of right-hand sides and contrasts. */
export interface Factor {
  readonly rows: number;
  readonly columns: number;
  readonly rank: number;
  /** Indices of the columns in the fit; the others depend on columns before them. */
  readonly kept: readonly number[];
  readonly dropped: readonly number[];
  /** Reflection i leaves rows before i alone; each vector has `rows` entries. */
  readonly reflectors: readonly Float64Array[];
  /** Upper triangle by columns: entry [j][i] is row i of column j. */
  readonly triangle: readonly Float64Array[];
  /** The kept columns of it, in order: R. */
  readonly keptTriangle: readonly Float64Array[];
}

/** What a right-hand side gives. */
export interface Solution {
  /** One a column; 0 for a dropped column (only estimable contrasts mean anything then). */
  readonly coefficients: readonly number[];
  readonly residuals: Float64Array;
  /** Residual sum of squares. */
  readonly rss: number;
  /** Q'y over the rank: a row's fitted value is its `orthogonalRow` times this. */
  readonly rotated: Float64Array;
}

/** What a contrast of the coefficients costs. */
export interface ContrastWeights {
  /** 1 / (c'(X'X)^-1 c): information, in units of 1/sigma^2. */
  readonly z2: number;
  /** Weight of each row in the estimate: a = X (X'X)^-1 c. */
  readonly weights: Float64Array;
  /** R^-T c: a row's weight is its `orthogonalRow` times this. */
  readonly direction: Float64Array;
}

/**
 * Factorises a design.
 *
 * @param columns - the design's columns, all of one length; fewer rows than columns are allowed
 * @param rows - that length, for a design without columns
 * @see Golub & Van Loan, Matrix Computations, 5.2 (Householder QR); columns that depend on earlier
 *   ones are passed over
 */
export function factorise(
  columns: readonly ArrayLike<number>[],
  rows: number = columns[0]?.length ?? 0,
): Factor {
  const kept: number[] = [];
  const dropped: number[] = [];
  const reflectors: Float64Array[] = [];
  const triangle: Float64Array[] = [];
  columns.forEach((column, j) => {
    const v = Float64Array.from(column);
    const length = norm(v, 0);
    reflectors.forEach((reflector, i) => {
      reflect(reflector, i, v);
    });
    const rank = reflectors.length;
    const left = norm(v, rank);
    triangle.push(v);
    if (rank >= rows || !(left > RANK_TOLERANCE * length)) {
      dropped.push(j);
      return;
    }
    const head = entry(v, rank);
    const target = head > 0 ? -left : left;
    const reflector = v.slice();
    reflector.fill(0, 0, rank);
    reflector[rank] = head - target;
    const scale = Math.SQRT2 / norm(reflector, rank);
    for (let i = rank; i < rows; i += 1) reflector[i] = entry(reflector, i) * scale;
    reflectors.push(reflector);
    v[rank] = target;
    kept.push(j);
  });
  return {
    rows,
    columns: columns.length,
    rank: reflectors.length,
    kept,
    dropped,
    reflectors,
    triangle,
    keptTriangle: kept.map((j) => item(triangle, j)),
  };
}

/**
 * Fits one right-hand side.
 *
 * @param y - one value a row
 */
export function solve(factor: Factor, y: ArrayLike<number>): Solution {
  const qty = Float64Array.from(y);
  factor.reflectors.forEach((reflector, i) => {
    reflect(reflector, i, qty);
  });
  const top = backSubstitute(factor, qty);
  const coefficients = new Array<number>(factor.columns).fill(0);
  factor.kept.forEach((j, i) => {
    coefficients[j] = entry(top, i);
  });
  const rotated = qty.slice(0, factor.rank);
  const residuals = qty;
  let rss = 0;
  for (let i = factor.rank; i < factor.rows; i += 1) rss += entry(qty, i) ** 2;
  residuals.fill(0, 0, factor.rank);
  reflectBack(factor, residuals);
  return { coefficients, residuals, rss, rotated };
}

/**
 * Weights and information of a contrast.
 *
 * @param contrast - one entry a column
 * @returns undefined when the design does not determine the contrast
 */
export function contrastWeights(
  factor: Factor,
  contrast: readonly number[],
): ContrastWeights | undefined {
  if (!isEstimable(factor, contrast)) return undefined;
  const u = forwardSubstitute(factor, Float64Array.from(contrast));
  let variance = 0;
  for (let i = 0; i < factor.rank; i += 1) variance += entry(u, i) ** 2;
  if (!(variance > 0)) return undefined;
  const weights = new Float64Array(factor.rows);
  weights.set(u);
  reflectBack(factor, weights);
  return { z2: 1 / variance, weights, direction: u };
}

/**
 * The row of Q that belongs to a row of the design, R^-T x. Its squared length is the row's
 * leverage. For rows that the factor was not made from but has the same sums with.
 */
export function orthogonalRow(factor: Factor, x: Float64Array): Float64Array {
  return forwardSubstitute(factor, x);
}

/** Leverage of each row, x'(X'X)^-1 x, between 0 and 1; they add up to the rank. */
export function leverages(factor: Factor): Float64Array {
  const sums = new Float64Array(factor.rows);
  for (let r = 0; r < factor.rank; r += 1) {
    const column = new Float64Array(factor.rows);
    column[r] = 1;
    reflectBack(factor, column);
    for (let i = 0; i < factor.rows; i += 1) sums[i] = entry(sums, i) + entry(column, i) ** 2;
  }
  return sums;
}

/**
 * M = (X'X)^-1 over the columns in the fit, with rows and columns of zeros for the dropped ones;
 * c'Mc is meaningful for estimable contrasts only.
 */
function inverseMoments(factor: Factor): readonly (readonly number[])[] {
  const m = Array.from({ length: factor.columns }, () => new Array<number>(factor.columns).fill(0));
  const unit = new Float64Array(factor.columns);
  factor.kept.forEach((j) => {
    unit[j] = 1;
    const column = backSubstitute(factor, forwardSubstitute(factor, unit));
    unit[j] = 0;
    factor.kept.forEach((i, at) => {
      item(m, i)[j] = entry(column, at);
    });
  });
  return m;
}

/** Whether the design determines the contrast: no null vector of the design may move it. */
export function isEstimable(factor: Factor, contrast: readonly number[]): boolean {
  const size = contrast.reduce((sum, c) => sum + Math.abs(c), 0);
  return factor.dropped.every((j) => {
    const dependence = backSubstitute(factor, item(factor.triangle, j));
    let moved = item(contrast, j);
    let scale = 1;
    factor.kept.forEach((column, i) => {
      const share = entry(dependence, i);
      moved -= item(contrast, column) * share;
      scale = Math.max(scale, Math.abs(share));
    });
    return Math.abs(moved) <= ESTIMABLE_TOLERANCE * size * scale;
  });
}

/** A whole fit of one right-hand side, with everything worked out. */
export interface LeastSquares extends Solution {
  readonly rank: number;
  /** Rows less rank. */
  readonly df: number;
  readonly leverages: Float64Array;
  /** M = (X'X)^-1; see `inverseMoments`. */
  readonly inverse: readonly (readonly number[])[];
  readonly factor: Factor;
}

/**
 * Fits y to the columns by least squares.
 *
 * @param columns - the design's columns, all as long as `y`
 * @throws {RangeError} if the lengths differ
 */
export function leastSquares(
  columns: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
): LeastSquares {
  if (columns.some((column) => column.length !== y.length)) {
    throw new RangeError("leastSquares requires columns as long as the right-hand side");
  }
  const factor = factorise(columns, y.length);
  return {
    ...solve(factor, y),
    rank: factor.rank,
    df: y.length - factor.rank,
    leverages: leverages(factor),
    inverse: inverseMoments(factor),
    factor,
  };
}

/** Length of a vector from entry `from` on, safe from overflow. */
function norm(v: Float64Array, from: number): number {
  let largest = 0;
  for (let i = from; i < v.length; i += 1) largest = Math.max(largest, Math.abs(entry(v, i)));
  if (largest === 0) return 0;
  let sum = 0;
  for (let i = from; i < v.length; i += 1) sum += (entry(v, i) / largest) ** 2;
  return largest * Math.sqrt(sum);
}

/** v <- (I - u u') v in place, u of length sqrt 2 and zero before `from`. */
function reflect(u: Float64Array, from: number, v: Float64Array): void {
  let dot = 0;
  for (let i = from; i < v.length; i += 1) dot += entry(u, i) * entry(v, i);
  for (let i = from; i < v.length; i += 1) v[i] = entry(v, i) - dot * entry(u, i);
}

/** v <- Q v in place. */
function reflectBack(factor: Factor, v: Float64Array): void {
  for (let i = factor.rank - 1; i >= 0; i -= 1) reflect(item(factor.reflectors, i), i, v);
}

/** Solves R x = v over the kept columns. */
function backSubstitute(factor: Factor, v: Float64Array): Float64Array {
  const x = new Float64Array(factor.rank);
  for (let i = factor.rank - 1; i >= 0; i -= 1) {
    let sum = entry(v, i);
    for (let j = i + 1; j < factor.rank; j += 1) sum -= kept(factor, i, j) * entry(x, j);
    x[i] = sum / kept(factor, i, i);
  }
  return x;
}

/** Solves R' x = c over the kept columns; `c` has one entry a column of the design, or more. */
function forwardSubstitute(factor: Factor, c: Float64Array): Float64Array {
  const x = new Float64Array(factor.rank);
  for (let i = 0; i < factor.rank; i += 1) {
    const column = item(factor.keptTriangle, i);
    let sum = entry(c, item(factor.kept, i));
    for (let j = 0; j < i; j += 1) sum -= entry(column, j) * entry(x, j);
    x[i] = sum / entry(column, i);
  }
  return x;
}

/** Row i of the j-th kept column of the triangle. */
function kept(factor: Factor, i: number, j: number): number {
  return entry(item(factor.keptTriangle, j), i);
}
