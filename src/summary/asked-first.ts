// Which riders are asked how a run was before they see its time, and what must not be shown until
// they have answered; called by console, board and plain sentences.
import { askedAspects } from "../domain/feel.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import type { Summary } from "./summary.ts";

/** After so long the time is shown all the same: nobody stands at the finish waiting for a form. */
const GIVEN_UP_AFTER_US = 60e6;

/** What of the summary decides it. */
export type AskedOf = Pick<Summary, "settings" | "runs" | "ratings" | "isClosed">;

/**
 * Runs that have just finished and whose rider has not rated every aspect yet, oldest first. Only
 * where the sheet names aspects; a run that is struck out, a warm-up or imported is not asked about.
 */
export function awaitingAnswers(summary: AskedOf, now: SessionUs): readonly Run[] {
  const { settings, isClosed } = summary;
  if (settings.aspects.length === 0 || isClosed) return [];
  return summary.runs
    .filter(
      (run) =>
        isAskable(run) &&
        run.finishedAt !== null &&
        run.finishedAt <= now &&
        now - run.finishedAt <= GIVEN_UP_AFTER_US &&
        missingAspects(summary, run.runId).length > 0,
    )
    .sort((a, b) => (a.finishedAt ?? 0) - (b.finishedAt ?? 0));
}

function isAskable({ status, timedBy, timeS }: Run): boolean {
  return (status === "ok" || status === "unsure") && timedBy !== "import" && timeS !== null;
}

/** The run that is asked about now, or null. */
export function askedFirst(summary: AskedOf, now: SessionUs): Run | null {
  return awaitingAnswers(summary, now)[0] ?? null;
}

/** Whether this run's time must not be shown yet. */
export function isTimeHidden(summary: AskedOf, now: SessionUs, runId: string): boolean {
  return awaitingAnswers(summary, now).some((run) => run.runId === runId);
}

/** Riders whose comparison holds a time that must not be shown yet. */
export function ridersAsked(summary: AskedOf, now: SessionUs): ReadonlySet<RiderId> {
  return new Set(awaitingAnswers(summary, now).map((run) => run.rider));
}

/** Aspects that are asked for and not rated yet, in order. */
export function missingAspects(
  { settings, ratings }: Pick<Summary, "settings" | "ratings">,
  runId: string,
): readonly string[] {
  const given = new Set(
    ratings.filter((rating) => rating.runId === runId).map((rating) => rating.aspect),
  );
  return askedAspects(settings).filter((aspect) => !given.has(aspect));
}
