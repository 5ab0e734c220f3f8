// Whether the days of a session agree about two set-ups: the difference within each day, and a test of
// whether these differ more than chance; called by the remark on days.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { type CountedRun, sortedRuns } from "./counted-runs.ts";
import { layoutOf } from "./design.ts";
import { fUpperTail } from "./f-tail.ts";
import {
  type BankedDesign,
  bankedDesign,
  contrastValue,
  pairContrast,
  partFit,
} from "./part-fit.ts";
import { setupsOf } from "./rider-plan.ts";
import { RowBank } from "./row-bank.ts";

/** What one day alone says. */
interface DayDifference {
  /** From 0. */
  readonly day: number;
  /** Runs of the candidate on that day. */
  readonly runs: number;
  readonly baselineRuns: number;
  /** Candidate minus baseline, s; null: the day does not determine it. */
  readonly differenceS: number | null;
}

/** What the days say together. */
export interface DaysAgreement {
  /** Days with a run of either, in order. */
  readonly days: readonly DayDifference[];
  /** One difference for all days, each with its own levels and session drifts, s. */
  readonly commonS: number | null;
  /** Null: fewer than two days determine the difference, or there is no scatter to hold it against. */
  readonly test: {
    readonly f: number;
    readonly df1: number;
    readonly df2: number;
    /** Chance of days that differ by this much or more where the set-ups do the same on each. */
    readonly p: number;
  } | null;
}

/**
 * Compares the days by an F test of set-up x day: differences of their own for each day against a
 * common one, by the spread that is left within the days, one for all set-ups and days. Runs with a
 * sector struck out are left out.
 *
 * @param riders - one, or several together; each has a level and a session drift a day
 * @see Scheffe, The Analysis of Variance, 2.4 (a linear hypothesis); days are independent given the
 *   spread, so that the sum of squares is that of the days' differences around their mean, each
 *   weighted by its information
 */
export function daysAgree(
  input: ComparisonInput,
  riders: readonly RiderId[],
  candidate: SetupId,
  baseline: SetupId,
): DaysAgreement {
  const dayOf = new Map(input.runs.map((run) => [run.runId, run.day]));
  const untouched = sortedRuns(input, riders).counted.filter((run) => run.voidSectors.length === 0);
  const onDay = (run: CountedRun): number => dayOf.get(run.runId) ?? 0;
  const fits = [...new Set(untouched.map(onDay))].map((day) => {
    const runs = untouched.filter((run) => onDay(run) === day);
    return { day, ...fitOf(input, runs, candidate, baseline) };
  });
  const days = fits
    .map(({ day, runs, baselineRuns, differenceS }) => ({ day, runs, baselineRuns, differenceS }))
    .filter(({ runs, baselineRuns }) => runs + baselineRuns > 0);
  return {
    days,
    commonS: fitOf(input, untouched, candidate, baseline).differenceS,
    test: testOf(fits),
  };
}

interface OneFit extends Omit<DayDifference, "day"> {
  /** Information on the difference; 0 where it is not determined. */
  readonly z2: number;
  readonly rss: number;
  readonly df: number;
}

function fitOf(
  input: ComparisonInput,
  runs: readonly CountedRun[],
  candidate: SetupId,
  baseline: SetupId,
): OneFit {
  const layout = layoutOf(runs, setupsOf(input).all, input.settings.drift);
  const bank = new RowBank(layout, 0);
  for (const run of runs) bank.add(run);
  const design = bankedDesign(bank, bank.classes);
  const fit = partFit(design, 0);
  const pair = pairContrast(design, candidate, baseline);
  return {
    runs: countOf(design, candidate),
    baselineRuns: countOf(design, baseline),
    differenceS: pair === undefined ? null : contrastValue(fit, pair.contrast),
    z2: pair?.z2 ?? 0,
    rss: fit.rss,
    df: design.rankDf,
  };
}

function countOf(design: BankedDesign, setup: SetupId): number {
  return design.counts[design.bank.layout.setups.indexOf(setup)] ?? 0;
}

function testOf(fits: readonly OneFit[]): DaysAgreement["test"] {
  let df1 = -1;
  let df2 = 0;
  let rss = 0;
  let information = 0;
  let weighted = 0;
  for (const { differenceS, z2, ...fit } of fits) {
    df2 += fit.df;
    rss += fit.rss;
    if (differenceS === null) continue;
    df1 += 1;
    information += z2;
    weighted += z2 * differenceS;
  }
  if (df1 < 1 || df2 < 1 || !(rss > 0)) return null;
  const mean = weighted / information;
  const between = fits.reduce(
    (sum, { differenceS, z2 }) =>
      differenceS === null ? sum : sum + z2 * (differenceS - mean) ** 2,
    0,
  );
  const f = between / df1 / (rss / df2);
  return { f, df1, df2, p: fUpperTail(f, df1, df2) };
}
