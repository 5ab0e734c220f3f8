// What a day can show before it is ridden: order, timetable, smallest difference likely to be seen;
// called by the command line, by summary and by calibrate.
import type { Plan, PracticePlan } from "../domain/plan.ts";
import type { SetupId } from "../domain/session.ts";
import { comparedSheet, presentAlone } from "./plan-exploring.ts";
import {
  type EndOfPlan,
  firstRider,
  ordersOf,
  ownSetups,
  type PlanSheet,
  runsOf,
  setupsToPractise,
} from "./plan-figures.ts";
import { fitsDays, runsThatFit, withRuns } from "./plan-fit.ts";
import { type PlannedDay, paceOf, plannedDays, ridingMinutes } from "./plan-hours.ts";
import { planRefusal } from "./plan-refusal.ts";
import { fitsShared, sharedDay } from "./plan-shared.ts";
import { planWarnings } from "./plan-warnings.ts";
import { PRACTICE_RUNS } from "./practice-runs.ts";
import { reachCurve } from "./reach-curve.ts";
import { endsOf, type PlanningSpread, reachFigures } from "./reach-figures.ts";
import { endUnder, promisedUnder, whosePromise } from "./reach-promise.ts";
import { timetableOf } from "./timetable.ts";

/** A spread that was measured, and how well. */
export interface KnownSpread {
  readonly spreadS: number;
  readonly df: number;
}

/**
 * The plan of a day: order and reach are those of the sheet's first rider, hours and timetable those
 * of everybody; the warnings say where others' differ.
 *
 * Without `planned_runs` the hours are filled: as many runs as fit. Of several days the hours are
 * those of each. Where settings are explored, reach is that of the closing check.
 *
 * @param measured - the spread of runs already ridden; replaces the sheet's, and is known only as
 *   well as its degrees of freedom allow
 * @throws {UserError} `refused` if the plan is too short, see `planRefusal`
 */
export function planDay(given: PlanSheet, measured: KnownSpread | null = null): Plan {
  const sheet = presentAlone(given);
  const refusal = planRefusal(sheet);
  if (refusal !== null) throw refusal;
  const fitting = runsThatFit(sheet);
  const runs = runsOf(sheet, firstRider(sheet)) ?? fitting;
  const filled = filledWith(sheet, runs);
  const { settings } = filled;
  const days = runs === null ? [] : plannedDays(filled);
  const orders = isExploring(sheet) ? [] : ordersOf(filled, firstRider(filled));
  const compared = comparedSheet(filled);
  const whose = whosePromise(compared);
  const end = runs === null ? undefined : endUnder(compared, whose);
  const spread: PlanningSpread | null = measured ?? toldSpread(sheet);
  const ends = endsOf(spread);
  return {
    format: "swaplap-plan",
    version: 1,
    runs,
    order: orders.flat(),
    practice: practiceOf(sheet),
    swaps: orders.reduce((sum, day) => sum + swapsIn(day), 0),
    minutes: runs === null ? null : countedMinutes(filled, orders),
    fits: fitting === 0 || !fitsShared(filled) ? false : fitsDays(filled, days),
    timetable: timetableOf(days),
    warnings: planWarnings(filled, {
      setups: ownSetups(sheet, firstRider(sheet)).length,
      runs,
      days,
      runsThatFit: fitting,
      endThatFits: endThatFits(sheet, fitting),
      end,
      spreadS: spread?.spreadS ?? null,
      ends,
    }),
    ...reachFigures(end, spread, settings.marginS),
    day_minutes: longestDay(filled, days),
    spread: spread === null ? null : { spread_s: spread.spreadS, df: spread.df },
    curve:
      spread === null || isExploring(sheet) ? [] : reachCurve(filled, whose, spread.spreadS, ends),
    exploring: sheet.explored == null ? null : { check_runs: sheet.explored.checkRuns },
  };
}

/** Minutes of the longest day; in turns where riders share bikes or parts. */
function longestDay(sheet: PlanSheet, days: readonly PlannedDay[]): number | null {
  if (days.length === 0) return null;
  const inTurns = sharedDay(sheet)?.minutes ?? 0;
  return Math.max(inTurns, ...days.map((day) => day.lastFinish));
}

function isExploring(sheet: PlanSheet): boolean {
  return sheet.explored != null;
}

/** The sheet with as many runs for everybody who has no number of their own. */
function filledWith(sheet: PlanSheet, runs: number | null): PlanSheet {
  const plannedRuns = sheet.settings.plannedRuns ?? runs;
  return { ...sheet, settings: { ...sheet.settings, plannedRuns } };
}

function toldSpread({ settings }: PlanSheet): PlanningSpread | null {
  return settings.spreadS === null ? null : { spreadS: settings.spreadS, df: settings.spreadDf };
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

function swapsIn(order: readonly SetupId[]): number {
  return order.slice(1).filter((setup, i) => setup !== order[i]).length;
}

/** Counted runs of the first rider and the swaps between them, all days; null without a lap time. */
function countedMinutes(sheet: PlanSheet, orders: readonly (readonly SetupId[])[]): number | null {
  const pace = paceOf(sheet);
  if (pace === null) return null;
  if (sheet.explored == null) {
    return orders.reduce((sum, order) => sum + ridingMinutes(sheet, order, pace), 0);
  }
  const runs = (sheet.settings.plannedRuns ?? 0) + sheet.explored.checkRuns;
  return ridingMinutes(
    sheet,
    Array.from({ length: runs }, () => ""),
    pace,
  );
}

/** What the runs that fit in the hours would promise. */
function endThatFits(sheet: PlanSheet, fitting: number | null): EndOfPlan | undefined {
  if (fitting === null || fitting < 1) return undefined;
  const compared = comparedSheet(withRuns(sheet, fitting));
  return promisedUnder(compared, whosePromise(compared));
}
