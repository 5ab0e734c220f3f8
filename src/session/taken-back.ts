// Which decisions hold after every "take back", and what can be taken back next; first step of every
// session.
import type { Undoable } from "../domain/happening.ts";
import {
  BIKE_CHECKED_KEY,
  EXPECTED_KEY,
  HEAD_KNOCK_KEY,
  RIDES_ON_KEY,
  SETUP_CONFIRMED_KEY,
} from "../domain/measure-keys.ts";
import { type EntryOf, entryIs } from "./entry-is.ts";
import type { Decision } from "./evidence.ts";

/** Decisions of people that can be taken back; what came from outside and what was fixed can't. */
const UNDOABLE = [
  "plan-end-announced",
  "settings-changed",
  "setup-changed",
  "passing-keyed",
  "setup-swapped",
  "setup-corrected",
  "rider-corrected",
  "run-marked",
  "passing-assigned",
  "passing-rejected",
  "passing-promoted",
  "run-split",
  "runs-joined",
  "incident-noted",
  "rating-given",
  "measure-taken",
  "note-added",
  "condition-marked",
  "gate-moved",
  "course-held",
  "course-opened",
  "times-imported",
  "session-closed",
  "session-reopened",
] as const;

/** An entry that can be taken back. */
type UndoableEntry = EntryOf<(typeof UNDOABLE)[number]>;

function newestUndoable(decisions: readonly Decision[]): UndoableEntry | null {
  for (let i = decisions.length - 1; i >= 0; i -= 1) {
    const entry = decisions[i]?.entry;
    if (entry !== undefined && entryIs(entry, UNDOABLE)) return entry;
  }
  return null;
}

/** What holds, and what the undo and redo keys would do. */
export interface TakenBack {
  /** In order of seq, without those taken back and without the taking back itself. */
  readonly holding: readonly Decision[];
  /** The newest decision that holds and can be taken back. */
  readonly undo: UndoableEntry | null;
  /** The entry to take back so that `decision` holds again; gone once something new was decided. */
  readonly redo: { readonly seq: number; readonly decision: UndoableEntry } | null;
  readonly anomalies: readonly string[];
}

/**
 * Works out what holds. An undo of an undo brings the first decision in again, and so on.
 *
 * @param decisions - every decision so far, in order of seq
 */
export function takenBack(decisions: readonly Decision[]): TakenBack {
  const undos = decisions.flatMap(({ entry }) => (entry.type === "entry-undone" ? [entry] : []));
  if (undos.length === 0) {
    return { holding: decisions, undo: newestUndoable(decisions), redo: null, anomalies: [] };
  }
  const bySeq = new Map(decisions.map((d) => [d.entry.seq, d.entry]));
  const gone = new Set<number>();
  const anomalies: string[] = [];
  const redos: { readonly seq: number; readonly decision: UndoableEntry }[] = [];
  for (const undo of undos.toReversed()) {
    if (gone.has(undo.seq)) continue;
    const target = bySeq.get(undo.body.seq);
    const isEarlier = target !== undefined && target.seq < undo.seq;
    if (isEarlier && target.type === "entry-undone") gone.add(target.seq);
    else if (isEarlier && entryIs(target, UNDOABLE)) {
      gone.add(target.seq);
      redos.push({ seq: undo.seq, decision: target });
    } else {
      const what = `entry ${String(undo.seq)} takes back entry ${String(undo.body.seq)}`;
      anomalies.unshift(`${what}, which can't be`);
    }
  }
  const holding = decisions.filter(
    (d) => d.entry.type !== "entry-undone" && !gone.has(d.entry.seq),
  );
  const undo = newestUndoable(holding);
  const newest = redos[0];
  const isFresh = newest !== undefined && (undo === null || undo.seq < newest.seq);
  return { holding, undo, redo: isFresh ? newest : null, anomalies };
}

/** What things are called in the words of the undo key. */
export interface Names {
  /** `run 5`; a warm-up has no number: `the warm-up` */
  readonly run: (runId: string) => string;
  /** `the finish` */
  readonly gate: (gate: number) => string;
}

/** What the program itself notes, in words; anything read on the day is called by its own name. */
const MEASURE_WORDS: Readonly<Record<string, string>> = {
  [EXPECTED_KEY]: "expectation",
  [RIDES_ON_KEY]: "riding on",
  [BIKE_CHECKED_KEY]: "check of the bike",
  [HEAD_KNOCK_KEY]: "knock to the head",
  [SETUP_CONFIRMED_KEY]: "look at the set-up",
};

/** A decision in words, for the undo key: `void run 5`. */
function labelOf(entry: UndoableEntry, names: Names): string {
  const runName = names.run;
  switch (entry.type) {
    case "run-marked": {
      const { run, mark, sectors } = entry.body;
      if (mark === "warm-up") return "the warm-up mark";
      const where = sectors.length > 0 ? `sector ${sectors.join(", ")} of ` : "";
      const words = { void: "void", ok: "count", dnf: "DNF for" };
      return `${words[mark]} ${where}${runName(run)}`;
    }
    case "setup-swapped":
      return `swap to ${entry.body.setup} for ${entry.body.rider}`;
    case "setup-corrected":
      return `set-up ${entry.body.setup} for ${runName(entry.body.run)}`;
    case "rider-corrected":
      return `rider ${entry.body.rider} for ${runName(entry.body.run)}`;
    case "passing-keyed":
      return `the passing keyed at ${names.gate(entry.body.gate)}`;
    case "passing-assigned":
      return entry.body.passing === null
        ? `next start for ${entry.body.rider ?? "nobody"}`
        : `passing ${entry.body.passing} for ${entry.body.run === null ? (entry.body.rider ?? "nobody") : runName(entry.body.run)}`;
    case "passing-rejected":
      return `passing ${entry.body.passing} struck out`;
    case "passing-promoted":
      return `passing ${entry.body.passing} taken for a bike`;
    case "run-split":
      return `start and finish of ${runName(entry.body.run)} parted`;
    case "runs-joined":
      return `start ${entry.body.start} and finish ${entry.body.finish} joined`;
    case "incident-noted":
      return `${entry.body.kind} noted`;
    case "rating-given":
      return `rating of ${runName(entry.body.run)}`;
    case "measure-taken":
      return `${MEASURE_WORDS[entry.body.key] ?? entry.body.key} noted`;
    case "condition-marked":
      return `${entry.body.isStep ? "change of the ground" : "note"} "${entry.body.note}"`;
    case "note-added":
      return `note "${entry.body.note}"`;
    case "gate-moved":
      return "gate moved";
    case "course-held":
      return "course held";
    case "course-opened":
      return "course opened";
    case "times-imported":
      return `times from ${entry.body.file}`;
    case "settings-changed":
      return entry.body.check == null
        ? "change of settings"
        : `closing check of ${entry.body.check.setup}`;
    case "setup-changed":
      return `change of set-up ${entry.body.setup}`;
    case "plan-end-announced":
      return `end at run ${String(entry.body.endRun)} for ${entry.body.rider}`;
    case "session-closed":
      return "session closed";
    case "session-reopened":
      return "session reopened";
  }
}

/** The undo and redo keys' words. */
export function undoables(
  taken: TakenBack,
  names: Names,
): { readonly undo: Undoable | null; readonly redo: Undoable | null } {
  const { undo, redo } = taken;
  const worded = (entry: UndoableEntry): string => {
    const label = labelOf(entry, names);
    return isReasonOnly(entry, taken.holding) ? `the reason for ${label}` : label;
  };
  return {
    undo: undo === null ? null : { seq: undo.seq, label: worded(undo) },
    redo: redo === null ? null : { seq: redo.seq, label: worded(redo.decision) },
  };
}

/** A void first, its reason after: taking back the second leaves the first. */
function isReasonOnly(entry: UndoableEntry, holding: readonly Decision[]): boolean {
  if (entry.type !== "run-marked" || entry.body.reason === null) return false;
  const { run, mark, sectors } = entry.body;
  const before = holding.findLast((decision) => decision.entry.seq < entry.seq)?.entry;
  return (
    before?.type === "run-marked" &&
    before.body.run === run &&
    before.body.mark === mark &&
    before.body.sectors.join() === sectors.join()
  );
}
