// Builds passings for the matcher's tests; times in seconds.
import { sessionUs } from "../../src/domain/time.ts";
import type { Detection, MatchDecisions, MatchInput } from "../../src/match/detection.ts";
import { matchDetections } from "../../src/match/match-detections.ts";

export const undecided: MatchDecisions = {
  joins: new Map(),
  intoRun: new Map(),
  splitRuns: new Map(),
  nextStarters: [],
  riderCorrections: new Map(),
  offCourse: new Map(),
  confirmed: new Set(),
};

let entrySeq = 0;

/** A broken beam at a gate; `more` says what is special about it. */
export function at(gate: number | number[], s: number, more: Partial<Detection> = {}): Detection {
  entrySeq += 1;
  return {
    passingId: more.passingId ?? `p${String(entrySeq)}`,
    entrySeq,
    gates: typeof gate === "number" ? [gate] : gate,
    at: sessionUs(Math.round(s * 1e6)),
    source: "beam",
    taggedRider: null,
    unknownTag: null,
    assigned: null,
    looksWrong: false,
    promotedAt: null,
    rejectedAt: null,
    ...more,
  };
}

/** The same, seen by a transponder alone. */
export function tag(gate: number, s: number, rider: string): Detection {
  return at(gate, s, { source: "transponder", taggedRider: rider });
}

/** Matches with limits of 65 to 390 s, finish gate 2 and one rider unless told otherwise. */
export function match(detections: readonly Detection[], more: Partial<MatchInput> = {}) {
  const last = detections.reduce((latest, d) => Math.max(latest, d.at), 0);
  return matchDetections({
    detections,
    finishGate: 2,
    riders: ["R1"],
    expectedS: null,
    travelMinS: 65,
    travelMaxS: 390,
    now: sessionUs(last),
    decisions: undecided,
    ...more,
  });
}

/** Runs as rider, start, split and finish in seconds. */
export function told(detections: readonly Detection[], more: Partial<MatchInput> = {}) {
  const when = new Map(detections.map((d) => [d.passingId, d.at / 1e6]));
  return match(detections, more).runs.map((run) => [
    run.rider,
    ...run.passingIds.map((id) => (id === null ? null : (when.get(id) ?? null))),
  ]);
}

/** What each passing came to, in the order given. */
export function states(detections: readonly Detection[], more: Partial<MatchInput> = {}) {
  const { fates } = match(detections, more);
  return detections.map((d) => fates.get(d.passingId)?.state);
}
