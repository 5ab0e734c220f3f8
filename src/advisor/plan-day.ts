// What a day can show before it is ridden: order, timetable, smallest difference likely to be seen;
// called by the command line.
import type { Plan, PracticePlan, SmallestDifference } from "../domain/plan.ts";
import { type SetupId, swapMinutes } from "../domain/session.ts";
import type { PlannedFigures } from "../stats/design.ts";
import {
  carriesPlanBand,
  type EndOfPlan,
  endOfPlan,
  ownFigures,
  type PlanSheet,
  riderOrder,
  stackFigures,
} from "./plan-figures.ts";
import { planRefusal } from "./plan-refusal.ts";
import { planWarnings } from "./plan-warnings.ts";
import { PRACTICE_RUNS } from "./practice-runs.ts";
import { spreadInterval } from "./spread-interval.ts";
import { timetableOf } from "./timetable.ts";

/** Runs beyond which a day without a planned number is no longer filled. */
const MOST_RUNS = 200;

/** A spread that was measured, and how well. */
export interface KnownSpread {
  readonly spreadS: number;
  readonly df: number;
}

/**
 * The plan of a day.
 *
 * Without `planned_runs` the hours are filled: as many runs as fit.
 *
 * @param measured - the spread of runs already ridden; replaces the sheet's, and is known only as
 *   well as its degrees of freedom allow
 * @throws {UserError} `refused` if the plan is too short, see `planRefusal`
 */
export function planDay(sheet: PlanSheet, measured: KnownSpread | null = null): Plan {
  const refusal = planRefusal(sheet);
  if (refusal !== null) throw refusal;
  const { settings } = sheet;
  const practice = practiceOf(sheet);
  const runs = settings.plannedRuns ?? runsThatFit(sheet);
  const order = runs === null ? [] : riderOrder(sheet, runs, 0);
  const minutes = runs === null ? null : orderMinutes(sheet, order);
  const needed = minutes === null ? null : minutes + practiceMinutes(sheet, order);
  const fits = needed === null || settings.minutes === null ? null : needed <= settings.minutes;
  const figures = runs === null ? null : promisedFigures(sheet, runs);
  const end = figures === null ? undefined : endOfPlan(sheet, figures);
  const spreadS = measured?.spreadS ?? settings.spreadS;
  const innerS =
    end === undefined || spreadS === null ? Number.POSITIVE_INFINITY : end.innerHalfWidth * spreadS;
  const isReachable = settings.marginS !== null && settings.marginS > innerS;
  return {
    format: "swaplap-plan",
    version: 1,
    runs,
    order,
    practice,
    swaps: swapsIn(order),
    minutes,
    fits,
    timetable: runs === null ? [] : timetableOf(sheet, runs),
    smallest_difference_s: smallestDifference(end, spreadS, measured),
    end_half_width_s: seconds(end?.halfWidth, spreadS),
    no_difference_reachable: isReachable,
    warnings: planWarnings(sheet, {
      runs,
      minutes,
      neededMinutes: needed,
      runsThatFit: runsThatFit(sheet),
      end,
      spreadS,
      isReachable,
      isOwnPlanEnough: runs === null || carriesPlanBand(sheet, ownFigures(sheet, runs)),
    }),
  };
}

/** Three runs on each set-up that is new to a rider. */
function practiceOf(sheet: PlanSheet): readonly PracticePlan[] {
  return sheet.riders.flatMap((rider) =>
    rider.newTo.map((setup) => ({ rider: rider.id, setup, runs: PRACTICE_RUNS })),
  );
}

/** Of one rider; of the riders together where one's own plan is too short and a pooled claim exists. */
function promisedFigures(sheet: PlanSheet, runs: number): PlannedFigures {
  const own = ownFigures(sheet, runs);
  const isPooled = sheet.settings.bands === "plan" && sheet.riders.length > 2;
  return isPooled && !carriesPlanBand(sheet, own) ? stackFigures(sheet, runs) : own;
}

function smallestDifference(
  end: EndOfPlan | undefined,
  spreadS: number | null,
  measured: KnownSpread | null,
): SmallestDifference | null {
  const at_spread = seconds(end?.smallestDifference, spreadS);
  if (at_spread === null) return null;
  if (measured === null || !(measured.df > 0)) return { at_spread, low: null, high: null };
  const [low, high] = spreadInterval(measured.df);
  return { at_spread, low: low * at_spread, high: high * at_spread };
}

function seconds(spreads: number | undefined, spreadS: number | null): number | null {
  if (spreads === undefined || spreadS === null || !Number.isFinite(spreads)) return null;
  return spreads * spreadS;
}

function swapsIn(order: readonly SetupId[]): number {
  return order.slice(1).filter((setup, i) => setup !== order[i]).length;
}

/** Runs and the swaps between them; null without a lap time. */
function orderMinutes(sheet: PlanSheet, order: readonly SetupId[]): number | null {
  const { lapMinutes } = sheet.settings;
  return lapMinutes === null ? null : order.length * lapMinutes + pathMinutes(sheet, order);
}

/** Practice before run 1, of the rider who needs longest; riders practise at the same time. */
function practiceMinutes(sheet: PlanSheet, order: readonly SetupId[]): number {
  const lap = sheet.settings.lapMinutes ?? 0;
  const first = order.slice(0, 1);
  const each = sheet.riders.map(
    ({ newTo }) =>
      newTo.length * PRACTICE_RUNS * lap + pathMinutes(sheet, [...first, ...newTo, ...first]),
  );
  return Math.max(0, ...each);
}

function pathMinutes(sheet: PlanSheet, path: readonly SetupId[]): number {
  return path
    .slice(1)
    .reduce((sum, setup, i) => sum + swapMinutes(sheet.swaps, path[i] ?? setup, setup), 0);
}

/** Most runs whose laps, swaps and practice fit in the hours; null if these are not known. */
function runsThatFit(sheet: PlanSheet): number | null {
  const { minutes, lapMinutes } = sheet.settings;
  if (minutes === null || lapMinutes === null) return null;
  let runs = 0;
  while (runs < MOST_RUNS) {
    const order = riderOrder(sheet, runs + 1, 0);
    const needed = (orderMinutes(sheet, order) ?? 0) + practiceMinutes(sheet, order);
    if (needed > minutes) break;
    runs += 1;
  }
  return runs;
}
