// Things that people note through the day: swaps, incidents, ratings, measures, notes.
import type { RiderId, SetupId } from "./session.ts";
import type { SessionUs } from "./time.ts";

export interface Swap {
  readonly entrySeq: number;
  readonly at: SessionUs;
  readonly rider: RiderId;
  readonly fromSetup: SetupId | null;
  readonly toSetup: SetupId;
  readonly minutes: number | null;
  readonly isChecked: boolean;
}

export interface Incident {
  readonly entrySeq: number;
  readonly runId: string | null;
  readonly sector: number | null;
  readonly kind: string;
  readonly note: string | null;
}

export interface Rating {
  readonly runId: string;
  readonly aspect: string;
  readonly score: number;
}

export interface Measure {
  readonly at: SessionUs;
  readonly runId: string | null;
  readonly rider: RiderId | null;
  readonly setup: SetupId | null;
  readonly key: string;
  readonly value: string | number;
  readonly unit: string | null;
}

/** A note, a mark of the conditions, or a gate moved: whatever is words with a time. */
export interface Note {
  readonly entrySeq: number;
  readonly at: SessionUs;
  readonly runId: string | null;
  readonly kind: "note" | "conditions" | "gate-moved";
  readonly text: string;
}

/** An entry that can be taken back (or, if taken back, brought in again). */
export interface Undoable {
  readonly seq: number;
  /** In words: `void run 812`. */
  readonly label: string;
}
