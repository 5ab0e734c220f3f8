// What a screen says of runs that were there before: matched otherwise, or timed better.
import { expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { changedRuns } from "../../src/summary/changed-runs.ts";
import { F1, JournalWriter, S1, twoGates } from "../session/a-journal.ts";

const runsOf = (j: JournalWriter) => sessionOf(extendFold(emptyFold(), j.entries)).runs;

function ridden(): JournalWriter {
  const j = new JournalWriter().made(twoGates);
  j.exchanges(S1, 1, 430).exchanges(F1, 1, 430);
  j.bike(S1, 300);
  j.bike(F1, 430);
  return j;
}

it("a start that comes in late: the run that had its finish is matched otherwise", () => {
  const j = ridden();
  const before = runsOf(j);
  expect(before[0]?.timeS).toBeCloseTo(130, 2);
  j.event(S1, "B", 360, { arrivedS: 440 });
  const now = runsOf(j);
  expect(changedRuns(before, now)).toMatchObject([{ runId: before[0]?.runId, kind: "rematched" }]);
  expect(changedRuns(now, now)).toEqual([]);
});

it("a clock that is known better: by how much the time moved", () => {
  const j = ridden();
  const before = runsOf(j);
  const [run] = before;
  if (run?.timeS == null) throw new Error("no run");
  const better = { ...run, timeS: run.timeS + 0.002, finishedAt: run.finishedAt };
  const [change] = changedRuns(before, [better]);
  expect(change?.kind).toBe("retimed");
  expect(change?.byS).toBeCloseTo(0.002, 9);
  expect(changedRuns(before, [{ ...run, timeS: run.timeS + 0.0004 }])).toEqual([]);
});

it("a run that finishes, a new one and a mark are no change", () => {
  const j = new JournalWriter().made(twoGates);
  j.exchanges(S1, 1, 700).exchanges(F1, 1, 700);
  const seq = j.bike(S1, 300);
  const riding = runsOf(j);
  j.bike(F1, 430);
  const finished = runsOf(j);
  expect(changedRuns(riding, finished)).toEqual([]);
  expect(changedRuns([], finished)).toEqual([]);
  j.mark(440, seq, "void");
  expect(changedRuns(finished, runsOf(j))).toEqual([]);
});
