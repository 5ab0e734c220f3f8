// What people noted through the day, as plain lists for the summary.
import type { Incident, Measure, Note, Rating } from "../domain/happening.ts";
import { entryIs } from "./entry-is.ts";
import type { Decision } from "./evidence.ts";

/** Everything noted, in order of seq. */
export interface Happenings {
  readonly incidents: readonly Incident[];
  readonly ratings: readonly Rating[];
  readonly measures: readonly Measure[];
  readonly notes: readonly Note[];
}

const NOTED = [
  "incident-noted",
  "rating-given",
  "measure-taken",
  "note-added",
  "condition-marked",
  "gate-moved",
] as const;

/** Gathers what was noted; of two ratings of one run in one aspect the later counts. */
export function happeningsOf(holding: readonly Decision[]): Happenings {
  const incidents: Incident[] = [];
  const ratings = new Map<string, Rating>();
  const measures: Measure[] = [];
  const notes: Note[] = [];
  for (const { entry, at } of holding) {
    if (!entryIs(entry, NOTED)) continue;
    const entrySeq = entry.seq;
    switch (entry.type) {
      case "incident-noted": {
        const { run, sector, kind, note } = entry.body;
        incidents.push({ entrySeq, runId: run, sector, kind, note });
        break;
      }
      case "rating-given": {
        const { run, aspect, score } = entry.body;
        ratings.set(`${run} ${aspect}`, { runId: run, aspect, score });
        break;
      }
      case "measure-taken": {
        const { run, ...measure } = entry.body;
        measures.push({ at, runId: run, ...measure });
        break;
      }
      case "note-added":
        notes.push({ entrySeq, at, runId: entry.body.run, kind: "note", text: entry.body.note });
        break;
      case "condition-marked":
        notes.push({ entrySeq, at, runId: null, kind: "conditions", text: entry.body.note });
        break;
      case "gate-moved":
        notes.push({ entrySeq, at, runId: null, kind: "gate-moved", text: entry.body.note });
        break;
    }
  }
  return { incidents, ratings: [...ratings.values()], measures, notes };
}

const ABOUT_RUNS = [
  "run-marked",
  "setup-corrected",
  "rider-corrected",
  "run-split",
  "rating-given",
  "incident-noted",
  "note-added",
  "passing-assigned",
] as const;

/** Decisions about runs that are not there, in words. */
export function strayRuns(
  holding: readonly Decision[],
  known: ReadonlySet<string>,
): readonly string[] {
  return holding.flatMap(({ entry }) => {
    if (!entryIs(entry, ABOUT_RUNS) || entry.body.run === null || known.has(entry.body.run))
      return [];
    return [`entry ${String(entry.seq)} is about run ${entry.body.run}, which isn't there`];
  });
}
