// What went wrong on which run, from what was noted and from why runs were struck out; called by the
// remarks on mistakes.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Run } from "../../domain/run.ts";
import { voidCause } from "../../domain/void-reason.ts";

/** Noted without being anything that the set-up could have done. */
const HELD_UP = "held-up";

/** Kinds of what went wrong on each run, each kind once, by run id; runs without any are not here. */
type Mishaps = ReadonlyMap<string, ReadonlySet<string>>;

/** Everything that was noted on a run, and a crash, puncture or mechanical that struck it out. */
function noted(input: ComparisonInput): Mishaps {
  const kinds = new Map<string, Set<string>>();
  const add = (runId: string, kind: string): void => {
    kinds.set(runId, (kinds.get(runId) ?? new Set()).add(kind));
  };
  for (const { runId, kind } of input.incidents) if (runId !== null) add(runId, kind);
  for (const run of input.runs) {
    if (run.status !== "void" && run.status !== "dnf") continue;
    const cause = voidCause(run.reason);
    if (cause !== "other" && cause !== "timing-fault") add(run.runId, cause);
  }
  return kinds;
}

/** What went wrong that may be the set-up's doing: mistakes, dabs, near misses, crashes, punctures ... */
export function mishapsOf(input: ComparisonInput): Mishaps {
  const own = new Map<string, ReadonlySet<string>>();
  for (const [runId, kinds] of noted(input)) {
    const rest = new Set([...kinds].filter((kind) => kind !== HELD_UP));
    if (rest.size > 0) own.set(runId, rest);
  }
  return own;
}

/** Runs held up by another rider. */
export function heldUpRuns(input: ComparisonInput): ReadonlySet<string> {
  return new Set([...noted(input)].flatMap(([runId, kinds]) => (kinds.has(HELD_UP) ? runId : [])));
}

/**
 * Runs on which something could have gone wrong: all but warm-ups and the ones still on course,
 * counted or not.
 */
export function riddenRuns(input: ComparisonInput): readonly Run[] {
  return input.runs.filter(
    ({ k, status }) => k !== null && status !== "warm-up" && status !== "on-course",
  );
}
