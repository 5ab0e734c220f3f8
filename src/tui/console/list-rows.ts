// The console's list: runs and loose passings by time, one row each; walked through in SCROLL.
import type { Passing } from "../../domain/passing.ts";
import type { Run } from "../../domain/run.ts";
import type { Summary } from "../../summary/summary.ts";

export type ListRow =
  | { readonly kind: "run"; readonly key: string; readonly run: Run }
  | { readonly kind: "passing"; readonly key: string; readonly passing: Passing };

const known = new WeakMap<Summary, readonly ListRow[]>();

/** Oldest first. The same array for the same summary. */
export function listRows(summary: Summary): readonly ListRow[] {
  const before = known.get(summary);
  if (before !== undefined) return before;
  const loose: ListRow[] = [...summary.loosePassings]
    .sort((a, b) => a.at - b.at)
    .map((passing) => ({ kind: "passing", key: `passing ${passing.passingId}`, passing }));
  const rows: ListRow[] = [];
  for (const run of summary.runs) {
    // Imported runs without a time of day stay where the file has them.
    const { startedAt } = run;
    while (startedAt !== null && loose[0]?.kind === "passing" && loose[0].passing.at < startedAt) {
      rows.push(loose[0]);
      loose.shift();
    }
    rows.push({ kind: "run", key: `run ${run.runId}`, run });
  }
  rows.push(...loose);
  known.set(summary, rows);
  return rows;
}

/** Index of the row with that key; null if it is gone or there is none. */
export function rowIndex(rows: readonly ListRow[], key: string | null): number | null {
  if (key === null) return null;
  const found = rows.findIndex((row) => row.key === key);
  return found < 0 ? null : found;
}
