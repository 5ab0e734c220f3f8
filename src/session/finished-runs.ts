// Runs as everybody sees them: with set-up, status, k and ground. Last step of the session's runs.
import type { Run } from "../domain/run.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { type Course, hasSetup } from "./course.ts";
import type { Decision } from "./evidence.ts";
import { groundOf, stepMarks } from "./ground.ts";
import { mountedAt, type SwapBook } from "./mounted.ts";
import type { RawRun } from "./raw-run.ts";
import { isWarmUp, type MarkBook, marksUpTo, statusOf } from "./run-marks.ts";

/** What people wrote and corrected, by run id. */
interface Corrections {
  readonly setups: ReadonlyMap<string, SetupId>;
  readonly notes: ReadonlyMap<string, string>;
}

function correctionsOf(
  holding: readonly Decision[],
  course: Course,
  note: (text: string) => void,
): Corrections {
  const setups = new Map<string, SetupId>();
  const notes = new Map<string, string>();
  for (const { entry } of holding) {
    if (entry.type === "setup-corrected") {
      const { run, setup } = entry.body;
      if (hasSetup(course, setup)) setups.set(run, setup);
      else note(`entry ${String(entry.seq)}: set-up ${setup} isn't there`);
    } else if (entry.type === "note-added" && entry.body.run !== null) {
      const before = notes.get(entry.body.run);
      notes.set(
        entry.body.run,
        before === undefined ? entry.body.note : `${before}; ${entry.body.note}`,
      );
    }
  }
  return { setups, notes };
}

/** Order of runs: days, then starts; rows of one import as they stand. */
export function byOrder(a: RawRun, b: RawRun): number {
  return a.day - b.day || a.order - b.order || a.openedBy - b.openedBy || a.row - b.row;
}

/**
 * Gives every run its set-up, status, k and ground. k = 1 is a rider's first run of a day that is not a
 * warm-up; every run after it takes the next.
 *
 * @param raw - in the order of runs
 */
export function finishedRuns(
  raw: readonly RawRun[],
  marks: MarkBook,
  swaps: SwapBook,
  course: Course,
  holding: readonly Decision[],
  note: (text: string) => void,
): readonly Run[] {
  const { setups, notes } = correctionsOf(holding, course, note);
  const steps = stepMarks(holding);
  const newestK = new Map<string, number>();
  return raw.map((run) => {
    const marked = marksUpTo(marks, run.runId, Number.POSITIVE_INFINITY);
    const status = statusOf(run, marked);
    const k = nextK(newestK, run.day, run.rider, isWarmUp(run, marked));
    return {
      runId: run.runId,
      rider: run.rider,
      setup:
        setups.get(run.runId) ?? run.setup ?? mountedAt(swaps, run.day, run.rider, run.startedAt),
      day: run.day,
      k,
      ground: groundOf(run, steps),
      status,
      startedAt: run.startedAt,
      finishedAt: run.finishedAt,
      timeS: status === "dnf" ? null : run.timeS,
      uncertaintyS: status === "dnf" ? null : run.uncertaintyS,
      sectorS: run.sectorS,
      voidSectors: marked.voidSectors.filter((sector) => sector <= run.sectors),
      lastGate: run.lastGate,
      reason: marked.reason ?? (marked.whole === null ? run.reason : null),
      isMarkedOk: marked.isMarkedOk,
      timedBy: run.timedBy,
      provisional: run.isProvisional,
      flags: setups.has(run.runId) ? [...run.flags, "set-up corrected by hand"] : run.flags,
      note: notes.get(run.runId) ?? null,
    };
  });
}

function nextK(
  newest: Map<string, number>,
  day: number,
  rider: RiderId,
  isWarm: boolean,
): number | null {
  const key = `${String(day)} ${rider}`;
  const before = newest.get(key) ?? 0;
  if (before === 0 && isWarm) return null;
  newest.set(key, before + 1);
  return before + 1;
}
