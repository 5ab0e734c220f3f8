// What was fixed in time and what was announced in time, judged by the journal as it stood at each
// such entry; a later look changes nothing.
import type { PlannedEnd } from "../domain/comparison.ts";
import type { SessionUs } from "../domain/time.ts";
import type { Course } from "./course.ts";
import type { Decision } from "./evidence.ts";
import type { RawRun } from "./raw-run.ts";
import { isWarmUp, type MarkBook, marksUpTo, statusOf } from "./run-marks.ts";
import type { FixedPlan } from "./session.ts";

/** The runs, and what was marked on them when. */
interface RunsSoFar {
  readonly runs: readonly RawRun[];
  readonly marks: MarkBook;
}

/**
 * True if a run had started when an entry was written. Of a merged session, whole days were over
 * before the newest began.
 */
export function hadStarted(run: RawRun, { entry, at, day }: Decision): boolean {
  if (run.day !== day) return run.day < day;
  return run.row > 0 ? run.openedBy < entry.seq : run.order <= at;
}

/** Said by one of the later days of a merged session for itself: the first day's promise holds. */
function isOfLaterDay({ day, isAfterMerge }: Decision): boolean {
  return day > 0 && !isAfterMerge;
}

/** True if a run with k had started when the entry was written. */
function hasRunBefore({ runs, marks }: RunsSoFar, decision: Decision): boolean {
  return runs.some(
    (run) =>
      hadStarted(run, decision) && !isWarmUp(run, marksUpTo(marks, run.runId, decision.entry.seq)),
  );
}

/** True if a run with k had started at an instant, by today's marks. */
export function hasRunAt({ runs, marks }: RunsSoFar, at: SessionUs): boolean {
  return runs.some(
    (run) => run.order <= at && !isWarmUp(run, marksUpTo(marks, run.runId, Infinity)),
  );
}

/** The newest plan that was fixed before run 1. */
export function planOf(
  holding: readonly Decision[],
  so: RunsSoFar,
  note: (text: string) => void,
): FixedPlan | null {
  let plan: FixedPlan | null = null;
  for (const decision of holding) {
    const { entry } = decision;
    if (entry.type !== "plan-fixed" || isOfLaterDay(decision)) continue;
    if (hasRunBefore(so, decision)) {
      note(`entry ${String(entry.seq)} fixes the plan after run 1 had started: it doesn't count`);
      continue;
    }
    const { setups, riders, seed } = entry.body;
    plan = {
      setups,
      riders: riders.map(({ rider, plannedRuns, order }) => ({ rider, plannedRuns, order })),
      seed,
    };
  }
  return plan;
}

/**
 * Earlier ends announced in time: once a rider, and far enough ahead.
 *
 * chosen: at least max(2, ceil(N / 10)) counted runs ahead, never back; see `announceEnd`
 */
export function plannedEnds(
  holding: readonly Decision[],
  course: Course,
  plan: FixedPlan | null,
  { runs, marks }: RunsSoFar,
  note: (text: string) => void,
): readonly PlannedEnd[] {
  const ends: PlannedEnd[] = [];
  for (const decision of holding) {
    const { entry } = decision;
    if (entry.type !== "plan-end-announced" || isOfLaterDay(decision)) continue;
    const { rider, endRun } = entry.body;
    const planned =
      plan?.riders.find((r) => r.rider === rider)?.plannedRuns ??
      course.settings?.plannedRuns ??
      null;
    const announcedAtRun = runs.filter(
      (run) =>
        run.rider === rider &&
        hadStarted(run, decision) &&
        (run.finishedAt === null ||
          run.row > 0 ||
          run.day < decision.day ||
          run.finishedAt <= decision.at) &&
        statusOf(run, marksUpTo(marks, run.runId, entry.seq)) === "ok",
    ).length;
    const notice = planned === null ? 0 : Math.max(2, Math.ceil(planned / 10));
    const why =
      planned === null
        ? "there is no plan"
        : ends.some((end) => end.rider === rider)
          ? "an end was announced before"
          : endRun >= planned
            ? `the plan ends at run ${String(planned)}`
            : endRun - announcedAtRun < notice
              ? `${String(announcedAtRun)} runs counted by then and ${String(notice)} are the least notice`
              : null;
    if (why === null) ends.push({ rider, endRun, announcedAtRun });
    else note(`entry ${String(entry.seq)}: end at run ${String(endRun)} doesn't count: ${why}`);
  }
  return ends;
}
