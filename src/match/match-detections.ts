// Passings to runs: who started, who finished, what was neither. Pure; called by the session with all
// passings of a day each time one has come or a person has decided something.
import type { PassingState } from "../domain/passing.ts";
import type { RiderId } from "../domain/session.ts";
import type {
  Detection,
  Fate,
  MatchDecisions,
  MatchedRun,
  MatchInput,
  MatchResult,
} from "./detection.ts";
import { byTime, type Merged, mergeDetections } from "./merge-detections.ts";
import {
  asPastStart,
  type Field,
  finishCandidates,
  isOvertakenByOwn,
  type OpenRun,
  riderOf,
  splitCandidates,
} from "./open-run.ts";
import { type PastStart, starterAt } from "./starter.ts";
import {
  addTravel,
  noTravels,
  removeTravel,
  type TravelHistory,
  travelLimits,
} from "./travel-limits.ts";

/** Everything that changes while the passings are gone through in order of time. */
interface Matching {
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
}

function fieldOf(m: Matching): Field {
  const { travelMinS, travelMaxS, decisions } = m.input;
  const sheet = { minUs: travelMinS * 1e6, maxUs: travelMaxS * 1e6 };
  return { open: m.open, history: m.history, sheet, decisions };
}

function idsOf(merged: Merged): readonly string[] {
  return [merged.detection.passingId, ...merged.doubles];
}

function decide<T>(merged: Merged, decided: ReadonlyMap<string, T>): T | undefined {
  for (const id of idsOf(merged)) {
    const found = decided.get(id);
    if (found !== undefined) return found;
  }
  return undefined;
}

function setFate(m: Matching, merged: Merged, fate: Fate): void {
  m.fates.set(merged.detection.passingId, fate);
  for (const id of merged.doubles) m.fates.set(id, { ...fate, state: "double" });
}

function loose(m: Matching, merged: Merged, state: PassingState, gate: number | null): void {
  setFate(m, merged, { state, runId: null, gate });
}

/** The rider that a passing names, if that rider is one of the session's. */
function namedRider(m: Matching, merged: Merged): RiderId | null {
  const rider = merged.assigned?.rider ?? merged.taggedRider;
  return rider !== null && m.input.riders.includes(rider) ? rider : null;
}

function takeStart(m: Matching, start: Merged): void {
  const { riders, decisions } = m.input;
  const tagged = start.taggedRider;
  const isTagged = tagged !== null && riders.includes(tagged);
  const first = isTagged ? tagged : starterAt(start.at, riders, m.past, decisions.nextStarters);
  if (first === null) {
    loose(m, start, "orphan", 0);
    return;
  }
  const runId = String(start.openedBy);
  const names = [
    ...(start.assigned === null ? [] : [start.assigned]),
    ...(decisions.riderCorrections.get(runId) ?? []),
  ]
    .filter((name) => riders.includes(name.rider))
    .sort((a, b) => a.at - b.at);
  const passings: (Merged | null)[] = Array.from({ length: m.input.finishGate + 1 }, () => null);
  passings[0] = start;
  const isReserved = m.reserved.has(runId) || idsOf(start).some((id) => m.reserved.has(id));
  const run: OpenRun = {
    runId,
    start,
    first,
    isGuessed: !isTagged,
    names,
    passings,
    finish: null,
    isFalseStart: false,
    next: null,
    isReserved,
  };
  startedAgain(m, run);
  m.runs.push(run);
  m.open.push(run);
  m.past.push(asPastStart(run, () => fieldOf(m)));
  setFate(m, start, { state: "matched", runId, gate: 0 });
}

/** What a new start of the same rider says of the older ones that are still open. */
function startedAgain(m: Matching, run: OpenRun): void {
  const { history, sheet } = fieldOf(m);
  for (const older of m.open) {
    if (riderOf(older) !== riderOf(run)) continue;
    older.next ??= run;
    const { minUs } = travelLimits(history, older.start.at, sheet);
    if (older.isReserved || run.start.at - older.start.at >= minUs) continue;
    older.isFalseStart = true;
    for (const passing of older.passings) {
      if (passing !== null) loose(m, passing, "orphan", older.passings.indexOf(passing));
    }
    loose(m, older.start, "false-start", 0);
  }
  m.open = m.open.filter((older) => !older.isFalseStart);
}

function finishRun(m: Matching, run: OpenRun, finish: Merged): void {
  const gate = m.input.finishGate;
  run.finish = finish;
  run.passings[gate] = finish;
  const rider = namedRider(m, finish);
  if (rider !== null && run.isGuessed && riderOf(run) !== rider && run.names.length === 0) {
    run.names = [{ rider, at: finish.at }];
  }
  addTravel(m.history, run.start.at, finish.at);
  m.open = m.open.filter((other) => other.finish === null && !isOvertakenByOwn(other));
  setFate(m, finish, { state: "matched", runId: run.runId, gate });
}

/** Its finish says whose it is, or the operator did. */
function hasNamedFinish(m: Matching, run: OpenRun): boolean {
  if (run.finish === null) return false;
  return run.isReserved || namedRider(m, run.finish) !== null;
}

/** The run that the operator put this passing into, if it had started by then. */
function decidedRun(m: Matching, passing: Merged): OpenRun | undefined {
  const startId = decide(passing, m.input.decisions.joins);
  const runId = decide(passing, m.input.decisions.intoRun);
  if (startId === undefined && runId === undefined) return undefined;
  return m.runs.find(
    (run) =>
      run.start.at < passing.at &&
      run.finish === null &&
      !run.isFalseStart &&
      (startId === undefined ? run.runId === runId : idsOf(run.start).includes(startId)),
  );
}

/**
 * A finish named for a rider who was taken to have finished before: that earlier, nameless finish
 * was another's who was out at the same time. True if it could be put right.
 */
function takeOvertaken(m: Matching, finish: Merged, rider: RiderId | null): boolean {
  for (const together of rider === null ? [] : m.outTogether.toReversed()) {
    const own = together.find((run) => riderOf(run) === rider && run.finish !== null);
    const other = together.find((run) => run.finish === null && !run.isFalseStart);
    const earlier = own?.finish ?? null;
    if (own === undefined || other === undefined || earlier === null) continue;
    if (hasNamedFinish(m, own)) continue;
    removeTravel(m.history, own.start.at, earlier.at);
    finishRun(m, other, earlier);
    finishRun(m, own, finish);
    return true;
  }
  return false;
}

/** False if there is no run that it can finish. */
function takeFinish(m: Matching, finish: Merged): boolean {
  const decided = decidedRun(m, finish);
  if (decided !== undefined) {
    finishRun(m, decided, finish);
    return true;
  }
  const rider = namedRider(m, finish);
  const candidates = finishCandidates(fieldOf(m), finish.at, rider);
  const first = candidates[0];
  if (first === undefined || (rider !== null && riderOf(first) !== rider)) {
    if (takeOvertaken(m, finish, rider)) return true;
  }
  if (first === undefined) return false;
  // With several riders out any of them may have finished: first in, first out, but not counted.
  if (candidates.length > 1) m.outTogether.push(candidates);
  finishRun(m, first, finish);
  return true;
}

function takeSplit(m: Matching, split: Merged, gate: number): void {
  const run =
    decidedRun(m, split) ?? splitCandidates(fieldOf(m), split.at, gate, namedRider(m, split))[0];
  if (run === undefined) {
    loose(m, split, "orphan", gate);
    return;
  }
  const before = run.passings[gate] ?? null;
  if (before !== null) loose(m, before, "orphan", gate);
  run.passings[gate] = split;
  setFate(m, split, { state: "matched", runId: run.runId, gate });
}

function take(m: Matching, merged: Merged): void {
  const { finishGate, decisions } = m.input;
  const { gates } = merged;
  const split = gates.find((gate) => gate > 0 && gate < finishGate);
  const isJoinedFinish = decide(merged, decisions.joins) !== undefined;
  const isJoinedStart = idsOf(merged).some((id) => m.reserved.has(id));
  if (isJoinedStart) takeStart(m, merged);
  else if (isJoinedFinish) {
    if (!takeFinish(m, merged)) loose(m, merged, "orphan", finishGate);
  } else if (gates.length === 0) loose(m, merged, "orphan", null);
  else if (split !== undefined) takeSplit(m, merged, split);
  else if (gates.includes(finishGate) && takeFinish(m, merged)) return;
  else if (gates.includes(0)) takeStart(m, merged);
  else loose(m, merged, "orphan", finishGate);
}

/** A start that was struck out later still counted when the next ones were guessed. */
function rememberRejected(m: Matching, rejected: Detection): void {
  const { riders, decisions } = m.input;
  const until = rejected.rejectedAt ?? rejected.at;
  if (riders.length < 2 || !rejected.gates.includes(0) || rejected.looksWrong) return;
  const tagged = rejected.taggedRider;
  const rider = tagged ?? starterAt(rejected.at, riders, m.past, decisions.nextStarters);
  if (rider === null) return;
  const maxUs = travelLimits(m.history, rejected.at, fieldOf(m).sheet).maxUs;
  m.past.push({
    at: rejected.at,
    riderAt: () => rider,
    countsAt: (then) => then < until,
    isOnCourseAt: (then) => then - rejected.at <= maxUs,
  });
}

/** Passings whose run the operator has named are taken whatever their shape. */
function isWanted(detection: Detection, decisions: MatchDecisions, starts: ReadonlySet<string>) {
  return (
    !detection.looksWrong ||
    detection.promotedAt !== null ||
    decisions.joins.has(detection.passingId) ||
    decisions.intoRun.has(detection.passingId) ||
    starts.has(detection.passingId)
  );
}

/** Out together with another, and neither that one's finish nor its own names a rider. */
function isAmbiguous(m: Matching, run: OpenRun): boolean {
  if (hasNamedFinish(m, run)) return false;
  return m.outTogether.some(
    (together) =>
      together.includes(run) && together.filter((other) => !hasNamedFinish(m, other)).length > 1,
  );
}

function matchedRun(m: Matching, run: OpenRun): MatchedRun {
  const isFinished = run.finish !== null;
  const outUs = m.input.now - run.start.at;
  const isTooLong =
    !isFinished && outUs > travelLimits(m.history, run.start.at, fieldOf(m).sheet).maxUs;
  const isUnsure = isAmbiguous(m, run);
  const flags: string[] = [];
  if (isUnsure) flags.push("two starts possible");
  if (!isFinished && run.next !== null) flags.push("DNF? started again");
  else if (isTooLong) flags.push("DNF? out longer than a run can take");
  if (run.passings.some((passing) => passing?.isDoubleTrip === true)) flags.push("double trip");
  return {
    runId: run.runId,
    rider: riderOf(run),
    startId: run.start.detection.passingId,
    passingIds: run.passings.map((passing) => passing?.detection.passingId ?? null),
    isFinished,
    isAmbiguous: isUnsure,
    isDoubtful: isTooLong || (!isFinished && run.next !== null),
    flags,
  };
}

/**
 * Matches the passings of one day. The same passings give the same runs in whatever order they came;
 * a run is matched by what happened up to its finish, so that later runs never rewrite it.
 *
 * @returns runs in order of start, and what each passing came to
 */
export function matchDetections(input: MatchInput): MatchResult {
  const { decisions, detections } = input;
  const startIds = new Set(decisions.joins.values());
  const finishes = new Set(
    detections.filter((d) => d.gates.includes(input.finishGate)).map((d) => d.passingId),
  );
  const named = [...decisions.intoRun].filter(([id]) => finishes.has(id)).map(([, run]) => run);
  const reserved = new Set([...startIds, ...named]);
  const m: Matching = {
    input,
    runs: [],
    open: [],
    past: [],
    fates: new Map(),
    reserved,
    outTogether: [],
    history: noTravels(),
  };
  const wanted: Detection[] = [];
  const rejected: Detection[] = [];
  for (const detection of detections) {
    if (detection.rejectedAt !== null) rejected.push(detection);
    else if (isWanted(detection, decisions, startIds)) wanted.push(detection);
    else m.fates.set(detection.passingId, stay("not-a-bike", detection));
  }
  rejected.sort(byTime);
  const merged = mergeDetections(wanted.sort(byTime));
  for (const passing of merged) {
    while (rejected[0] !== undefined && rejected[0].at < passing.at) {
      takeRejected(m, rejected.shift());
    }
    take(m, passing);
  }
  for (const last of rejected) takeRejected(m, last);
  return {
    runs: m.runs.filter((run) => !run.isFalseStart).map((run) => matchedRun(m, run)),
    fates: m.fates,
    nextStarter: starterAt(input.now, input.riders, m.past, decisions.nextStarters),
  };
}

function stay(state: PassingState, detection: Detection): Fate {
  return { state, runId: null, gate: detection.gates[0] ?? null };
}

function takeRejected(m: Matching, detection: Detection | undefined): void {
  if (detection === undefined) return;
  rememberRejected(m, detection);
  m.fates.set(detection.passingId, stay("rejected", detection));
}
