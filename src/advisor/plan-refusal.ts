// Why a plan cannot be promised anything, and what would do; called by plan-day.ts, fix-plan.ts and
// whoever makes a session.
import { UserError } from "../domain/errors.ts";
import type { Rider } from "../domain/session.ts";
import {
  carriesPlanBand,
  comparableSetups,
  countingPlan,
  ownSetups,
  type PlanSheet,
  runsOf,
} from "./plan-figures.ts";

/**
 * Refuses a plan too short for its bands: fewer than five degrees of freedom at its end, of the
 * riders together where there are several.
 *
 * @returns null if the plan will do, has no number of runs, asks for the open band or compares
 *   nothing
 */
export function planRefusal(sheet: PlanSheet): UserError | null {
  const riders = sheet.riders.filter((rider) => ownSetups(sheet, rider).length > 0);
  const runs = riders.map((rider) => runsOf(sheet, rider));
  const planned = runs.filter((own) => own !== null);
  if (sheet.settings.bands === "open" || planned.length < runs.length) return null;
  const setups = comparableSetups(sheet, sheet.riders).size;
  if (setups === 0 || isEnough(sheet)) return null;
  const each = riders.length > 1 ? " of each rider" : "";
  const about = `to promise anything about ${String(setups + 1)} set-ups`;
  return new UserError(
    "refused",
    `${tooFew(riders, planned)} ${about}`,
    `plan at least ${String(smallestRuns(sheet, Math.min(...planned)))} runs${each}, or set bands = "open", which needs no planned end`,
  );
}

function isEnough(sheet: PlanSheet): boolean {
  return carriesPlanBand(countingPlan(sheet), comparableSetups(sheet, sheet.riders));
}

function tooFew(riders: readonly Rider[], planned: readonly number[]): string {
  const [first = 0] = planned;
  const few = `planned_runs = ${String(first)}: too few runs`;
  if (riders.length < 2) return few;
  if (planned.every((own) => own === first)) {
    return `${few} of each of ${String(riders.length)} riders`;
  }
  const each = riders.map(({ id }, i) => `${id} ${String(planned[i] ?? 0)}`).join(", ");
  return `planned_runs of ${each}: too few runs together`;
}

/** Fewest runs above `from`, the same share on every day, that do if no rider rides fewer. */
function smallestRuns(sheet: PlanSheet, from: number): number {
  const { days } = sheet.settings;
  const withAtLeast = (runs: number): PlanSheet => ({
    ...sheet,
    riders: sheet.riders.map((rider) => ({
      ...rider,
      plannedRuns: Math.max(runs, runsOf(sheet, rider) ?? 0),
    })),
  });
  let runs = days * Math.ceil((from + 1) / days);
  // Ends: each run of a rider adds a degree of freedom, and a whole cycle determines every pair.
  while (!isEnough(withAtLeast(runs))) runs += days;
  return runs;
}
