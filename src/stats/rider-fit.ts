// One rider's whole-run fit as the advisor needs it: adjusted means, (X'X)^-1, and the band of any
// two set-ups; called by the advisor.
import type { ComparisonInput, Verdict } from "../domain/comparison.ts";
import type { Rider, RiderId, SetupId } from "../domain/session.ts";
import type { BandPlan } from "./band-in-force.ts";
import { riderSubject } from "./compare.ts";
import { sortedRuns } from "./counted-runs.ts";
import {
  blockColumn,
  type DesignRow,
  designRow,
  driftTerms,
  type Layout,
  layoutOf,
  setupColumn,
  transpose,
} from "./design.ts";
import { item } from "./entry.ts";
import { factorise, inverseMoments, isEstimable } from "./least-squares.ts";
import type { Look } from "./look.ts";
import { contrastValue, type PartFit } from "./part-fit.ts";
import { nextPlace } from "./places-ahead.ts";
import { lastLook } from "./replay.ts";
import { endRunOf, pairBands, riderPlan } from "./rider-plan.ts";

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

/** What a look says about every set-up and any two of them: all that a standing rests on. */
export interface SetupFit {
  /** Set-ups with a column, baseline first. */
  readonly setups: readonly SetupId[];
  /** Counted runs of each of `setups`. */
  readonly runs: readonly number[];
  /** Adjusted mean of each of `setups` at the middle of the runs, s; null: not determined. */
  readonly meansS: readonly (number | null)[];
  /** The band of any two set-ups at the last counted run. */
  readonly pairBand: (candidate: SetupId, baseline: SetupId) => PairBand;
}

/** One rider's whole-run fit, one column a ridden set-up, then the days' levels and drift terms. */
export interface RiderFit extends SetupFit {
  readonly rider: RiderId;
  /** n: counted runs. */
  readonly countedRuns: number;
  /** N, or the earlier end announced; null without a plan. */
  readonly endRun: number | null;
  /** M = (X'X)^-1: the ridden set-ups first, in the order of `setups`, then days' offsets and drift terms, as in `nextRow`. */
  readonly inverse: readonly (readonly number[])[];
  /** Pooled spread, s; null while the rank df is below 1. */
  readonly spreadS: number | null;
  /** n less rank. */
  readonly rankDf: number;
  /** k of the rider's next run, on the newest day of the session. */
  readonly nextK: number;
  /**
   * Row of X of the next run on a set-up.
   *
   * @returns undefined for a set-up (or a day) without a counted run: it has no column
   */
  readonly nextRow: (setup: SetupId) => readonly number[] | undefined;
}

/**
 * Fits one rider's counted runs.
 *
 * Where a sector is struck out, means and spread are added up over the sectors as in the comparison
 * (over the untouched runs where that cannot be done); M is always that of all counted runs.
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
  const subject = riderSubject(input, rider, counted);
  const look = lastLook(subject);
  const whole = look.wholeFit();
  const layout = layoutOf(counted, subject.setups, subject.drift);
  const means = meansDesign(layout);
  const factor = factorise(transpose(counted.map(means.row), means.columns));
  const { block, k: nextK } = nextPlace(input, riderId);
  const isOnLayout = layout.blocks.some((b) => b.block === block);
  const df = "fits" in whole ? whole.df : whole.design.rankDf;
  const variance = "fits" in whole ? whole.variance : whole.rss / df;
  return {
    rider: riderId,
    countedRuns: counted.length,
    endRun: endRunOf(input, rider),
    ...setupFit(look, counted.length, pairBandPlans(input, rider)),
    inverse: inverseMoments(factor),
    spreadS: df >= 1 ? Math.sqrt(variance) : null,
    rankDf: df,
    nextK,
    nextRow: (setup) =>
      isOnLayout && layout.setups.includes(setup)
        ? means.row({ setup, block, k: nextK })
        : undefined,
  };
}

/**
 * What a look says about the set-ups of its runs.
 *
 * @param n - counted runs at the look
 * @param plans - the bands of any two set-ups
 */
export function setupFit(
  look: Look,
  n: number,
  plans: (candidate: SetupId, baseline: SetupId) => BandPlan,
): SetupFit {
  const whole = look.wholeFit();
  const design = "fits" in whole ? whole.all : whole.design;
  const { setups } = design.bank.layout;
  return {
    setups,
    runs: design.counts,
    meansS: setups.map((_, j) => adjustedMean(whole, j)),
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

/** A column a set-up; offsets of all days but the last; drift terms of every day. */
function meansDesign(layout: Layout): {
  readonly columns: number;
  readonly row: (run: DesignRow) => readonly number[];
} {
  const block = 1 + driftTerms(layout.drift);
  const levels = layout.blocks.slice(0, -1).map((_, b) => blockColumn(layout, b));
  const drifts = layout.blocks.flatMap((_, b) =>
    Array.from({ length: block - 1 }, (__, term) => blockColumn(layout, b) + 1 + term),
  );
  const kept = [...levels, ...drifts];
  return {
    columns: layout.setups.length + kept.length,
    row: (run) => {
      const x = designRow(layout, run);
      return [
        ...layout.setups.map((setup) => (setup === run.setup ? 1 : 0)),
        ...kept.map((j) => item(x, j)),
      ];
    },
  };
}

/** Level of the last day plus the set-up's effect, the parts added up; null if not determined. */
function adjustedMean(whole: ReturnType<Look["wholeFit"]>, setup: number): number | null {
  const fits: readonly PartFit[] = "fits" in whole ? whole.fits : [whole];
  let sum = 0;
  for (const fit of fits) {
    const { factor, bank } = fit.design;
    const contrast = new Array<number>(factor.columns).fill(0);
    contrast[blockColumn(bank.layout, bank.layout.blocks.length - 1)] = 1;
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
