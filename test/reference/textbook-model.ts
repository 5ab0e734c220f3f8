// Textbook linear models by least squares, for published examples that no session can hold.
import { contrastWeights, leastSquares } from "../../src/stats/least-squares.ts";
import { studentQuantile, studentUpperTail } from "../../src/stats/student-t.ts";

/** A 0/1 column for every level but the first that occurs. */
export function indicators(labels: readonly (string | number)[]): readonly (readonly number[])[] {
  const [, ...others] = new Set(labels);
  return others.map((level) => labels.map((label) => (label === level ? 1 : 0)));
}

export interface Estimate {
  readonly value: number;
  readonly se: number;
  readonly df: number;
  readonly t: number;
  /** Two-sided. */
  readonly p: number;
  /** At 95 %. */
  readonly interval: readonly [number, number];
}

/** A figure with everything that follows from its standard error and degrees of freedom. */
export function withError(value: number, se: number, df: number): Estimate {
  const t = value / se;
  const half = studentQuantile(0.025, df) * se;
  const p = 2 * studentUpperTail(Math.abs(t), df);
  return { value, se, df, t, p, interval: [value - half, value + half] };
}

/** A contrast of the coefficients; one entry a column. */
export function estimateOf(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  contrast: readonly number[],
): Estimate {
  const fit = leastSquares(columns, y);
  const weights = contrastWeights(fit.factor, contrast);
  if (weights === undefined) throw new RangeError("the design does not determine the contrast");
  const value = contrast.reduce((sum, c, j) => sum + c * (fit.coefficients[j] ?? Number.NaN), 0);
  return withError(value, Math.sqrt(fit.rss / fit.df / weights.z2), fit.df);
}

/** Residual sum of squares. */
export function residualSquares(
  columns: readonly (readonly number[])[],
  y: readonly number[],
): number {
  return leastSquares(columns, y).rss;
}
