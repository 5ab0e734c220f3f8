// On which ground a run started: how many steps of it had been marked that day; asked for every run by
// finished-runs.ts, and for the next start by derive-session.ts.
import type { Decision } from "./evidence.ts";
import type { RawRun } from "./raw-run.ts";
import { hadStarted } from "./settled-plan.ts";

/**
 * The marks that open a step: conditions marked as one, and every gate that was moved, re-aimed or
 * replaced, because times before and after it have no level in common.
 *
 * A mark holds from the next start on and is never dated back: a place chosen once the times are
 * known would be chosen by them.
 */
export function stepMarks(holding: readonly Decision[]): readonly Decision[] {
  return holding.filter(
    ({ entry }) =>
      entry.type === "gate-moved" || (entry.type === "condition-marked" && entry.body.isStep),
  );
}

/** Steps marked on a run's day before its start; imported rows go by the order of the journal. */
export function groundOf(run: RawRun, marks: readonly Decision[]): number {
  return marks.filter((mark) => mark.day === run.day && !hadStarted(run, mark)).length;
}

/** Steps marked on the day of the newest run so far: the ground of the next start. */
export function groundNow(runs: readonly RawRun[], marks: readonly Decision[]): number {
  const day = runs.at(-1)?.day ?? 0;
  return marks.filter((mark) => mark.day === day).length;
}
