// A run while the matcher builds it, and which of several a passing may belong to.
import type { RiderId } from "../domain/session.ts";
import { type SessionUs, sessionUs } from "../domain/time.ts";
import type { MatchDecisions, NamedAt } from "./detection.ts";
import type { Merged } from "./merge-detections.ts";
import { namedUpTo, type PastStart } from "./starter.ts";
import { type TravelHistory, type TravelLimits, travelLimits } from "./travel-limits.ts";

/** Changed by the matcher as it goes through the passings in order of time. */
export interface OpenRun {
  readonly runId: string;
  readonly start: Merged;
  /** By transponder or key, else guessed. */
  readonly first: RiderId;
  readonly isGuessed: boolean;
  /** Named since, in order of time. */
  names: readonly NamedAt[];
  /** One place a gate. */
  readonly passings: (Merged | null)[];
  finish: Merged | null;
  isFalseStart: boolean;
  /** Start of the same rider after this one; null while there is none. */
  next: OpenRun | null;
  /** The operator has named its finish: it takes no other. */
  readonly isReserved: boolean;
}

/** Whose run it is, by all that is known now. */
export function riderOf(run: OpenRun): RiderId {
  return namedUpTo(run.first, run.names, sessionUs(Number.POSITIVE_INFINITY));
}

/** Index of the last gate passed. */
function lastGateOf(run: OpenRun): number {
  return run.passings.findLastIndex((passing) => passing !== null);
}

/** The rider has started again and finished: nobody is out on this start any more. */
export function isOvertakenByOwn(run: OpenRun): boolean {
  for (let later = run.next; later !== null; later = later.next) {
    if (later.finish !== null) return true;
  }
  return false;
}

/** What a candidate is looked up in. */
export interface Field {
  /** Started and not finished, no false starts, oldest first. */
  readonly open: readonly OpenRun[];
  readonly history: TravelHistory;
  readonly sheet: TravelLimits;
  readonly decisions: MatchDecisions;
}

/** Open starts that can still pass another gate at this instant, oldest first. */
function openAt(field: Field, at: SessionUs): readonly OpenRun[] {
  return field.open.filter((run) => {
    if (run.start.at >= at) return false;
    return (field.decisions.offCourse.get(run.runId) ?? at) >= at;
  });
}

/** The latest start of each rider, oldest first. */
function latestOfEach(open: readonly OpenRun[]): readonly OpenRun[] {
  const latest = new Map<RiderId, OpenRun>();
  for (const run of open) latest.set(riderOf(run), run);
  return open.filter((run) => latest.get(riderOf(run)) === run);
}

/** Named passings go to that rider's runs, or to one that was only guessed to be another's. */
function ofRider(open: readonly OpenRun[], rider: RiderId | null): readonly OpenRun[] {
  if (rider === null) return open;
  const own = open.filter((run) => riderOf(run) === rider);
  return own.length > 0 ? own : open.filter((run) => run.isGuessed && run.names.length === 0);
}

/** Runs that a finish at this instant can belong to, first in first. */
export function finishCandidates(
  field: Field,
  at: SessionUs,
  rider: RiderId | null,
): readonly OpenRun[] {
  const plausible = openAt(field, at).filter((run) => {
    if (run.isReserved) return false;
    const splitUpTo = field.decisions.splitRuns.get(run.runId);
    if (splitUpTo !== undefined && at <= splitUpTo) return false;
    const limits = travelLimits(field.history, run.start.at, field.sheet);
    const travelUs = at - run.start.at;
    return travelUs >= limits.minUs && travelUs <= limits.maxUs;
  });
  return latestOfEach(ofRider(plausible, rider));
}

/** Runs that a passing of a split gate can belong to, first in first. */
export function splitCandidates(
  field: Field,
  at: SessionUs,
  gate: number,
  rider: RiderId | null,
): readonly OpenRun[] {
  const plausible = openAt(field, at).filter((run) => {
    const limits = travelLimits(field.history, run.start.at, field.sheet);
    return lastGateOf(run) < gate && at - run.start.at <= limits.maxUs;
  });
  return latestOfEach(ofRider(plausible, rider));
}

/** The run as the guess at a later start sees it: by what was known then. */
export function asPastStart(run: OpenRun, field: () => Field): PastStart {
  const { detection } = run.start;
  return {
    at: run.start.at,
    riderAt: (then) => namedUpTo(run.first, run.names, then),
    countsAt: (then) =>
      !run.isFalseStart &&
      (!detection.looksWrong || detection.promotedAt === null || detection.promotedAt <= then),
    isOnCourseAt: (then) => {
      if (run.finish !== null || run.next !== null) return false;
      const { decisions, history, sheet } = field();
      const off = decisions.offCourse.get(run.runId);
      if (off !== undefined && off <= then) return false;
      return then - run.start.at <= travelLimits(history, run.start.at, sheet).maxUs;
    },
  };
}
