// Several sessions of one stretch as one: entries in, entries out. Used by `merge`.
import type { Draft, Entry } from "../journal/entry.ts";
import { emptyFold, extendFold, sessionOf } from "../session/fold.ts";
import type { Session } from "../session/session.ts";
import { type Summary, summarise } from "../summary/summary.ts";
import { derivedTables } from "../summary/tables.ts";
import { type DaySession, requireMergeable } from "./merge-checks.ts";
import { movedEntry } from "./merge-references.ts";
import type { JournalStore } from "./needs.ts";

/** A session file as it was read. */
export interface ReadFile {
  /** Its name, for messages. */
  readonly file: string;
  /** All of its journal. */
  readonly entries: readonly Entry[];
}

/** Who merges, and when. */
export type Stamp = Pick<Draft, "atUs" | "monoUs" | "host" | "writer" | "who">;

export interface MergedSessions {
  /** Names of the files, the day that was ridden first in front. */
  readonly files: readonly string[];
  /** The journal of the merged session, seq 1, 2, ... */
  readonly entries: readonly Draft[];
}

/**
 * Puts sessions one after the other, by when they were first ridden. Every entry is kept as it was
 * written, but what it names is named by its new number; a mark stands before each day but the first.
 *
 * @throws {UserError} if they can't be one session, or there are fewer than two
 */
export function mergeSessions(files: readonly ReadFile[], stamp: Stamp): MergedSessions {
  const days = files
    .map(
      (read): DaySession => ({
        ...read,
        session: sessionOf(extendFold(emptyFold(), read.entries)),
      }),
    )
    .toSorted((a, b) => firstRiddenUs(a.session) - firstRiddenUs(b.session));
  requireMergeable(days);
  const merged: Draft[] = [];
  for (const [day, { entries, session }] of days.entries()) {
    if (day > 0) merged.push({ ...dayMark(day, entries, session), ...stamp });
    const before = merged.length;
    const seqs = new Map(entries.map((entry, i) => [entry.seq, before + i + 1]));
    const move = { day, seqOf: (seq: number) => seqs.get(seq) };
    for (const entry of entries) merged.push(movedEntry(entry, move));
  }
  return { files: days.map((day) => day.file), entries: merged };
}

/**
 * Writes a merged session into a new file: all rows and tables in one transaction.
 *
 * @throws {UserError} if it could not be written; then nothing was
 * @throws {RangeError} if there is anything in the file already
 */
export function writeMerged(store: JournalStore, { entries }: MergedSessions): void {
  store.transaction(() => {
    const seqs = store.insert(entries);
    if (seqs.some((seq, i) => seq !== i + 1)) {
      throw new RangeError("writeMerged requires an empty session file");
    }
    store.writeTables(derivedTables(replayed(store)));
  });
}

/** What the journal on the disk comes to, from its first row. */
export function replayed(store: JournalStore): Summary {
  return summarise(sessionOf(extendFold(emptyFold(), store.readSince(0))));
}

function dayMark(day: number, entries: readonly Entry[], { settings }: Session) {
  const { name = "", date = "" } = settings ?? {};
  const host = (entries[0]?.host ?? "").slice(0, 2000);
  return {
    type: "session-merged",
    body: { day, name, date, host, entries: entries.length },
  } as const;
}

/** First start, us; of a day without times of day, noon UTC of its date: that is its date everywhere. */
function firstRiddenUs({ runs, settings }: Session): number {
  const starts = runs.flatMap((run) => run.startedAt ?? []);
  if (starts.length > 0) return Math.min(...starts);
  const noon = Date.parse(`${settings?.date ?? ""}T12:00:00Z`);
  return Number.isNaN(noon) ? 0 : noon * 1000;
}
