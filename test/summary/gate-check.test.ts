// Beams walked through before the first run: what is ticked, and that nothing of it is left behind.
import { describe, expect, it } from "vitest";
import { courseLine } from "../../src/summary/alerts.ts";
import { gateCheck, gateCheckRuns } from "../../src/summary/gate-check.ts";
import {
  F1,
  handGates,
  JournalWriter,
  loopGates,
  P1,
  R1,
  R2,
  S1,
  threeGates,
} from "../session/a-journal.ts";
import { instant, ride, summaryOf } from "../tui/a-day.ts";

const clock = (): string => "10:42";

/** Boxes heard and their clocks known; nobody has been at a gate. */
function morning(riders = [R1]): JournalWriter {
  const j = new JournalWriter().made(threeGates, riders);
  for (const box of [S1, P1, F1]) j.exchanges(box, 2, 90, 1).exchanges(box, 95, 900);
  return j;
}

/** The boxes' last word, so that nothing is doubted for want of it. */
function heard(j: JournalWriter, atS: number): JournalWriter {
  for (const box of [S1, P1, F1]) j.heartbeat(box, atS, 40);
  return j;
}

/** Strikes out what the check has found. */
function strikeOut(j: JournalWriter, atS: number, withOpen = false): void {
  const { passings, openPassings } = gateCheckRuns(summaryOf(j));
  for (const passing of [...passings, ...(withOpen ? openPassings : [])]) {
    j.write(atS, { type: "passing-rejected", body: { passing, reason: "gate check" } });
  }
}

describe("the gate check", () => {
  it("ticks a gate for a passing since the check began, and is ready once all are", () => {
    const j = morning();
    j.bike(S1, 100);
    const check = (atS: number, sinceS: number) =>
      gateCheck(summaryOf(j), instant(atS), instant(sinceS));
    expect(check(902, 90).missing).toEqual(["split 1", "finish"]);
    expect(check(902, 101).missing).toEqual(["start", "split 1", "finish"]);
    // A walker who is not taken for a bike has shown that the beam works.
    j.bike(P1, 200, 1.8, 1);
    j.bike(F1, 300, 0.3, 1);
    heard(j, 905);
    expect(check(906, 90)).toMatchObject({ missing: [], isReady: true, boxed: 3 });
    expect(check(920, 90)).toMatchObject({ missing: [], isReady: false });
    expect(check(920, 90).gates.map((gate) => gate.faults)).toEqual([
      ["quiet"],
      ["quiet"],
      ["quiet"],
    ]);
  });

  it("ticks both gates of a box that is start and finish", () => {
    const j = new JournalWriter().made(loopGates).exchanges(S1, 2, 90, 1);
    j.bike(S1, 91);
    expect(gateCheck(summaryOf(j), instant(93), instant(90)).missing).toEqual([]);
  });

  it("does not take a transponder or a key for the beam", () => {
    const j = morning();
    j.event(S1, "T", 100, { tag: "A1" });
    j.key(2, 300);
    heard(j, 905);
    const { gates, missing } = gateCheck(summaryOf(j), instant(906), instant(90));
    expect(gates[0]?.notices).toEqual(["no beam broken"]);
    expect(missing).toEqual(["split 1", "finish"]);
  });

  it("knows the clock by its newest passing, else by the answers of its first minute", () => {
    const j = new JournalWriter().made(threeGates).exchanges(S1, 2, 30, 1).exchanges(P1, 2, 70, 1);
    j.bike(P1, 71);
    const clocks = gateCheck(summaryOf(j), instant(73), instant(0)).gates.map((gate) => gate.clock);
    expect(clocks[0]).toEqual({ answers: 29, isFirstMinuteOver: false, uncertaintyS: null });
    expect(clocks[1]).toMatchObject({ answers: 69, isFirstMinuteOver: true });
    expect(clocks[1]?.uncertaintyS).toBeGreaterThan(0);
    expect(clocks[1]?.uncertaintyS).toBeLessThan(0.001);
  });

  it("has nothing to see where all is by hand, and is not ready for that", () => {
    const check = gateCheck(summaryOf(new JournalWriter().made(handGates)), instant(1), instant(0));
    expect(check).toMatchObject({ boxed: 0, missing: [], isReady: false });
  });
});

describe("what a walk from gate to gate leaves behind", () => {
  /** A hand through the start three times, walkers at split and finish, a second time at the finish. */
  function walked(j: JournalWriter): JournalWriter {
    for (const s of [100, 110, 112]) j.bike(S1, s, 0.3, 1);
    j.bike(S1, 130, 1.8, 1);
    j.bike(P1, 150, 0.9, 3);
    j.bike(F1, 155, 1.6, 1);
    j.bike(F1, 185, 0.7, 2);
    return j;
  }

  it("is a run of a time that nobody rides, and passings in no run", () => {
    const j = heard(walked(morning()), 905);
    const { runs } = summaryOf(j);
    expect(runs.map((run) => [run.k, run.status])).toEqual([[1, "ok"]]);
    expect(runs[0]?.timeS).toBeCloseTo(75, 0); // expected: 130 s
    const found = gateCheckRuns(summaryOf(j));
    expect(found.finished).toHaveLength(1);
    expect(found.open).toEqual([]);
    expect(found.passings).toHaveLength(7);
    expect(courseLine(summaryOf(j), instant(160), clock)).toContain("UNDECIDED");
  });

  it("is gone once struck out: the next ride is run 1, the plan can still be fixed", () => {
    const j = heard(walked(morning()), 905);
    strikeOut(j, 910);
    const after = summaryOf(j);
    expect(after.runs).toEqual([]);
    expect(after.loosePassings).toEqual([]);
    expect(courseLine(after, instant(911), clock)).toBe("course clear");
    const plan = { plannedRuns: 12, order: ["A", "B"], nuN: null, z2N: {} };
    const body = { setups: ["A", "B"], riders: [{ rider: "R1", ...plan }], seed: 7 };
    j.write(912, { type: "plan-fixed", body });
    ride(j, 1000, 128);
    expect(summaryOf(j).runs.map((run) => [run.k, run.status])).toEqual([[1, "ok"]]);
    expect(summaryOf(j).plan).not.toBeNull();
    expect(gateCheckRuns(summaryOf(j)).passings).toEqual([]);
  });

  it("keeps its number if marked void, and an open one stays on course", () => {
    const j = heard(walked(morning()), 905);
    j.mark(910, summaryOf(j).runs[0]?.runId ?? "", "void");
    ride(j, 1000, 128);
    expect(summaryOf(j).runs.map((run) => [run.k, run.status])).toEqual([
      [1, "void"],
      [2, "ok"],
    ]);
    const open = morning();
    open.bike(S1, 880, 0.3, 1);
    heard(open, 905);
    open.mark(906, summaryOf(open).runs[0]?.runId ?? "", "void");
    expect(courseLine(summaryOf(open), instant(907), clock)).toBe("1 ON COURSE");
  });

  it("leaves a run that is still open to somebody who can see the course", () => {
    const j = morning();
    j.bike(F1, 850, 0.3, 1);
    j.bike(S1, 880, 0.3, 1);
    heard(j, 905);
    const found = gateCheckRuns(summaryOf(j));
    expect(found.open.map((run) => run.status)).toEqual(["on-course"]);
    expect(found.passings).toEqual(["F1:0007:1"]);
    strikeOut(j, 906);
    expect(courseLine(summaryOf(j), instant(907), clock)).toBe("1 ON COURSE");
    strikeOut(j, 908, true);
    expect(courseLine(summaryOf(j), instant(909), clock)).toBe("course clear");
  });

  it("is never a ride, nor anything after the first one", () => {
    const j = morning([R1, R2]);
    ride(j, 100, 128);
    j.bike(S1, 400);
    j.bike(F1, 410, 1.8, 1);
    expect(gateCheckRuns(summaryOf(j))).toEqual({
      finished: [],
      open: [],
      passings: [],
      openPassings: [],
    });
  });

  it("is no longer a run whose rider somebody has named, or that was marked", () => {
    const j = walked(morning());
    heard(j, 905);
    const [run] = summaryOf(j).runs;
    const start = summaryOf(j).passings.find((p) => p.runId === run?.runId && p.gate === 0);
    const body = { passing: start?.passingId ?? "", rider: "R1", run: null };
    const seq = j.write(906, { type: "passing-assigned", body });
    expect(gateCheckRuns(summaryOf(j)).finished).toEqual([]);
    j.undo(907, seq);
    expect(gateCheckRuns(summaryOf(j)).finished).toHaveLength(1);
    j.mark(908, run?.runId ?? "", "warm-up");
    expect(gateCheckRuns(summaryOf(j)).finished).toEqual([]);
  });
});
