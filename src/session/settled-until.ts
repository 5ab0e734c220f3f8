// Up to when every box has told all it saw: runs that end later may still be matched otherwise. Called
// for each day by the session.
import { boxUs, type SessionUs, sessionUs } from "../domain/time.ts";
import { boxInstants } from "./box-instant.ts";
import { type Course, isForeign } from "./course.ts";
import { anchorsOn, type BootEvidence, type Fold } from "./evidence.ts";
import { found, itemsOf } from "./growing.ts";

/** The event after the last one that is here without a hole before it; null if none is missing. */
function firstHole(boot: BootEvidence, newestSeq: number): number | null {
  const held = boot.newestHeld?.message;
  const says = held !== undefined && "oldestSeq" in held;
  // What the box held no longer has come or is gone for ever.
  let seq = says ? held.oldestSeq : newestSeq;
  const last = says ? Math.max(newestSeq, held.nextSeq - 1) : newestSeq;
  while (seq <= last) {
    const gone = boot.gone.find((range) => range.fromSeq <= seq && seq <= range.toSeq);
    if (gone !== undefined) seq = gone.toSeq + 1;
    else if (found(boot.events, seq) === undefined) return seq;
    else seq += 1;
  }
  return null;
}

/** Instant of the box's clock up to which it has told all; null if not even that. */
function toldUntilUs(boot: BootEvidence): number | null {
  let newestSeq = 0;
  let latestUs = Number.NEGATIVE_INFINITY;
  for (const { message } of itemsOf(boot.events.list)) {
    newestSeq = Math.max(newestSeq, message.seq);
    latestUs = Math.max(latestUs, message.atUs);
  }
  const hole = firstHole(boot, newestSeq);
  if (hole !== null) return found(boot.events, hole - 1)?.message.atUs ?? null;
  const held = boot.newestHeld?.message;
  if (held !== undefined && "nowUs" in held) latestUs = Math.max(latestUs, held.nowUs);
  if (held === undefined) {
    // A box that never said what it holds: at least it was heard answering.
    for (const { exchanges } of boot.exchanges.values()) {
      for (const { t3Us } of itemsOf(exchanges)) latestUs = Math.max(latestUs, t3Us);
    }
  }
  return Number.isFinite(latestUs) ? latestUs : null;
}

/**
 * Session time up to which every box at a gate of that day has shown a later time, without holes in
 * the numbers of its events before it. What an earlier boot of a box did not send is lost.
 *
 * @param course - that day's
 * @returns infinite if no box at a gate was heard
 */
export function settledUntil(fold: Fold, day: number, course: Course): SessionUs {
  const anchorsUs = anchorsOn(fold, day);
  let until = Number.POSITIVE_INFINITY;
  for (const box of fold.boxes.values()) {
    if (box.day !== day || !course.gates.some((gate) => gate.box === box.box)) continue;
    // It says nothing between passings: what it saw is what it said.
    if (isForeign(course, box.box)) continue;
    const boot = box.boots.get(box.current);
    const us = boot === undefined ? null : toldUntilUs(boot);
    const at =
      boot === undefined || us === null
        ? undefined
        : boxInstants(boot, boxUs(us), "", anchorsUs)[0]?.at;
    until = Math.min(until, at ?? Number.NEGATIVE_INFINITY);
  }
  return sessionUs(until);
}
