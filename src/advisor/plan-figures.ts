// What a plan promises before it is ridden: levels, degrees of freedom, the width of the last band;
// called by plan-day.ts, fix-plan.ts and plan-refusal.ts.
import { baselineOf, type SetupId, type Sheet } from "../domain/session.ts";
import { bandPlan, multipliersAt } from "../stats/band-in-force.ts";
import {
  baselineFirst,
  type PlannedFigures,
  type PlannedPair,
  plannedFigures,
  planningOrder,
} from "../stats/design.ts";
import { FEWEST_PLANNED_DF } from "../stats/thresholds.ts";

/** The part of a sheet that a plan is made from. */
export type PlanSheet = Pick<Sheet, "settings" | "riders" | "setups" | "swaps">;

/** Set-ups of a sheet, baseline first. */
export function orderedSetups(sheet: PlanSheet): readonly SetupId[] {
  return baselineFirst(
    sheet.setups.map((setup) => setup.id),
    baselineOf(sheet.setups).id,
  );
}

/** Planning order of a rider: every second one starts at the other end. */
export function riderOrder(sheet: PlanSheet, runs: number, riderIndex: number): readonly SetupId[] {
  return planningOrder(orderedSetups(sheet), runs, riderIndex % 2 === 1);
}

/** Figures of one rider's own plan of so many runs. */
export function ownFigures(sheet: PlanSheet, runs: number): PlannedFigures {
  const setups = orderedSetups(sheet);
  return plannedFigures(setups, [planningOrder(setups, runs)], sheet.settings.drift);
}

/** Figures of all riders' plans stacked, so many runs each. */
export function stackFigures(sheet: PlanSheet, runs: number): PlannedFigures {
  const orders = sheet.riders.map((_, i) => riderOrder(sheet, runs, i));
  return plannedFigures(orderedSetups(sheet), orders, sheet.settings.drift);
}

/** The plan band needs this: enough degrees of freedom at the end, and every pair determined. */
export function carriesPlanBand(sheet: PlanSheet, figures: PlannedFigures): boolean {
  const [baseline, ...candidates] = orderedSetups(sheet);
  return (
    figures.nuN >= FEWEST_PLANNED_DF &&
    candidates.every((setup) => figures.pair(setup, baseline ?? "") !== undefined)
  );
}

/** The band after the last planned run, in spreads. */
export interface EndOfPlan {
  /** Infinity: no band even then. */
  readonly halfWidth: number;
  readonly innerHalfWidth: number;
  /** Found on 80 % of days. */
  readonly smallestDifference: number;
}

/**
 * The widest of the pairs' bands at the end of a plan.
 *
 * (m_N + 0.85) / sqrt(z2_N) with the multiplier of the last word, or the open band's.
 * chosen: 0.85 comes from simulation of whole days; for a single look at the end the normal
 * quantile 0.84 would stand there.
 *
 * @returns undefined with a single set-up, or if the plan does not determine a pair
 */
export function endOfPlan(sheet: PlanSheet, figures: PlannedFigures): EndOfPlan | undefined {
  const { settings } = sheet;
  const [baseline, ...candidates] = orderedSetups(sheet);
  const level = (1 - settings.confidence) / Math.max(1, candidates.length);
  const ends = candidates.map((setup) => {
    const pair = figures.pair(setup, baseline ?? "");
    return pair && endOfPair(sheet, figures, pair, level);
  });
  return ends.reduce<EndOfPlan | undefined>(
    (widest, end) =>
      widest === undefined || end === undefined || end.halfWidth > widest.halfWidth ? end : widest,
    ends[0],
  );
}

function endOfPair(
  sheet: PlanSheet,
  figures: PlannedFigures,
  { z2N, df }: PlannedPair,
  level: number,
): EndOfPlan {
  const { bands, spreads } = sheet.settings;
  const { nuN, runs } = figures;
  const limits = bandPlan(bands, level, { nuN, z2N }, runs).at(runs);
  const own = spreads === "each" ? df : nuN;
  const { multiplier, innerMultiplier } = multipliersAt(limits, own, z2N);
  const error = 1 / Math.sqrt(z2N);
  return {
    halfWidth: multiplier * error,
    innerHalfWidth: innerMultiplier * error,
    smallestDifference: (multiplier + 0.85) * error,
  };
}
