// The state of a session: what the fold of its journal gives. Read by summary; made in fold.ts.
import type { PlannedEnd } from "../domain/comparison.ts";
import type { DayHours } from "../domain/day-hours.ts";
import type { BoxHealth, LineFaults, PortHealth } from "../domain/equipment.ts";
import type { Explored, FoundCheck } from "../domain/explored.ts";
import type { ForeignLine } from "../domain/foreign-line.ts";
import type { Gear } from "../domain/gear.ts";
import type { Incident, Measure, Note, Rating, Swap, Undoable } from "../domain/happening.ts";
import type { Passing } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import type {
  Gate,
  Rider,
  RiderId,
  Settings,
  Setup,
  SetupId,
  SwapCost,
} from "../domain/session.ts";

/** What was fixed before run 1. */
export interface FixedPlan {
  readonly setups: readonly SetupId[];
  readonly riders: readonly {
    readonly rider: RiderId;
    readonly plannedRuns: number | null;
    readonly order: readonly SetupId[];
  }[];
  readonly seed: number;
}

export interface Session {
  /** Seq of the newest entry folded in; 0 for none. */
  readonly lastSeq: number;
  /** Null until the entry `session-made` was seen. */
  readonly settings: Settings | null;
  /** What the sheet of each day said, with that day's changes; one in a session of one day. */
  readonly daySheets: readonly Settings[];
  readonly gates: readonly Gate[];
  readonly riders: readonly Rider[];
  readonly setups: readonly Setup[];
  readonly swapCosts: readonly SwapCost[];
  readonly hours: DayHours;
  readonly gear: Gear;
  /** Null: declared set-ups are compared. */
  readonly explored: Explored | null;
  /** Lines of receivers that speak a protocol of their own. */
  readonly lines: readonly ForeignLine[];
  /** The closing check of what was found; null while values are still tried. */
  readonly check: FoundCheck | null;
  readonly plan: FixedPlan | null;
  readonly plannedEnds: readonly PlannedEnd[];
  /** True if the margin was changed after run 1 had started. */
  readonly isMarginChanged: boolean;
  readonly isClosed: boolean;
  /** Steps of the ground marked on the day of the newest run so far: the ground of the next start. */
  readonly ground: number;
  /** Why the course is held; null while it is not. */
  readonly heldBecause: string | null;
  /** By common time. */
  readonly passings: readonly Passing[];
  /** In order of start. */
  readonly runs: readonly Run[];
  readonly swaps: readonly Swap[];
  readonly incidents: readonly Incident[];
  readonly ratings: readonly Rating[];
  readonly measures: readonly Measure[];
  readonly notes: readonly Note[];
  readonly boxes: readonly BoxHealth[];
  readonly ports: readonly PortHealth[];
  readonly faults: LineFaults;
  /** The set-up on each rider's bike now; the first of the plan's order until a swap is logged. */
  readonly mounted: Readonly<Record<RiderId, SetupId>>;
  /** Whose start the next start will be taken for. */
  readonly nextStarter: RiderId | null;
  /** The newest decision that can be taken back; `entry-undone` of its seq does it. */
  readonly undo: Undoable | null;
  /** The newest one taken back; `entry-undone` of this seq, the taking back's own, brings it in again. */
  readonly redo: Undoable | null;
  /** Journal entries that made no sense in their place, in words; newest last, at most 50. */
  readonly anomalies: readonly string[];
  /** atUs - monoUs of the first entry of each host on the newest day: session time = monoUs + anchor. */
  readonly anchorsUs: Readonly<Record<string, number>>;
}
