// What the matcher is given and what it gives back, as plain data; made and read by the session.
import type { PassingSource, PassingState } from "../domain/passing.ts";
import type { RiderId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";

/** A rider's name put to something by a person, and when. */
export interface NamedAt {
  readonly rider: RiderId;
  readonly at: SessionUs;
}

/** One passing as the matcher needs it. */
export interface Detection {
  readonly passingId: string;
  /** Seq of the journal entry that brought it. */
  readonly entrySeq: number;
  /** Gates that it may be at: one, or start and finish where they share a box. */
  readonly gates: readonly number[];
  readonly at: SessionUs;
  readonly source: PassingSource;
  /** By the transponder, or by the key that the operator pressed for that rider. */
  readonly taggedRider: RiderId | null;
  /** Transponder of no rider and no part on the sheet; null for any other passing. */
  readonly unknownTag: string | null;
  /** Put there afterwards by the operator; wins over the transponder. */
  readonly assigned: NamedAt | null;
  /** Judged "not a bike?" by its shape. */
  readonly looksWrong: boolean;
  /** When the operator said that it was a bike after all; null if not. */
  readonly promotedAt: SessionUs | null;
  /** When the operator struck it out; null if not. */
  readonly rejectedAt: SessionUs | null;
}

/** What the operator decided about runs, each with when. */
export interface MatchDecisions {
  /** Finish passing to the start passing that it belongs to. */
  readonly joins: ReadonlyMap<string, string>;
  /** Passing to the run that it belongs to. */
  readonly intoRun: ReadonlyMap<string, string>;
  /** Run to the instant up to which it may take no finish. */
  readonly splitRuns: ReadonlyMap<string, SessionUs>;
  /** "The next start is this rider's", in order of time. */
  readonly nextStarters: readonly NamedAt[];
  /** Run to the riders that it was corrected to, in order of time; the last one holds. */
  readonly riderCorrections: ReadonlyMap<string, readonly NamedAt[]>;
  /** Runs marked DNF, with when: their riders are off the course from then on. */
  readonly offCourse: ReadonlyMap<string, SessionUs>;
  /** Runs of which the operator said that they count as they are. */
  readonly confirmed: ReadonlySet<string>;
}

export interface MatchInput {
  /** Of one day, in any order. */
  readonly detections: readonly Detection[];
  /** Index of the finish gate; 0 is the start. */
  readonly finishGate: number;
  /** Sheet order. */
  readonly riders: readonly RiderId[];
  /** What a run is expected to take, s; null if the sheet does not say. */
  readonly expectedS: number | null;
  /** Limits until three runs have finished, s. */
  readonly travelMinS: number;
  readonly travelMaxS: number;
  /** The newest instant known: who is out too long, and who starts next. */
  readonly now: SessionUs;
  readonly decisions: MatchDecisions;
}

/** One run: which passings it is made of. */
export interface MatchedRun {
  readonly runId: string;
  readonly rider: RiderId;
  readonly startId: string;
  /** One place a gate from the start to the finish; null where nothing was seen. */
  readonly passingIds: readonly (string | null)[];
  readonly isFinished: boolean;
  /** An overtaking was possible: whose finish it is isn't sure. */
  readonly isAmbiguous: boolean;
  /** Not finished, and the rider has started again or the longest plausible time is over. */
  readonly isDoubtful: boolean;
  /** Why a person should look at it, in plain words. */
  readonly flags: readonly string[];
}

/** What a passing came to. */
export interface Fate {
  readonly state: PassingState;
  readonly runId: string | null;
  /** Where it was taken to be; null for a gate that is not on the sheet. */
  readonly gate: number | null;
}

export interface MatchResult {
  /** In order of start; false starts are not among them. */
  readonly runs: readonly MatchedRun[];
  readonly fates: ReadonlyMap<string, Fate>;
  /** Whose start the next start would be taken for; null without riders. */
  readonly nextStarter: RiderId | null;
}
