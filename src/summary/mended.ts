// What only the passings and the operator tell of the runs, for whoever reads the answer: how many a
// person has mended, on how many nobody made sure of the set-up. Called by the summary.
import type { Remark } from "../domain/remark.ts";
import type { Session } from "../session/session.ts";
import { touchedByHand } from "../session/touched-by-hand.ts";
import { unconfirmedWords } from "./tags-on-parts.ts";

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

/** Where parts carry transponders: runs whose set-up neither they nor anybody has told. */
export function unconfirmedRemarks(session: Session): readonly Remark[] {
  const text = unconfirmedWords(session);
  const about = { rider: null, setup: null, run: null } as const;
  return text === null ? [] : [{ ...about, level: "warn", kind: "set-up-not-confirmed", text }];
}
