// The fold of the journal: entries in, state out. Called by everything that follows a session file:
// recorder, console, board, verify. Adding one entry costs the same however long the journal is.
import { boxUs, hostUs, sessionUs } from "../domain/time.ts";
import type { Entry } from "../journal/entry.ts";
import { dayAbout, isAfterTheDays } from "./day-about.ts";
import { deriveSession } from "./derive-session.ts";
import { type EntryOf, entryIs } from "./entry-is.ts";
import {
  type Arrival,
  anchorsOn,
  type Fold,
  nothingFolded,
  type PortEvidence,
} from "./evidence.ts";
import { grown, nothingYet } from "./growing.ts";
import { anomaly, hearExchange, hearLine } from "./hear-line.ts";
import type { Session } from "./session.ts";

export type { Fold } from "./evidence.ts";

/** Before the first entry. */
export function emptyFold(): Fold {
  return nothingFolded;
}

/**
 * Takes in further entries, in order of their seq. Pure: the fold given stays what it was. Total:
 * what makes no sense in its place becomes one of the session's anomalies.
 *
 * @param entries - as the store holds them; any cut of the journal gives the same fold
 */
export function extendFold(fold: Fold, entries: readonly Entry[]): Fold {
  return entries.reduce(extended, fold);
}

const sessions = new WeakMap<Fold, Session>();

/** The session as it stands; worked out once a fold. */
export function sessionOf(fold: Fold): Session {
  const known = sessions.get(fold);
  if (known !== undefined) return known;
  const session = deriveSession(fold);
  sessions.set(fold, session);
  return session;
}

/** Entries that are evidence; every other one is a decision. */
const FROM_OUTSIDE = [
  "line-received",
  "clock-exchanged",
  "port-opened",
  "port-lost",
  "recorder-started",
  "recorder-stopped",
] as const;

function extended(before: Fold, entry: Entry): Fold {
  if (entry.seq <= before.lastSeq) {
    return anomaly(before, `entry ${String(entry.seq)} came after ${String(before.lastSeq)}`);
  }
  if (entry.type === "session-merged") return nextDay(before, entry);
  const anchors = anchorsOn(before, before.day);
  const anchor = anchors.get(entry.host) ?? entry.atUs - entry.monoUs;
  const anchorsUs = anchors.has(entry.host)
    ? before.anchorsUs
    : new Map(before.anchorsUs).set(before.day, new Map(anchors).set(entry.host, anchor));
  const at = sessionUs(entry.monoUs + anchor);
  const now = before.now === null || at > before.now ? at : before.now;
  const fold: Fold = { ...before, lastSeq: entry.seq, now, anchorsUs };
  if (!entryIs(entry, FROM_OUTSIDE)) {
    const day = dayAbout(fold, entry);
    const isAfterMerge = isAfterTheDays(fold, entry.seq);
    const decisions = grown(fold.decisions, { entry, at, day, isAfterMerge });
    const decided = { ...fold, decisions };
    return entry.type === "session-made" ? began(decided, at) : decided;
  }
  const { seq, host, monoUs } = entry;
  const arrival = (port: string): Arrival => ({
    entrySeq: seq,
    host,
    port,
    monoUs,
    at,
    day: fold.day,
  });
  switch (entry.type) {
    case "line-received":
      return hearLine(fold, entry.body.raw, entry.body.fault, arrival(entry.body.port));
    case "clock-exchanged": {
      const { t1Us, t2Us, t3Us, t4Us, ...of } = entry.body;
      const instants = {
        t1Us: hostUs(t1Us),
        t2Us: boxUs(t2Us),
        t3Us: boxUs(t3Us),
        t4Us: hostUs(t4Us),
      };
      return hearExchange(fold, { ...of, ...instants }, arrival(of.port));
    }
    case "port-opened":
      return withPort(fold, { port: entry.body.port, isOpen: true, since: at, reason: null });
    case "port-lost": {
      const { port, reason } = entry.body;
      return withPort(fold, { port, isOpen: false, since: at, reason });
    }
    case "recorder-started": {
      const { ports } = entry.body;
      const kept = [...fold.ports].filter(([port]) => ports.includes(port));
      return began({ ...fold, ports: new Map(kept) }, at);
    }
    case "recorder-stopped":
      return [...fold.ports.values()].reduce(
        (all, port) =>
          port.isOpen
            ? withPort(all, { ...port, isOpen: false, since: at, reason: "the recorder stopped" })
            : all,
        fold,
      );
  }
}

/** What follows is another day's own session, with a laptop, boxes and ports of its own. */
function nextDay(before: Fold, { seq, body }: EntryOf<"session-merged">): Fold {
  const fold = { ...before, lastSeq: seq };
  if (body.day !== fold.day + 1) {
    const days = `day ${String(body.day)} after day ${String(fold.day)}`;
    return anomaly(fold, `entry ${String(seq)} begins ${days}: not counted`);
  }
  const mark = { seq, entries: body.entries, dayBeforeEndedAt: fold.now };
  return {
    ...fold,
    now: null,
    day: body.day,
    dayMarks: [...fold.dayMarks, mark],
    ports: new Map(),
    received: nothingYet(),
  };
}

/** The earlier of made and recorded: a laptop's clock may have been set back in between. */
function began(fold: Fold, at: Fold["now"]): Fold {
  const before = fold.beganAt.get(fold.day);
  if (at === null || (before !== undefined && before <= at)) return fold;
  return { ...fold, beganAt: new Map(fold.beganAt).set(fold.day, at) };
}

function withPort(fold: Fold, port: PortEvidence): Fold {
  return { ...fold, ports: new Map(fold.ports).set(port.port, port) };
}
