// One timed ride of the stretch, as the fold of the journal sees it now.
import type { RiderId, SetupId } from "./session.ts";
import type { SessionUs } from "./time.ts";

export type RunStatus = "ok" | "void" | "dnf" | "unsure" | "warm-up" | "on-course";
export type TimedBy = "beam" | "transponder" | "hand" | "import";

export interface Run {
  /** Text of the seq of the entry that opened it (`812`; `812.3` for an imported row); never changes. */
  readonly runId: string;
  readonly rider: RiderId;
  /** The set-up active at its start, unless corrected. */
  readonly setup: SetupId;
  /** Day of a merged session, from 0; k starts again each day. */
  readonly day: number;
  /** 1, 2, ... from the first run that is not a warm-up, whatever the status; null before that. */
  readonly k: number | null;
  /** Steps of the ground that were marked that day before its start; 0: none. */
  readonly ground: number;
  readonly status: RunStatus;
  readonly startedAt: SessionUs | null;
  readonly finishedAt: SessionUs | null;
  /** Run time, s; null while on course and for DNF. */
  readonly timeS: number | null;
  /** Standard uncertainty of the run time, s. */
  readonly uncertaintyS: number | null;
  /** One entry a sector in riding order, s; null where a split is missing. */
  readonly sectorS: readonly (number | null)[];
  /** 1-based numbers of sectors struck out. */
  readonly voidSectors: readonly number[];
  /** Index of the last gate passed; 0 is the start. */
  readonly lastGate: number;
  readonly reason: string | null;
  /** The operator said that it counts though it did so already: looked at, not to be asked again. */
  readonly isMarkedOk: boolean;
  readonly timedBy: TimedBy;
  /** True while a better time may still come (box not settled, link out). */
  readonly provisional: boolean;
  /** Plain words: "box restarted during run", "two starts possible", ... */
  readonly flags: readonly string[];
  readonly note: string | null;
}
