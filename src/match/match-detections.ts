// Passings to runs: who started, who finished, what was neither. Pure; called by the session with all
// passings of a day each time one has come or a person has decided something.
import type { PassingState } from "../domain/passing.ts";
import type { RiderId } from "../domain/session.ts";
import type { Detection, Fate, MatchDecisions, MatchInput, MatchResult } from "./detection.ts";
import { matchedRun } from "./matched-run.ts";
import { decide, fieldOf, hasSureFinish, idsOf, type Matching, namedRider } from "./matching.ts";
import { byTime, type Merged, mergeDetections } from "./merge-detections.ts";
import {
  asPastStart,
  finishCandidates,
  isOvertakenByOwn,
  type OpenRun,
  riderOf,
  splitCandidates,
} from "./open-run.ts";
import { firstIn } from "./overtaking.ts";
import { starterAt } from "./starter.ts";
import { addTravel, noTravels, removeTravel, travelLimits } from "./travel-limits.ts";
import { noUsualTimes } from "./usual-times.ts";
import { doubtOthers, firstThatFits, passed } from "./weigh-doubts.ts";

function setFate(m: Matching, merged: Merged, fate: Fate): void {
  m.fates.set(merged.detection.passingId, fate);
  for (const id of merged.doubles) m.fates.set(id, { ...fate, state: "double" });
}

function loose(m: Matching, merged: Merged, state: PassingState, gate: number | null): void {
  setFate(m, merged, { state, runId: null, gate });
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
  passed(m, run, gate);
  setFate(m, finish, { state: "matched", runId: run.runId, gate });
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
    if (hasSureFinish(m, own)) continue;
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
  const { finishGate } = m.input;
  const candidates = finishCandidates(fieldOf(m), finish.at, rider);
  const first = firstIn(candidates, finishGate);
  if (first === undefined || (rider !== null && riderOf(first) !== rider)) {
    if (takeOvertaken(m, finish, rider)) return true;
  }
  if (first === undefined) return false;
  // With several riders out another may have finished: first in, first out, and in doubt if plausible.
  if (candidates.length > 1) {
    m.outTogether.push(candidates);
    doubtOthers(m, first, candidates, finishGate, finish.at);
  }
  finishRun(m, first, finish);
  return true;
}

function takeSplit(m: Matching, split: Merged, gate: number): void {
  const rider = namedRider(m, split);
  const decided = decidedRun(m, split);
  const candidates =
    decided === undefined ? splitCandidates(fieldOf(m), split.at, gate, rider) : [decided];
  const run = firstThatFits(m, candidates, gate, split.at);
  if (run === undefined) {
    loose(m, split, "orphan", gate);
    return;
  }
  if (rider === null) doubtOthers(m, run, candidates, gate, split.at);
  const before = run.passings[gate] ?? null;
  if (before !== null) loose(m, before, "orphan", gate);
  run.passings[gate] = split;
  passed(m, run, gate);
  setFate(m, split, { state: "matched", runId: run.runId, gate });
}

/** A transponder of nobody on the sheet, and no beam saw it: listed, until somebody says whose it is. */
function isNobodys(m: Matching, merged: Merged): boolean {
  return (
    merged.detection.source === "transponder" &&
    namedRider(m, merged) === null &&
    merged.detection.promotedAt === null &&
    decide(merged, m.input.decisions.intoRun) === undefined
  );
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
  else if (isNobodys(m, merged)) loose(m, merged, "orphan", gates[0] ?? null);
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
    usual: noUsualTimes(),
    doubts: [],
    isUsual: new Set(),
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
