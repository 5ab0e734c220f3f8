// What each set-up contributes to the error of a difference, and the error and degrees of freedom
// that follow when every set-up has a spread of its own; called by design.ts and pair-estimate.ts.

import { addTo, entry, item } from "./entry.ts";
import { type ContrastWeights, type Factor, leverages } from "./least-squares.ts";

/** A set-up with less degrees of freedom than this has none. */
export const NO_DF = 1e-9;
/** A set-up with less than this share of the variance carries no weight. */
const NO_WEIGHT = 1e-12;

/** Sums over the runs of one set-up in a fit. */
export interface GroupSums {
  /** A: sum of squared weights of its runs in the difference. */
  readonly weight: number;
  /** D: sum of 1 - leverage, its share of the degrees of freedom. */
  readonly df: number;
}

export interface ContrastSums {
  readonly z2: number;
  /** One a set-up. */
  readonly groups: readonly GroupSums[];
}

/**
 * A and D of every set-up, from a design in which each row is one run.
 *
 * @param groups - index of each row's set-up
 * @param count - number of set-ups
 */
export function contrastSums(
  factor: Factor,
  contrast: ContrastWeights,
  groups: readonly number[],
  count: number,
): ContrastSums {
  const h = leverages(factor);
  const weight = new Array<number>(count).fill(0);
  const df = new Array<number>(count).fill(0);
  groups.forEach((g, i) => {
    addTo(weight, g, entry(contrast.weights, i) ** 2);
    addTo(df, g, 1 - entry(h, i));
  });
  return {
    z2: contrast.z2,
    groups: weight.map((w, g) => ({ weight: w, df: item(df, g) })),
  };
}

/** Whether a set-up counts in the error of the difference at all (a single run does not). */
export function carriesWeight(weight: number, z2: number): boolean {
  return weight >= NO_WEIGHT / z2;
}

/** Whether a set-up carries weight without degrees of freedom: then the error is not known. */
export function lacksDf(groups: readonly GroupSums[], z2: number): boolean {
  return groups.some(({ weight, df }) => carriesWeight(weight, z2) && df <= NO_DF);
}

/**
 * Degrees of freedom of a difference if all set-ups scattered alike but each had its own estimate.
 *
 * Satterthwaite's formula with our two runs' worth of pooled spread; they cancel when all spreads
 * are equal, so that (sum A)^2 / sum(A^2 / D) remains.
 *
 * @returns undefined if a set-up carries weight but has no degrees of freedom
 * @see Satterthwaite (1946), Biometrics Bulletin 2, 110-114 (from memory)
 */
export function equalSpreadDf(groups: readonly GroupSums[], z2: number): number | undefined {
  let sum = 0;
  let squares = 0;
  for (const { weight, df } of groups) {
    if (!carriesWeight(weight, z2)) continue;
    if (df <= NO_DF) return undefined;
    sum += weight;
    squares += (weight * weight) / df;
  }
  return (sum * sum) / squares;
}

/** What one set-up adds to a difference's variance: an estimate, and what steadies its df. */
export interface GroupVariance {
  /** A: its weight; only whether it carries any is asked. */
  readonly weight: number;
  /** D. */
  readonly df: number;
  /** X: its estimated part of the variance, s^2; A R / D for a plain fit. */
  readonly variance: number;
  /** P: the same by the pooled spread, s^2; A s2 for a plain fit. */
  readonly pooled: number;
}

/**
 * Standard error and degrees of freedom of a difference with a spread for each set-up.
 *
 * Welch's error with Satterthwaite's degrees of freedom; in the degrees of freedom only, each
 * set-up's part is steadied by two runs' worth of the pooled one: x = (2 P + D X) / (2 + D).
 * chosen: the "two" by simulation; test/stats/calibration.test.ts would notice a bad choice.
 *
 * @param rankDf - runs less rank, an upper limit of the answer
 * @returns undefined if a set-up carries weight but no degrees of freedom, or there is no scatter
 * @see Welch (1947), Biometrika 34, 28-35; Satterthwaite (1946) (both from memory)
 */
export function separateSpreads(
  groups: readonly GroupVariance[],
  z2: number,
  rankDf: number,
): { readonly standardErrorS: number; readonly df: number } | undefined {
  let variance = 0;
  let sum = 0;
  let squares = 0;
  for (const group of groups) {
    if (!carriesWeight(group.weight, z2)) continue;
    if (group.df <= NO_DF) return undefined;
    const steadied = (2 * group.pooled + group.df * group.variance) / (2 + group.df);
    variance += group.variance;
    sum += steadied;
    squares += (steadied * steadied) / group.df;
  }
  if (!(variance > 0) || !(squares > 0)) return undefined;
  return { standardErrorS: Math.sqrt(variance), df: Math.min(rankDf, (sum * sum) / squares) };
}
