// Least squares of run times on the coded settings: a parabola in each, with the session drift;
// called by explore.ts and the rules of what to ride next.
import type { TriedRun } from "../domain/exploration.ts";
import type { DriftModel } from "../domain/session.ts";
import { item } from "../stats/entry.ts";
import { isEstimable, leastSquares } from "../stats/least-squares.ts";
import { studentQuantile } from "../stats/student-t.ts";
import { coded, type Scale } from "./scale.ts";

/** Of the longest time: root mean square residuals below are rounding. As in the comparison. */
const NO_SCATTER = 1e-11;
/** Level of the bands of the curve (two-sided) and of all else that is said (one-sided). */
const LEVEL = 0.05;

/** A fitted curve, or surface for two settings. Differences are all that it is asked for. */
export interface CurveFit {
  readonly scales: readonly Scale[];
  /** With the product of two settings. */
  readonly isJoint: boolean;
  /** Whether the runs determine a setting's parabola. */
  readonly isKnown: readonly boolean[];
  /** Of `termsAt`; without meaning for a setting that is not known. */
  readonly coefficients: readonly number[];
  /** (X'X)^-1 of the terms, the rest of the model allowed for. */
  readonly moments: readonly (readonly number[])[];
  /** s; 0 when the runs lie on the curve exactly, which then has no bands. */
  readonly spreadS: number;
  readonly df: number;
}

/**
 * Fits `b0 + drift + b1 u + b2 u^2` in every setting, and `u v` where the fit is joint.
 *
 * @param scales - one or two
 * @param isJoint - two settings that were tried together on a grid; else their parabolas add up,
 *   which fits what was tried one after the other
 * @returns null while no setting's parabola is determined or no degree of freedom is left
 * @see Box & Wilson (1951), J. R. Statist. Soc. B 13, 1-45 (from memory)
 */
export function fitCurve(
  scales: readonly Scale[],
  runs: readonly TriedRun[],
  drift: DriftModel,
  isJoint: boolean,
): CurveFit | null {
  const rows = runs.map((run) => termsAt(scales, isJoint, run.values));
  const before = [runs.map(() => 1), ...driftColumns(runs, drift)];
  const terms = 2 * scales.length + (isJoint ? 1 : 0);
  const columns = [
    ...before,
    ...Array.from({ length: terms }, (_, j) => rows.map((row) => item(row, j))),
  ];
  const times = runs.map((run) => run.timeS);
  const fit = leastSquares(columns, times);
  const { df } = fit;
  if (df < 1) return null;
  const isTerm = Array.from({ length: terms }, (_, j) =>
    isEstimable(
      fit.factor,
      columns.map((__, c) => (c === before.length + j ? 1 : 0)),
    ),
  );
  const isKnown = scales.map((_, i) =>
    isJoint ? isTerm.every(Boolean) : item(isTerm, 2 * i) && item(isTerm, 2 * i + 1),
  );
  if (!isKnown.some(Boolean)) return null;
  const longest = Math.max(...times.map(Math.abs));
  const hasScatter = fit.rss > runs.length * (NO_SCATTER * longest) ** 2;
  return {
    scales,
    isJoint,
    isKnown,
    coefficients: fit.coefficients.slice(before.length),
    moments: fit.inverse.slice(before.length).map((row) => row.slice(before.length)),
    spreadS: hasScatter ? Math.sqrt(fit.rss / df) : 0,
    df,
  };
}

/** Fitted time at values, s, less the level and the session drift. */
export function fittedTime(fit: CurveFit, values: readonly number[]): number {
  return termsAt(fit.scales, fit.isJoint, values).reduce(
    (sum, term, j) => sum + term * item(fit.coefficients, j),
    0,
  );
}

/** Point of t that a value is held against to be as good as the best: one-sided 95 %. */
export function asGoodT(fit: CurveFit): number {
  return studentQuantile(LEVEL, fit.df);
}

/**
 * Point of t that a gain is held against, one-sided 95 %, which two settings share equally: the best
 * of so many pairs of values is picked first. chosen: where no setting matters, a gain is called
 * clear on 8 % of days with one setting and, so shared, on 11 % with two (18 runs), else on 21 %; the
 * regret test holds it. Hence the closing check.
 */
export function gainT(fit: CurveFit): number {
  return studentQuantile(LEVEL / fit.scales.length, fit.df);
}

/** Point of t of a two-sided 95 % band. */
export function twoSidedT(fit: CurveFit): number {
  return studentQuantile(LEVEL / 2, fit.df);
}

/** A fitted difference of two lists of values. */
export interface FittedDifference {
  /** Time at the one less time at the other, s: below 0 the one is quicker. */
  readonly timeS: number;
  /** Standard error, s. */
  readonly errorS: number;
}

/**
 * Fitted time at `values` less that at `other`; they may differ in known settings only.
 */
export function fittedDifference(
  fit: CurveFit,
  values: readonly number[],
  other: readonly number[],
): FittedDifference {
  const there = termsAt(fit.scales, fit.isJoint, other);
  const c = termsAt(fit.scales, fit.isJoint, values).map((term, j) => term - item(there, j));
  let timeS = 0;
  let variance = 0;
  c.forEach((own, j) => {
    if (own === 0) return;
    timeS += own * item(fit.coefficients, j);
    const row = item(fit.moments, j);
    c.forEach((each, i) => {
      variance += own * each * item(row, i);
    });
  });
  return { timeS, errorS: fit.spreadS * Math.sqrt(Math.max(0, variance)) };
}

/** u, u^2 of each setting in turn, then the product. */
function termsAt(
  scales: readonly Scale[],
  isJoint: boolean,
  values: readonly number[],
): readonly number[] {
  const at = scales.map((scale, i) => coded(scale, item(values, i)));
  const terms = at.flatMap((u) => [u, u * u]);
  return isJoint ? [...terms, at.reduce((product, u) => product * u, 1)] : terms;
}

/** Place in the day and, for `learning`, its logarithm; centred, so that the columns stay apart. */
function driftColumns(runs: readonly TriedRun[], drift: DriftModel): readonly number[][] {
  if (drift === "none") return [];
  const places = centred(runs.map((run) => run.k));
  return drift === "linear" ? [places] : [places, centred(runs.map((run) => Math.log(run.k)))];
}

function centred(column: readonly number[]): number[] {
  const mean = column.reduce((sum, value) => sum + value, 0) / column.length;
  return column.map((value) => value - mean);
}
