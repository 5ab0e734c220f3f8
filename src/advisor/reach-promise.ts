// Whose plan says what a day can show, and what it says for any number of runs; called by plan-day.ts,
// reach-curve.ts and the warnings.
import {
  carriesPlanBand,
  comparableSetups,
  countingPlan,
  type EndOfPlan,
  endOfPlan,
  firstRider,
  ownPlan,
  type PlanSheet,
} from "./plan-figures.ts";

/** The first rider's own plan, or that of the riders together. */
export type Promising = "own" | "together";

/**
 * The first rider's own; that of the riders together where it is too short and a pooled claim exists.
 *
 * @param sheet - with a number of runs
 */
export function whosePromise(sheet: PlanSheet): Promising {
  const isPooled = sheet.settings.bands === "plan" && sheet.riders.length > 2;
  if (!isPooled) return "own";
  const first = firstRider(sheet);
  return carriesPlanBand(ownPlan(sheet, first), comparableSetups(sheet, [first]))
    ? "own"
    : "together";
}

/** The end of that plan; undefined where nothing is compared or a pair is not determined. */
export function endUnder(sheet: PlanSheet, whose: Promising): EndOfPlan | undefined {
  const { plan, comparable } = planUnder(sheet, whose);
  return endOfPlan(sheet, plan, comparable);
}

/** The same, and undefined as well where the plan is too short to promise anything. */
export function promisedUnder(sheet: PlanSheet, whose: Promising): EndOfPlan | undefined {
  const { plan, comparable } = planUnder(sheet, whose);
  if (sheet.settings.bands === "plan" && !carriesPlanBand(plan, comparable)) return undefined;
  const end = endOfPlan(sheet, plan, comparable);
  return end !== undefined && Number.isFinite(end.smallestDifference) ? end : undefined;
}

function planUnder(sheet: PlanSheet, whose: Promising) {
  const first = firstRider(sheet);
  return whose === "own"
    ? { plan: ownPlan(sheet, first), comparable: comparableSetups(sheet, [first]) }
    : { plan: countingPlan(sheet), comparable: comparableSetups(sheet, sheet.riders) };
}
