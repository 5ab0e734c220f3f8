// The deciding pair's band after runs that have not been ridden yet, at today's spread; called by
// next-setup.ts and day-outlook.ts.
import type { SetupId, SpreadKind } from "../domain/session.ts";
import { type Limits, multipliersAt } from "../stats/band-in-force.ts";
import { equalDfOf, pairInformation, type RiddenDesign } from "./ridden-design.ts";
import type { RiderStanding } from "./rider-standing.ts";

/** A pair with an error, as the fit gives it. */
export interface PairToday {
  readonly candidate: SetupId;
  readonly baseline: SetupId;
  /** Candidate minus baseline, s. */
  readonly differenceS: number;
  readonly standardErrorS: number;
  readonly z2: number;
  readonly df: number;
  readonly rankDf: number;
}

/** The pair's band at a look to come. */
export interface PairAhead {
  readonly z2: number;
  readonly multiplier: number;
  readonly innerMultiplier: number;
  /** s; Infinity: too early even then. */
  readonly halfWidthS: number;
}

/**
 * The deciding pair as a forecast needs it.
 *
 * @returns undefined while either set-up has fewer than two runs, or there is no error
 */
export function pairToday(standing: RiderStanding): PairToday | undefined {
  const { rival, leaderRuns, rankDf } = standing;
  if (rival.band === null || rival.runs < 2 || leaderRuns < 2) return undefined;
  const { candidate, baseline, differenceS, standardErrorS, df, z2 } = rival.band;
  if (differenceS === null || standardErrorS === null || df === null || z2 === null) {
    return undefined;
  }
  if (!(standardErrorS > 0)) return undefined;
  return { candidate, baseline, differenceS, standardErrorS, df, z2, rankDf };
}

/**
 * The pair's band after the runs of `then`, if the spread stays what it is.
 *
 * With a spread for each set-up the degrees of freedom grow as they would were all spreads equal.
 *
 * @param today - design of the runs ridden
 * @param then - the same with runs added
 * @param limits - in force at that look
 */
export function pairAhead(
  pair: PairToday,
  spreads: SpreadKind,
  today: RiddenDesign,
  then: RiddenDesign,
  limits: Limits,
): PairAhead {
  const { candidate, baseline } = pair;
  const before = pairInformation(today, candidate, baseline);
  const after = pairInformation(then, candidate, baseline);
  // A ratio, so that sectors struck out, which cost information, keep their price.
  const z2 = before.z2 > 0 ? (pair.z2 * after.z2) / before.z2 : pair.z2;
  const rankDf = pair.rankDf + after.rankDf - before.rankDf;
  const df =
    spreads === "common" ? rankDf : Math.min(rankDf, pair.df * dfGrowth(pair, today, then));
  const { multiplier, innerMultiplier } = multipliersAt(limits, df, z2);
  const halfWidthS = multiplier * pair.standardErrorS * Math.sqrt(pair.z2 / z2);
  return { z2, multiplier, innerMultiplier, halfWidthS };
}

function dfGrowth(pair: PairToday, today: RiddenDesign, then: RiddenDesign): number {
  const before = equalDfOf(today, pair.candidate, pair.baseline);
  const after = equalDfOf(then, pair.candidate, pair.baseline);
  return before === undefined || after === undefined ? 1 : after / before;
}
