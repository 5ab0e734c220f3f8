// What a plan promises before it is ridden: levels, degrees of freedom, the width of the last band;
// called by plan-day.ts, fix-plan.ts, plan-refusal.ts and the warnings.
import { baselineOf, type Rider, type SetupId, type Sheet } from "../domain/session.ts";
import { bandPlan, multipliersAt } from "../stats/band-in-force.ts";
import { carryingRiders } from "../stats/carrying-riders.ts";
import type { PlannedPair } from "../stats/design.ts";
import {
  type ComparisonPlan,
  type PlanBasis,
  plannedRunsOf,
  riderOrders,
  riderPlan,
  setupsOf,
  setupsToRide,
} from "../stats/rider-plan.ts";
import { FEWEST_PLANNED_DF } from "../stats/thresholds.ts";
import { stackPlan } from "../stats/together.ts";

/** The part of a sheet that a plan is made from. */
export type PlanSheet = Pick<Sheet, "settings" | "riders" | "setups" | "swaps" | "hours" | "gear"> &
  Partial<Pick<Sheet, "explored">>;

/** A rider whom nothing was written about. */
const ANYBODY: Rider = {
  id: "R1",
  name: "Rider",
  tag: null,
  newTo: [],
  setups: null,
  plannedRuns: null,
};

/** The rider whose plan is shown; a sheet without riders is planned as for one. */
export function firstRider(sheet: PlanSheet): Rider {
  return sheet.riders[0] ?? ANYBODY;
}

/** Set-ups of a rider, baseline first. */
export function ownSetups(sheet: PlanSheet, rider: Rider): readonly SetupId[] {
  return setupsToRide(unridden(sheet), rider);
}

/** Set-ups that are new to a rider and that the rider is to ride. */
export function setupsToPractise(sheet: PlanSheet, rider: Rider): readonly SetupId[] {
  const own = ownSetups(sheet, rider);
  return rider.newTo.filter((setup) => own.includes(setup));
}

/** N of a rider; null without a planned number of runs. */
export function runsOf(sheet: PlanSheet, rider: Rider): number | null {
  return plannedRunsOf(unridden(sheet), rider);
}

/** Planning orders of a rider, one a day: every second rider starts at the other end. */
export function ordersOf(sheet: PlanSheet, rider: Rider): readonly (readonly SetupId[])[] {
  const isReversed = sheet.riders.findIndex((r) => r.id === rider.id) % 2 === 1;
  return riderOrders(unridden(sheet), rider, isReversed);
}

/** One rider's own plan. */
export function ownPlan(sheet: PlanSheet, rider: Rider): ComparisonPlan {
  return riderPlan(unridden(sheet), rider);
}

/** What counts: one rider's own plan, or all riders' stacked where there are several. */
export function countingPlan(sheet: PlanSheet): ComparisonPlan {
  return sheet.riders.length > 1 ? stackPlan(unridden(sheet)) : ownPlan(sheet, firstRider(sheet));
}

/** Riders that a set-up's difference to the baseline rests on; 0 where they cannot compare it. */
export function ridersCarrying(sheet: PlanSheet, setup: SetupId): number {
  const input = unridden(sheet);
  const setups = setupsOf(input);
  return carryingRiders(input, setups, setup, setups.baseline);
}

/**
 * Set-ups that riders can compare with the baseline in the long run: a rider who rides both, or
 * riders who lead from one to the other.
 */
export function comparableSetups(sheet: PlanSheet, riders: readonly Rider[]): ReadonlySet<SetupId> {
  const baseline = baselineOf(sheet.setups).id;
  const linked = new Set([baseline]);
  const left = riders.map((rider) => ownSetups(sheet, rider));
  // Ends: every turn takes a rider out.
  for (;;) {
    const at = left.findIndex((own) => own.some((setup) => linked.has(setup)));
    if (at < 0) break;
    for (const own of left.splice(at, 1)) for (const setup of own) linked.add(setup);
  }
  linked.delete(baseline);
  return linked;
}

/** The plan band needs this: enough degrees of freedom at the end, and every pair determined. */
export function carriesPlanBand(
  { figures, setups }: ComparisonPlan,
  comparable: ReadonlySet<SetupId>,
): boolean {
  return (
    figures !== null &&
    figures.nuN >= FEWEST_PLANNED_DF &&
    [...comparable].every((setup) => figures.pair(setup, setups.baseline) !== undefined)
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
 * @param comparable - set-ups whose pairs with the baseline are asked about
 * @returns undefined without any, or if the plan does not determine a pair
 */
export function endOfPlan(
  sheet: PlanSheet,
  plan: ComparisonPlan,
  comparable: ReadonlySet<SetupId>,
): EndOfPlan | undefined {
  const { figures, setups } = plan;
  const ends = [...comparable].map((setup) => {
    const pair = figures?.pair(setup, setups.baseline);
    return figures === null || pair === undefined
      ? undefined
      : endOfPair(sheet, plan.levelOf(setup, setups.baseline), pair, figures);
  });
  return ends.reduce<EndOfPlan | undefined>(
    (widest, end) =>
      widest === undefined || end === undefined || end.halfWidth > widest.halfWidth ? end : widest,
    ends[0],
  );
}

function endOfPair(
  sheet: PlanSheet,
  level: number,
  { z2N, df }: PlannedPair,
  { nuN, runs }: NonNullable<ComparisonPlan["figures"]>,
): EndOfPlan {
  const { bands, spreads } = sheet.settings;
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

/** The sheet as a session that nobody has ridden in yet. */
function unridden(sheet: PlanSheet): PlanBasis {
  const plannedSetups = sheet.setups.map((setup) => setup.id);
  const plannedRiders = sheet.riders.map((rider) => rider.id);
  return { ...sheet, plannedSetups, plannedRiders, runs: [], plannedEnds: [] };
}
