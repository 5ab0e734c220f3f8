// A run as the matcher tells it, with why a person should look at it; last step of the matcher.
import type { MatchedRun } from "./detection.ts";
import { fieldOf, hasSureFinish, holds, idsOf, type Matching } from "./matching.ts";
import { type OpenRun, riderOf } from "./open-run.ts";
import { travelLimits } from "./travel-limits.ts";

function gateName(gate: number, finishGate: number): string {
  if (gate === 0) return "start";
  return gate === finishGate ? "finish" : `split ${String(gate)}`;
}

function doubtFlags(m: Matching, run: OpenRun): readonly string[] {
  const gates = m.doubts
    .filter((d) => (d.taker === run || d.other === run) && d.gate < m.input.finishGate)
    .filter((d) => !d.taker.isFalseStart && !d.other.isFalseStart)
    .map((d) => d.gate);
  return [...new Set(gates)]
    .sort((a, b) => a - b)
    .map((gate) => `split ${String(gate)}: two runs possible`);
}

function tagFlags(run: OpenRun, finishGate: number): readonly string[] {
  return run.passings.flatMap((passing, gate) =>
    (passing?.unknownTags ?? []).map(
      (tag) => `unknown transponder ${tag} at the ${gateName(gate, finishGate)}`,
    ),
  );
}

/** What people mended of it, each ending in "by hand". */
function handFlags(m: Matching, run: OpenRun): readonly string[] {
  const { joins, intoRun, splitRuns, riderCorrections } = m.input.decisions;
  const passings = run.passings.filter((passing) => passing !== null);
  const isOneOf = (ids: { has: (id: string) => boolean }) =>
    passings.some((passing) => idsOf(passing).some((id) => ids.has(id)));
  const flags: string[] = [];
  if (isOneOf(joins)) flags.push("joined by hand");
  if (isOneOf(intoRun) || passings.some((p) => p.assigned !== null)) flags.push("assigned by hand");
  if (splitRuns.has(run.runId)) flags.push("parted by hand");
  if (riderCorrections.has(run.runId)) flags.push("rider corrected by hand");
  return flags;
}

/** The run for everybody outside the matcher. */
export function matchedRun(m: Matching, run: OpenRun): MatchedRun {
  const isFinished = run.finish !== null;
  const outUs = m.input.now - run.start.at;
  const isTooLong =
    !isFinished && outUs > travelLimits(m.history, run.start.at, fieldOf(m).sheet).maxUs;
  const isUnsure =
    !hasSureFinish(m, run) &&
    m.doubts.some((d) => (d.taker === run || d.other === run) && holds(m, d));
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
    flags: [
      ...flags,
      ...doubtFlags(m, run),
      ...tagFlags(run, m.input.finishGate),
      ...handFlags(m, run),
    ],
  };
}
