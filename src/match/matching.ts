// Everything that the matcher knows while it goes through a day, and what follows from it for a passing
// or a run; used by the matcher's steps.
import type { RiderId } from "../domain/session.ts";
import type { Fate, MatchInput } from "./detection.ts";
import type { Merged } from "./merge-detections.ts";
import type { Field, OpenRun } from "./open-run.ts";
import type { Doubt } from "./overtaking.ts";
import type { PastStart } from "./starter.ts";
import type { TravelHistory } from "./travel-limits.ts";
import type { UsualTimes } from "./usual-times.ts";

/** Everything that changes while the passings are gone through in order of time. */
export interface Matching {
  readonly input: MatchInput;
  readonly runs: OpenRun[];
  /** Those that can still take a passing, a few at any time. */
  open: OpenRun[];
  readonly past: PastStart[];
  readonly fates: Map<string, Fate>;
  /** Runs whose finish the operator has named, by start passing or run. */
  readonly reserved: ReadonlySet<string>;
  /** Runs that were out together when one of them finished without a name. */
  readonly outTogether: (readonly OpenRun[])[];
  readonly history: TravelHistory;
  readonly usual: UsualTimes;
  /** Pairs of runs that may be the other way round from some gate on. */
  doubts: readonly Doubt[];
  /** Runs among the usual times already. */
  readonly isUsual: Set<OpenRun>;
}

export function fieldOf(m: Matching): Field {
  const { travelMinS, travelMaxS, decisions } = m.input;
  const sheet = { minUs: travelMinS * 1e6, maxUs: travelMaxS * 1e6 };
  return { open: m.open, history: m.history, sheet, decisions };
}

export function idsOf(merged: Merged): readonly string[] {
  return [merged.detection.passingId, ...merged.doubles];
}

export function decide<T>(merged: Merged, decided: ReadonlyMap<string, T>): T | undefined {
  for (const id of idsOf(merged)) {
    const found = decided.get(id);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** The rider that a passing names, if that rider is one of the session's. */
export function namedRider(m: Matching, merged: Merged): RiderId | null {
  const rider = merged.assigned?.rider ?? merged.taggedRider;
  return rider !== null && m.input.riders.includes(rider) ? rider : null;
}

/** Its finish says whose it is, or the operator did, or said that the run counts as it is. */
export function hasSureFinish(m: Matching, run: OpenRun): boolean {
  if (run.finish === null) return false;
  if (m.input.decisions.confirmed.has(run.runId)) return true;
  return run.isReserved || namedRider(m, run.finish) !== null;
}

/** True if two runs may be the other way round, for all that is known and was decided. */
export function holds(m: Matching, { taker, other }: Doubt): boolean {
  if (taker.isFalseStart || other.isFalseStart) return false;
  // Off the course without a finish, people say: then it passed nothing.
  if (other.finish === null && m.input.decisions.offCourse.has(other.runId)) return false;
  return !hasSureFinish(m, taker) && !hasSureFinish(m, other);
}
