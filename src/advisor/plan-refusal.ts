// Why a plan cannot be promised anything, and what would do; called by plan-day.ts, fix-plan.ts and
// whoever makes a session.
import { UserError } from "../domain/errors.ts";
import {
  carriesPlanBand,
  orderedSetups,
  ownFigures,
  type PlanSheet,
  stackFigures,
} from "./plan-figures.ts";

/**
 * Refuses a plan too short for its bands: fewer than five degrees of freedom at its end, of the
 * riders together where there are several.
 *
 * @returns null if the plan will do, has no number of runs, asks for the open band or compares
 *   nothing
 */
export function planRefusal(sheet: PlanSheet): UserError | null {
  const { plannedRuns, bands } = sheet.settings;
  if (plannedRuns === null || bands === "open" || sheet.setups.length < 2) return null;
  if (carriesPlanBand(sheet, figuresFor(sheet, plannedRuns))) return null;
  const smallest = smallestRuns(sheet, plannedRuns);
  const setups = orderedSetups(sheet).length;
  const who = sheet.riders.length > 1 ? ` of each of ${String(sheet.riders.length)} riders` : "";
  return new UserError(
    "refused",
    `planned_runs = ${String(plannedRuns)}: too few runs${who} to promise anything about ${String(setups)} set-ups`,
    `plan at least ${String(smallest)} runs, or set bands = "open", which needs no planned end`,
  );
}

/** Fewest runs of a rider, above `from`, for which the sheet's plan is not refused. */
function smallestRuns(sheet: PlanSheet, from: number): number {
  let runs = from + 1;
  // Ends: each run of a rider adds a degree of freedom, and a whole cycle determines every pair.
  while (!carriesPlanBand(sheet, figuresFor(sheet, runs))) runs += 1;
  return runs;
}

function figuresFor(sheet: PlanSheet, runs: number): ReturnType<typeof ownFigures> {
  return sheet.riders.length > 1 ? stackFigures(sheet, runs) : ownFigures(sheet, runs);
}
