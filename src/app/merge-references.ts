// Entries of a session file on their way into a merged one: what they name there is named by its new
// number. Used by the merge for each entry.
import { assertNever } from "../domain/errors.ts";
import type { Content } from "../journal/content.ts";
import type { Draft, Entry } from "../journal/entry.ts";
import { onDay, toldBy } from "../session/passing-id.ts";

/** Where the entries of one session go. */
export interface Move {
  /** From 0. */
  readonly day: number;
  /** New seq of an entry of that session; undefined if it has none of that seq. */
  readonly seqOf: (seq: number) => number | undefined;
}

/** The entry as it stands in the merged session. */
export function movedEntry(entry: Entry, move: Move): Draft {
  const { atUs, monoUs, host, writer, who } = entry;
  const stamp = { atUs, monoUs, host, writer, who };
  return { ...movedContent(entry, move), ...stamp };
}

/** Every type is listed, so that a new one has to say what it names. */
function movedContent(entry: Entry, move: Move): Content {
  const run = (id: string): string => movedRun(id, move);
  const anyRun = (id: string | null): string | null => (id === null ? null : run(id));
  const passing = (id: string): string => movedPassing(id, move);
  switch (entry.type) {
    case "run-marked": {
      const { type, body } = entry;
      return { type, body: { ...body, run: run(body.run) } };
    }
    case "setup-corrected": {
      const { type, body } = entry;
      return { type, body: { ...body, run: run(body.run) } };
    }
    case "rider-corrected": {
      const { type, body } = entry;
      return { type, body: { ...body, run: run(body.run) } };
    }
    case "run-split": {
      const { type, body } = entry;
      return { type, body: { ...body, run: run(body.run) } };
    }
    case "rating-given": {
      const { type, body } = entry;
      return { type, body: { ...body, run: run(body.run) } };
    }
    case "incident-noted": {
      const { type, body } = entry;
      return { type, body: { ...body, run: anyRun(body.run) } };
    }
    case "measure-taken": {
      const { type, body } = entry;
      return { type, body: { ...body, run: anyRun(body.run) } };
    }
    case "note-added": {
      const { type, body } = entry;
      return { type, body: { ...body, run: anyRun(body.run) } };
    }
    case "passing-assigned": {
      const { type, body } = entry;
      const named = body.passing === null ? null : passing(body.passing);
      return { type, body: { ...body, passing: named, run: anyRun(body.run) } };
    }
    case "passing-rejected": {
      const { type, body } = entry;
      return { type, body: { ...body, passing: passing(body.passing) } };
    }
    case "passing-promoted": {
      const { type, body } = entry;
      return { type, body: { ...body, passing: passing(body.passing) } };
    }
    case "runs-joined": {
      const { type, body } = entry;
      return { type, body: { start: passing(body.start), finish: passing(body.finish) } };
    }
    case "entry-undone": {
      // What was not there to take back is not there in the merged session either: itself never is.
      const seq = move.seqOf(entry.body.seq) ?? move.seqOf(entry.seq) ?? entry.seq;
      return { type: entry.type, body: { seq } };
    }
    case "session-made":
    case "plan-fixed":
    case "plan-end-announced":
    case "settings-changed":
    case "rider-added":
    case "setup-added":
    case "setup-changed":
    case "recorder-started":
    case "recorder-stopped":
    case "port-opened":
    case "port-lost":
    case "line-received":
    case "clock-exchanged":
    case "passing-keyed":
    case "setup-swapped":
    case "condition-marked":
    case "gate-moved":
    case "course-held":
    case "course-opened":
    case "times-imported":
    case "session-merged":
    case "session-closed":
    case "session-reopened":
      return entry;
    default:
      return assertNever(entry);
  }
}

/** `812` or `812.3`: seq of the entry that opened it, row of an import. */
function movedRun(id: string, { seqOf }: Move): string {
  const [, seq, row = ""] = /^(\d+)(\.\d+)?$/.exec(id) ?? [];
  const moved = seq === undefined ? undefined : seqOf(Number(seq));
  return moved === undefined ? lost(id, 24) : `${String(moved)}${row}`;
}

function movedPassing(id: string, { day, seqOf }: Move): string {
  const told = toldBy(id);
  if ("day" in told) return told.day === 0 ? onDay(id, day).slice(0, 40) : lost(id, 40);
  const moved = seqOf(told.keyedSeq);
  return moved === undefined ? lost(id, 40) : `hand:${String(moved)}`;
}

/** Named something that its day never had: it must not find anything among the other days either. */
function lost(id: string, length: number): string {
  return `lost ${id}`.slice(0, length);
}
