// What else is known of the runs of a day, beside their times: speeds at the start, parts read there,
// stretches of the day between marks. Worked out by the summary from the passings and notes; read by
// the remarks.
import type { Run } from "./run.ts";
import type { SetupId } from "./session.ts";

/** Speed through the start gate. */
export interface EntrySpeed {
  readonly runId: Run["runId"];
  readonly speedMS: number;
}

/** The transponder of a part was read as a run started. */
export interface PartRead {
  readonly runId: Run["runId"];
  readonly part: string;
  /** Set-ups that it is part of. */
  readonly setups: readonly SetupId[];
}

/** Runs between two marks of the conditions or of a gate, on one day. */
export interface DayBlock {
  /** From 0. */
  readonly day: number;
  /** The mark that opened it; null: it began with the day. */
  readonly opened: {
    readonly kind: "conditions" | "gate-moved";
    /** As the operator typed it: whoever shows it makes it safe. */
    readonly text: string;
  } | null;
  readonly runs: readonly Run["runId"][];
}

export interface DayFacts {
  readonly entries: readonly EntrySpeed[];
  readonly partReads: readonly PartRead[];
  /** In order of time; empty where nothing was marked. */
  readonly blocks: readonly DayBlock[];
}
