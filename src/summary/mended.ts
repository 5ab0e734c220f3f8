// How many runs a person has mended, for whoever reads the answer: a remark of its own; called by the
// summary, because only it knows the passings.
import type { Remark } from "../domain/remark.ts";
import type { Session } from "../session/session.ts";
import { touchedByHand } from "../session/touched-by-hand.ts";

const NAMED = 6;

/** One remark, or none where nothing was mended. */
export function mendedRemarks(session: Session): readonly Remark[] {
  const ids = new Set(touchedByHand(session));
  const runs = session.runs.filter((run) => ids.has(run.runId));
  if (runs.length === 0) return [];
  const several = session.riders.length > 1;
  const names = runs.map((run) => {
    const name = run.k === null ? "a warm-up" : String(run.k);
    return several ? `${name} of ${run.rider}` : name;
  });
  const more = names.length > NAMED ? ` and ${String(names.length - NAMED)} more` : "";
  const count = runs.length === 1 ? "1 run was" : `${String(runs.length)} runs were`;
  return [
    {
      level: "note",
      kind: "mended-by-hand",
      rider: null,
      setup: null,
      run: null,
      text: `${count} mended by hand: ${names.slice(0, NAMED).join(", ")}${more}`,
    },
  ];
}
