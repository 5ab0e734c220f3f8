// Runs whose time or match is not what it was: a late start came in, or a clock is known better. Called
// by screens with the summary shown before and the one shown now.
import type { Run } from "../domain/run.ts";

/** chosen: half of the last digit that a board shows; a smaller change is not seen. */
const SEEN_S = 0.0005;

export interface RunChange {
  readonly runId: string;
  /** `rematched`: other passings, another rider, or finished no more. `retimed`: the same run, timed better. */
  readonly kind: "rematched" | "retimed";
  /** New minus old time, s; null where either has none. */
  readonly byS: number | null;
}

/** Passings of the run moved by more than its clocks can explain. */
function isMoved(before: Run, now: Run): boolean {
  const doubtS = 4 * Math.hypot(before.uncertaintyS ?? 0, now.uncertaintyS ?? 0);
  const moved = (a: number | null, b: number | null): boolean =>
    a !== null && b !== null && Math.abs(a - b) / 1e6 > Math.max(doubtS, SEEN_S);
  return moved(before.finishedAt, now.finishedAt) || moved(before.startedAt, now.startedAt);
}

/**
 * What changed in runs that had a time before; new runs, and runs that finish, are no change. Marks
 * (void, warm-up) are a person's and not told here.
 */
export function changedRuns(before: readonly Run[], now: readonly Run[]): readonly RunChange[] {
  const byId = new Map(now.map((run) => [run.runId, run]));
  return before.flatMap((old): readonly RunChange[] => {
    if (old.timeS === null || old.timedBy === "import") return [];
    const run = byId.get(old.runId);
    if (run?.status === "dnf") return [];
    const byS = run?.timeS === null || run === undefined ? null : run.timeS - old.timeS;
    if (run === undefined || byS === null || run.rider !== old.rider || isMoved(old, run)) {
      return [{ runId: old.runId, kind: "rematched", byS }];
    }
    return Math.abs(byS) >= SEEN_S ? [{ runId: old.runId, kind: "retimed", byS }] : [];
  });
}
