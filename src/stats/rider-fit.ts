// One rider's whole-run fit as the advisor needs it: adjusted means, (X'X)^-1, and the band of any
// two set-ups; called by the advisor.
import type { ComparisonInput, Verdict } from "../domain/comparison.ts";
import type { Rider, RiderId, SetupId } from "../domain/session.ts";
import type { BandPlan } from "./band-in-force.ts";
import { riderSubject } from "./compare.ts";
import { sortedRuns } from "./counted-runs.ts";
import { blockColumn, setupColumn, stepColumns } from "./design.ts";
import { isEstimable } from "./least-squares.ts";
import type { Look } from "./look.ts";
import { contrastValue, type PartFit } from "./part-fit.ts";
import { lastLook } from "./replay.ts";
import { pairBands, riderPlan } from "./rider-plan.ts";

/** The band of one pair at the rider's last counted run, at level a / (K - 1). */
export interface PairBand {
  readonly candidate: SetupId;
  readonly baseline: SetupId;
  /** Candidate minus baseline, s; null: the runs do not determine it. */
  readonly differenceS: number | null;
  readonly standardErrorS: number | null;
  /** Of the difference; fractional with a spread for each set-up. */
  readonly df: number | null;
  /** Information on the difference; 1 / z2 is v of the pair. */
  readonly z2: number | null;
  /** Infinity: too early. */
  readonly multiplier: number;
  /** Outer half-width, s; Infinity: too early. */
  readonly halfWidthS: number;
  /** Inner half-width, s; Infinity: too early. */
  readonly innerHalfWidthS: number;
  readonly verdict: Verdict;
  /** Thresholds of this pair at any number of counted runs; feed to `multipliersAt`. */
  readonly bands: BandPlan;
}

/** One rider's whole-run fit at the last counted run: all that a standing rests on. */
export interface RiderFit {
  /** Set-ups with a column, baseline first. */
  readonly setups: readonly SetupId[];
  /** Counted runs of each of `setups`. */
  readonly runs: readonly number[];
  /** Adjusted mean of each of `setups` at the middle of the runs and on the newest ground, s; null: not determined. */
  readonly meansS: readonly (number | null)[];
  /** Runs less rank; a mean over the sectors where some are struck out. */
  readonly rankDf: number;
  /** The band of any two set-ups. */
  readonly pairBand: (candidate: SetupId, baseline: SetupId) => PairBand;
}

/**
 * Fits one rider's counted runs.
 *
 * Where a sector is struck out, means and spread are added up over the sectors as in the comparison
 * (over the untouched runs where that cannot be done).
 *
 * @param input - the session
 * @param riderId - id of one of its riders
 * @returns undefined without a counted run or for an unknown rider
 * @example
 * const fit = fitRider(input, "R1");
 * fit?.pairBand("B", "A").halfWidthS; // s, Infinity while too early
 */
export function fitRider(input: ComparisonInput, riderId: RiderId): RiderFit | undefined {
  const rider = input.riders.find((r) => r.id === riderId);
  if (rider === undefined) return undefined;
  const { counted } = sortedRuns(input, [riderId]);
  if (counted.length === 0) return undefined;
  const look = lastLook(riderSubject(input, rider, counted));
  return riderFitAt(look, counted.length, pairBandPlans(input, rider));
}

/**
 * The fit at a look.
 *
 * @param n - counted runs at the look, at least one
 * @param plans - the bands of any two set-ups
 */
export function riderFitAt(
  look: Look,
  n: number,
  plans: (candidate: SetupId, baseline: SetupId) => BandPlan,
): RiderFit {
  const whole = look.wholeFit();
  const design = "fits" in whole ? whole.all : whole.design;
  const { setups } = design.bank.layout;
  return {
    setups,
    runs: design.counts,
    meansS: setups.map((_, j) => adjustedMean(whole, j)),
    rankDf: "fits" in whole ? whole.df : design.rankDf,
    pairBand: (candidate, baseline) =>
      pairBandAt(look, n, candidate, baseline, plans(candidate, baseline)),
  };
}

/** The bands of any two set-ups of a rider. */
export function pairBandPlans(
  input: ComparisonInput,
  rider: Rider,
): (candidate: SetupId, baseline: SetupId) => BandPlan {
  const plan = riderPlan(input, rider);
  return (candidate, baseline) => pairBands(input, plan, 0, candidate, baseline).whole;
}

/** Level of the last day on its newest ground plus the set-up's effect, the parts added up; null if not determined. */
function adjustedMean(whole: ReturnType<Look["wholeFit"]>, setup: number): number | null {
  const fits: readonly PartFit[] = "fits" in whole ? whole.fits : [whole];
  let sum = 0;
  for (const fit of fits) {
    const { factor, bank } = fit.design;
    const contrast = new Array<number>(factor.columns).fill(0);
    const last = bank.layout.blocks.length - 1;
    contrast[blockColumn(bank.layout, last)] = 1;
    for (const column of stepColumns(bank.layout, last)) contrast[column] = 1;
    if (setup > 0) contrast[setupColumn(bank.layout, setup)] = 1;
    if (!isEstimable(factor, contrast)) return null;
    sum += contrastValue(fit, contrast);
  }
  return sum;
}

function pairBandAt(
  look: Look,
  n: number,
  candidate: SetupId,
  baseline: SetupId,
  bands: BandPlan,
): PairBand {
  const seen = look.pair(0, candidate, baseline, bands.at(n));
  const known = seen.estimate.figures;
  const errorS = known?.error?.standardErrorS ?? null;
  const half = (multiplier: number): number =>
    errorS === null ? Number.POSITIVE_INFINITY : multiplier * errorS;
  return {
    candidate,
    baseline,
    differenceS: known?.differenceS ?? null,
    standardErrorS: errorS,
    df: known?.error?.df ?? null,
    z2: known?.z2 ?? null,
    multiplier: seen.multiplier,
    halfWidthS: half(seen.multiplier),
    innerHalfWidthS: half(seen.innerMultiplier),
    verdict: seen.verdict,
    bands,
  };
}
