// What a day can show before it is ridden: order, timetable, smallest difference likely to be seen;
// called by the command line.
import type { Plan, PracticePlan, SmallestDifference } from "../domain/plan.ts";
import { type Rider, type SetupId, swapMinutes } from "../domain/session.ts";
import {
  carriesPlanBand,
  comparableSetups,
  countingPlan,
  type EndOfPlan,
  endOfPlan,
  firstRider,
  ordersOf,
  ownPlan,
  ownSetups,
  type PlanSheet,
  runsOf,
  setupsToPractise,
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
 * The plan of a day: order, hours and reach are those of the sheet's first rider, the warnings say
 * where others' differ.
 *
 * Without `planned_runs` the hours are filled: as many runs as fit. Of several days the hours are
 * those of each.
 *
 * @param measured - the spread of runs already ridden; replaces the sheet's, and is known only as
 *   well as its degrees of freedom allow
 * @throws {UserError} `refused` if the plan is too short, see `planRefusal`
 */
export function planDay(sheet: PlanSheet, measured: KnownSpread | null = null): Plan {
  const refusal = planRefusal(sheet);
  if (refusal !== null) throw refusal;
  const first = firstRider(sheet);
  const runsFitting = runsThatFit(sheet, first);
  const runs = runsOf(sheet, first) ?? runsFitting;
  const filled = withRuns(sheet, runs);
  const days = ordersOf(filled, first);
  const order = days.flat();
  const { settings } = filled;
  const perDay = runs === null ? null : dayMinutes(filled, first);
  const longest = perDay === null ? null : Math.max(0, ...perDay.needed);
  const fits = longest === null || settings.minutes === null ? null : longest <= settings.minutes;
  const end = runs === null ? undefined : promisedEnd(filled);
  const spreadS = measured?.spreadS ?? settings.spreadS;
  const innerS =
    end === undefined || spreadS === null ? Number.POSITIVE_INFINITY : end.innerHalfWidth * spreadS;
  const isReachable = settings.marginS !== null && settings.marginS > innerS;
  return {
    format: "swaplap-plan",
    version: 1,
    runs,
    order,
    practice: practiceOf(sheet),
    swaps: days.reduce((sum, day) => sum + swapsIn(day), 0),
    minutes: perDay?.ridden.reduce((sum, minutes) => sum + minutes, 0) ?? null,
    fits,
    timetable: runs === null ? [] : timetableOf(filled),
    smallest_difference_s: smallestDifference(end, spreadS, measured),
    end_half_width_s: seconds(end?.halfWidth, spreadS),
    no_difference_reachable: isReachable,
    warnings: planWarnings(filled, {
      setups: ownSetups(sheet, first).length,
      runs,
      neededMinutes: longest,
      runsThatFit: runsFitting,
      end,
      spreadS,
      isReachable,
    }),
  };
}

/** The sheet with as many runs for everybody who has no number of their own. */
function withRuns(sheet: PlanSheet, runs: number | null): PlanSheet {
  const plannedRuns = sheet.settings.plannedRuns ?? runs;
  return { ...sheet, settings: { ...sheet.settings, plannedRuns } };
}

/** Three runs on each set-up that is new to a rider. */
function practiceOf(sheet: PlanSheet): readonly PracticePlan[] {
  return sheet.riders.flatMap((rider) =>
    setupsToPractise(sheet, rider).map((setup) => ({
      rider: rider.id,
      setup,
      runs: PRACTICE_RUNS,
    })),
  );
}

/**
 * Of the first rider; of the riders together where that plan is too short and a pooled claim exists.
 */
function promisedEnd(sheet: PlanSheet): EndOfPlan | undefined {
  const first = firstRider(sheet);
  const own = ownPlan(sheet, first);
  const comparable = comparableSetups(sheet, [first]);
  const isPooled = sheet.settings.bands === "plan" && sheet.riders.length > 2;
  if (!isPooled || carriesPlanBand(own, comparable)) return endOfPlan(sheet, own, comparable);
  return endOfPlan(sheet, countingPlan(sheet), comparableSetups(sheet, sheet.riders));
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

interface DayMinutes {
  /** Runs and the swaps between them, of each day. */
  readonly ridden: readonly number[];
  /** The same with practice before the first run. */
  readonly needed: readonly number[];
}

/** Minutes of a rider's days; null without a lap time. */
function dayMinutes(sheet: PlanSheet, rider: Rider): DayMinutes | null {
  const { lapMinutes } = sheet.settings;
  if (lapMinutes === null) return null;
  const ridden = ordersOf(sheet, rider).map(
    (order) => order.length * lapMinutes + pathMinutes(sheet, order),
  );
  const practice = practiceMinutes(sheet, lapMinutes);
  return { ridden, needed: ridden.map((minutes, day) => minutes + (day === 0 ? practice : 0)) };
}

/** Practice before run 1, of the rider who needs longest; riders practise at the same time. */
function practiceMinutes(sheet: PlanSheet, lap: number): number {
  const each = sheet.riders.map((rider) => {
    const first = ordersOf(sheet, rider)[0]?.slice(0, 1) ?? [];
    const newTo = setupsToPractise(sheet, rider);
    return newTo.length * PRACTICE_RUNS * lap + pathMinutes(sheet, [...first, ...newTo, ...first]);
  });
  return Math.max(0, ...each);
}

function pathMinutes(sheet: PlanSheet, path: readonly SetupId[]): number {
  return path
    .slice(1)
    .reduce((sum, setup, i) => sum + swapMinutes(sheet.swaps, path[i] ?? setup, setup), 0);
}

/** Most runs of a rider whose laps, swaps and practice fit in the hours; null if these are not known. */
function runsThatFit(sheet: PlanSheet, rider: Rider): number | null {
  const { minutes, lapMinutes } = sheet.settings;
  if (minutes === null || lapMinutes === null) return null;
  const fits = (runs: number): boolean => {
    const own = { ...rider, plannedRuns: runs };
    const riders = sheet.riders.map((r) => (r === rider ? own : r));
    const needed = dayMinutes(withRuns({ ...sheet, riders }, runs), own)?.needed ?? [];
    return needed.length > 0 && Math.max(...needed) <= minutes;
  };
  let runs = 0;
  while (runs < MOST_RUNS && fits(runs + 1)) runs += 1;
  return runs;
}
