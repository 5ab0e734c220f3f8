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

/** An instant on common session time, and how well it is known. */
export interface Instant {
  readonly at: SessionUs;
  /** Run of the laptop's clock that it rests on; null for a time typed by a person. */
  readonly host: string | null;
  /** Standard uncertainty of the clocks, s. */
  readonly uncertaintyS: number;
  /** The two ways to the box may differ by this much at most, s; 0 for a person's. */
  readonly leastTripS: number;
  /** A better time may still come. */
  readonly isProvisional: boolean;
  /** Placed by when its line arrived: its clock cannot be told. */
  readonly isRough: boolean;
}

/**
 * A part of a passing's uncertainty that is not the clocks'. `optics`: the receiver's delay. `meets`:
 * where the tyre meets the beam. `stamp`: the box's own step. `reader`: somewhere within a transponder
 * reader's field. `press`: a person's reaction.
 */
export interface GatePart {
  readonly kind: "optics" | "meets" | "stamp" | "reader" | "press";
  /** Anywhere within plus or minus this alike, s; null where the standard uncertainty itself is known. */
  readonly halfWidthS: number | null;
  /** Standard uncertainty, s. */
  readonly uncertaintyS: number;
}

/** What the time between two passings, and its uncertainty, is worked out from. */
export interface PassingTiming {
  /** The box's own time, us; null for keyed ones. */
  readonly boxUs: number | null;
  /** Which clock that is: the box's in one boot, or that of the receiver that stands for several boxes. */
  readonly clock: string | null;
  /** Where it lies on session time, best first; at least one. */
  readonly instants: readonly [Instant, ...Instant[]];
  readonly gateParts: readonly GatePart[];
}

export interface Passing extends PassingTiming {
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
