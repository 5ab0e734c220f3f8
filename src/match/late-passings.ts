// Passings that came late, and which runs were matched otherwise before they came; called by the session
// for each day that has any.
import type { Detection, MatchedRun, MatchResult } from "./detection.ts";

/** chosen: a radio that is slow is not late, a link that was out is; tests: "a late arrival". */
const LATE_US = 10_000_000;

/**
 * Passings of boxes that came in after another one more than 10 s younger: in order of the journal, so
 * that a replay finds the same. What was keyed afterwards is a person's decision, and never late.
 */
export function latePassings(detections: readonly Detection[]): ReadonlySet<string> {
  const late = new Set<string>();
  let newest = Number.NEGATIVE_INFINITY;
  for (const { at, source, passingId } of detections.toSorted((a, b) => a.entrySeq - b.entrySeq)) {
    if (source === "hand" || source === "import") continue;
    if (at < newest - LATE_US) late.add(passingId);
    newest = Math.max(newest, at);
  }
  return late;
}

function isChanged(run: MatchedRun, late: ReadonlySet<string>, then?: MatchedRun): boolean {
  if (then !== undefined && then.rider !== run.rider) return true;
  return run.passingIds.some((id, gate) => {
    const had = then?.passingIds[gate] ?? null;
    // In time and not its own then: it came to something else. Its own then and not now: taken away.
    return id !== had && (had !== null || (id !== null && !late.has(id)));
  });
}

/**
 * The runs that what came late has changed: a passing that was here in time was in another run or in
 * none, or the rider was held to be another. A run that only got its late finish is not among them.
 *
 * @param after - the match of all passings
 * @param before - the match without the late ones
 * @returns start passings of the changed runs
 */
export function changedRuns(
  after: MatchResult,
  before: MatchResult,
  late: ReadonlySet<string>,
): ReadonlySet<string> {
  const then = new Map(before.runs.map((run) => [run.startId, run]));
  const changed = after.runs.filter((run) => isChanged(run, late, then.get(run.startId)));
  return new Set(changed.map((run) => run.startId));
}
