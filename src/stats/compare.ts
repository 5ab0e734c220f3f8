// The comparison of every rider, as `compare --json` prints it; called by the summary after every
// run.
import type { ComparisonInput, Part, RiderComparison, SetupSpread } from "../domain/comparison.ts";
import type { DriftModel, Rider, Setup } from "../domain/session.ts";
import { NO_DF } from "./contrast-sums.ts";
import { type CountedRun, sectorCount, sortedRuns } from "./counted-runs.ts";
import { blockColumn, type Layout } from "./design.ts";
import { item } from "./entry.ts";
import { isEstimable } from "./least-squares.ts";
import { pairRows } from "./pair-row.ts";
import type { PartFit } from "./part-fit.ts";
import { placesAhead } from "./places-ahead.ts";
import { firstCalls, lastLook, type Subject } from "./replay.ts";
import { endRunOf, plannedPairs, riderPlan } from "./rider-plan.ts";
import { type SectorwiseFit, sectorwiseSpreads } from "./sector-void.ts";

/**
 * Every rider's comparison: model, bands, verdicts, sectors and forecast.
 *
 * @param input - the session as its journal has it now; runs of all riders in run order
 * @returns one entry a rider in the sheet's order; what cannot be said is null, never NaN
 * @throws {RangeError} if a finished run has no time or no place in the order
 */
export function compareRiders(input: ComparisonInput): readonly RiderComparison[] {
  return input.riders.map((rider) => compareRider(input, rider));
}

function compareRider(input: ComparisonInput, rider: Rider): RiderComparison {
  const { counted, counts } = sortedRuns(input, [rider.id]);
  const subject = riderSubject(input, rider, counted);
  const look = lastLook(subject);
  const endRun = endRunOf(input, rider);
  const ahead = endRun === null ? [] : placesAhead(input, rider, counted.length, endRun, false);
  const rows = pairRows(subject, look, firstCalls(subject), { rows: ahead });
  const parts: readonly Part[] = rows.map((pairs, part) => ({
    part: part === 0 ? "whole" : "sector",
    sector: part === 0 ? null : part,
    name: part === 0 ? null : (input.sectors[part - 1] ?? null),
    pairs,
  }));
  return {
    rider: rider.id,
    counted_runs: counts.counted,
    void_runs: counts.void,
    warm_up_runs: counts.warmUp,
    dnf_runs: counts.dnf,
    unsure_runs: counts.unsure,
    ...wholeFigures(subject, input.setups, look.wholeFit()),
    parts,
  };
}

/**
 * A rider's runs with the bands of the rider's set-ups against the baseline.
 *
 * @param counted - the rider's counted runs in run order
 */
export function riderSubject(
  input: ComparisonInput,
  rider: Rider,
  counted: readonly CountedRun[],
): Subject {
  const { settings } = input;
  const sectors = sectorCount(input);
  const plan = riderPlan(input, rider);
  return {
    runs: counted,
    setups: plan.setups.all,
    drift: settings.drift,
    spreads: settings.spreads,
    marginS: settings.marginS,
    newSetups: new Set(rider.newTo),
    sectors,
    isBySector: true,
    pairs: plannedPairs(input, plan, sectors),
  };
}

type WholeFigures = Pick<
  RiderComparison,
  "spread_s" | "drift_s_per_run" | "learning_s" | "df" | "setup_spreads"
>;

function wholeFigures(
  subject: Subject,
  setups: readonly Setup[],
  fit: PartFit | SectorwiseFit,
): WholeFigures {
  const isSectorwise = "fits" in fit;
  const design = isSectorwise ? fit.all : fit.design;
  const df = isSectorwise ? fit.df : fit.design.rankDf;
  const layout = design.bank.layout;
  const spreads = isSectorwise ? sectorwiseSpreads(fit) : plainSpreads(fit);
  const own = setups.filter(({ id }) => subject.setups.includes(id));
  const setup_spreads = own.map(({ id }): SetupSpread => {
    const g = layout.setups.indexOf(id);
    const spread = spreads[g];
    return {
      setup: id,
      runs: design.counts[g] ?? 0,
      df: spread?.df ?? null,
      spread_s: spread?.spreadS ?? null,
    };
  });
  if (df < 1) {
    return { spread_s: null, drift_s_per_run: null, learning_s: null, df: null, setup_spreads };
  }
  const fits = isSectorwise ? fit.fits : [fit];
  const term = (index: number): number | null => driftTerm(fits, layout, index);
  const drift: DriftModel = subject.drift;
  return {
    spread_s: Math.sqrt(isSectorwise ? fit.variance : fit.rss / df),
    drift_s_per_run: drift === "none" ? null : term(1),
    learning_s: drift === "learning" ? term(2) : null,
    df,
    setup_spreads,
  };
}

function plainSpreads(
  fit: PartFit,
): readonly { readonly df: number | null; readonly spreadS: number | null }[] {
  return fit.design.groupDf.map((df, g) =>
    df <= NO_DF
      ? { df: null, spreadS: null }
      : { df, spreadS: Math.sqrt(item(fit.groupRss, g) / df) },
  );
}

/**
 * A drift coefficient of the last block (the day that is being ridden), the parts added up; null if
 * some part does not determine it.
 */
function driftTerm(fits: readonly PartFit[], layout: Layout, term: number): number | null {
  const column = blockColumn(layout, layout.blocks.length - 1) + term;
  let sum = 0;
  for (const fit of fits) {
    const { factor } = fit.design;
    const unit = Array.from({ length: factor.columns }, (_, j) => (j === column ? 1 : 0));
    if (!isEstimable(factor, unit)) return null;
    sum += item(fit.coefficients, column);
  }
  return sum;
}
