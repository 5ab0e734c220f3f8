// Why nobody on course may not be all of the truth: a start that would go unnoticed, or one that was
// seen and not counted. Called by alerts.ts for the heading, by the console for its list.
import type { Passing } from "../domain/passing.ts";
import type { SessionUs } from "../domain/time.ts";
import { isPunctual } from "./gate-health.ts";
import type { Summary } from "./summary.ts";

/** False while a start could go unnoticed: its gate has a box and a line of the box is overdue. */
export function isStartHeard({ gates, boxes }: Summary, now: SessionUs): boolean {
  const id = gates[0]?.box ?? null;
  if (id === null) return true;
  return isPunctual(
    boxes.find((each) => each.box === id),
    now,
  );
}

/**
 * In capitals, for the heading; null if nobody on course means that the course is clear.
 *
 * @param clock - an instant as a clock time in the session's zone
 * @see FIELD: a course is clear only if a start would have been noticed
 */
export function courseDoubt(
  summary: Summary,
  now: SessionUs,
  clock: (at: SessionUs) => string,
): string | null {
  const id = summary.gates[0]?.box ?? null;
  const box = summary.boxes.find((each) => each.box === id);
  if (id !== null) {
    const heardAt = box?.lastHeardAt ?? null;
    const isCut = summary.ports.some((port) => !port.isOpen && port.since >= (heardAt ?? 0));
    if (isCut || !isStartHeard(summary, now)) {
      return `START NOT HEARD ${heardAt === null ? "YET" : `SINCE ${clock(heardAt)}`}`;
    }
    if (box?.isBlocked === true) return "START BEAM BLOCKED";
    if (box?.isDisputed === true) return "STARTS DO NOT COUNT";
  }
  const undecided = summary.loosePassings.findLast(
    (passing) => passing.gate === 0 && mayBeOut(summary, passing, now),
  );
  return undecided === undefined ? null : `START ${clock(undecided.at)} UNDECIDED`;
}

/** A start that made no run: its rider, if it was one, can still be out there. */
function mayBeOut({ settings, riders, runs }: Summary, { at }: Passing, now: SessionUs): boolean {
  if (now - at > settings.travelMaxS * 1e6) return false;
  // The only rider there is has started again since.
  return riders.length > 1 || !runs.some((run) => run.startedAt !== null && run.startedAt > at);
}
