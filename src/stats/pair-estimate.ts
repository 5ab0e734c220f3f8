// The difference of one pair with its error, from a plain fit or from sectorwise ones; called by
// look.ts.
import type { SetupId, SpreadKind } from "../domain/session.ts";
import { lacksDf, separateSpreads } from "./contrast-sums.ts";
import { item } from "./entry.ts";
import { contrastValue, type PartFit, pairContrast } from "./part-fit.ts";
import { type SectorwiseFit, sectorwisePair } from "./sector-void.ts";

/** What a fit says about a pair. */
interface PairFigures {
  /** Candidate minus baseline, s. */
  readonly differenceS: number;
  /** Information on the difference from the design, sigma^2 / variance. */
  readonly z2: number;
  /** Runs less rank; a mean over the sectors where some are struck out. */
  readonly rankDf: number;
  /** Null: a set-up carries weight without degrees of freedom, or its scatter is 0. */
  readonly error: { readonly standardErrorS: number; readonly df: number } | null;
  /** No band yet: fewer than two runs of a set-up, or no scatter at all. */
  readonly isTooEarly: boolean;
}

export interface PairEstimate {
  /** Runs of the candidate in the fit. */
  readonly runs: number;
  readonly baselineRuns: number;
  /** Null: the runs do not determine the pair, or leave no degree of freedom. */
  readonly figures: PairFigures | null;
}

/** The pair from one fit of its part. */
export function plainEstimate(
  fit: PartFit,
  candidate: SetupId,
  baseline: SetupId,
  spreads: SpreadKind,
): PairEstimate {
  const { design } = fit;
  const counts = countsOf(design.bank.layout.setups, design.counts, candidate, baseline);
  const pair = pairContrast(design, candidate, baseline);
  if (pair === undefined || design.rankDf < 1) return { ...counts, figures: null };
  const pooled = fit.rss / design.rankDf;
  const groups = pair.groupWeights.map((weight, g) => {
    const df = item(design.groupDf, g);
    const variance = (weight * item(fit.groupRss, g)) / df;
    return { weight, df, variance, pooled: weight * pooled };
  });
  const error =
    spreads === "each"
      ? (separateSpreads(groups, pair.z2, design.rankDf) ?? null)
      : { standardErrorS: Math.sqrt(pooled / pair.z2), df: design.rankDf };
  return {
    ...counts,
    figures: {
      differenceS: contrastValue(fit, pair.contrast),
      z2: pair.z2,
      rankDf: design.rankDf,
      error,
      isTooEarly: counts.runs < 2 || counts.baselineRuns < 2 || !(fit.rss > 0),
    },
  };
}

/**
 * The pair added up over the sectors.
 *
 * A set-up with weight but no degrees of freedom leaves the error unknown, as in a plain fit: taking
 * more runs out would not give it any.
 *
 * @returns undefined if some sector cannot say: then runs with a sector struck out count as void
 */
export function sectorwiseEstimate(
  fit: SectorwiseFit,
  candidate: SetupId,
  baseline: SetupId,
  spreads: SpreadKind,
): PairEstimate | undefined {
  const { all } = fit;
  const pair = sectorwisePair(fit, candidate, baseline);
  if (pair === undefined) return undefined;
  const error =
    spreads === "each"
      ? separateSpreads(pair.groups, pair.z2, fit.df)
      : { standardErrorS: Math.sqrt(pair.variance), df: fit.df };
  if (error === undefined && !lacksDf(pair.groups, pair.z2)) return undefined;
  const counts = countsOf(all.bank.layout.setups, all.counts, candidate, baseline);
  return {
    ...counts,
    figures: {
      differenceS: pair.differenceS,
      z2: pair.z2,
      rankDf: fit.df,
      error: error ?? null,
      isTooEarly: counts.runs < 2 || counts.baselineRuns < 2,
    },
  };
}

function countsOf(
  setups: readonly SetupId[],
  counts: readonly number[],
  candidate: SetupId,
  baseline: SetupId,
): { readonly runs: number; readonly baselineRuns: number } {
  return {
    runs: counts[setups.indexOf(candidate)] ?? 0,
    baselineRuns: counts[setups.indexOf(baseline)] ?? 0,
  };
}
