// One detection at a gate, on common session time, and what the matching made of it.
import type { BoxId, RiderId } from "./session.ts";
import type { SessionUs } from "./time.ts";

export type PassingSource = "beam" | "transponder" | "button" | "hand" | "import";

/**
 * What a passing came to. `matched`: part of a run. `false-start`: the rider came back and started
 * again. `double`: second trip of the same passing, the first counts. `not-a-bike`: by its shape, until
 * promoted. `rejected`: struck out by the operator. `orphan`: a finish or split without a start.
 * `old`: from before this session. `unknown-time`: the box's clock cannot be told.
 */
export type PassingState =
  | "matched"
  | "false-start"
  | "double"
  | "not-a-bike"
  | "rejected"
  | "orphan"
  | "old"
  | "unknown-time";

export interface Passing {
  /** `box:boot:seq` (boot 4 hex digits) or `hand:<entry seq>`; never changes. */
  readonly passingId: string;
  /** Seq of the journal entry that brought it. */
  readonly entrySeq: number;
  readonly box: BoxId | null;
  readonly boot: number | null;
  readonly boxSeq: number | null;
  /** Index of the gate, 0 the start; null if the box stands at no gate of the sheet. */
  readonly gate: number | null;
  readonly at: SessionUs;
  /** Standard uncertainty of `at`, s. */
  readonly uncertaintyS: number;
  readonly source: PassingSource;
  readonly tag: string | null;
  /** Rider named by the operator or by the tag. */
  readonly rider: RiderId | null;
  /** How long and how often the beam was broken, once the clear line came: s, count. */
  readonly blockedS: number | null;
  readonly pulses: number | null;
  readonly runId: string | null;
  readonly state: PassingState;
  readonly isProvisional: boolean;
}
