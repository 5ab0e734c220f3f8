// A session that explores settings as its plan sees it: values tried round the present ones, then the
// value found against them, back to back; called by plan-day.ts and plan-hours.ts.
import { baselineOf, type SetupId } from "../domain/session.ts";
import type { PlanSheet } from "./plan-figures.ts";

/** Stands for the set-up that exploring will find; no id that a sheet could hold. */
const FOUND = "values found";

/** The set-ups of the closing check. */
export function presentAndFound(sheet: PlanSheet): readonly [present: SetupId, found: SetupId] {
  return [baselineOf(sheet.setups).id, FOUND];
}

/** The sheet with the present values alone, whatever has been tried since; any other as it is. */
export function presentAlone(sheet: PlanSheet): PlanSheet {
  if (sheet.explored == null) return sheet;
  return { ...sheet, setups: [baselineOf(sheet.setups)] };
}

/** The closing check as a comparison of its own; the sheet itself where nothing is explored. */
export function comparedSheet(sheet: PlanSheet): PlanSheet {
  if (sheet.explored == null) return sheet;
  const present = baselineOf(sheet.setups);
  const plannedRuns = sheet.explored.checkRuns;
  return {
    ...sheet,
    explored: null,
    riders: sheet.riders.map((rider) => ({ ...rider, setups: null, plannedRuns: null, newTo: [] })),
    setups: [present, { ...present, id: FOUND, baseline: false }],
    settings: { ...sheet.settings, plannedRuns, bands: "plan", days: 1, mainSetup: null },
  };
}
