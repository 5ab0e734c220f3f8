// Several days in one journal: each keeps its own clocks, boxes and sheet; the first day's promise
// holds for all of them.
import { describe, expect, it } from "vitest";
import type { Body } from "../../src/journal/content.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { heldOf } from "../../src/session/held.ts";
import type { Session } from "../../src/session/session.ts";
import {
  ANCHOR_US,
  B,
  F1,
  handGates,
  JournalWriter,
  loopGates,
  R1,
  R2,
  S1,
  twoGates,
} from "./a-journal.ts";

const session = (j: JournalWriter): Session => sessionOf(extendFold(emptyFold(), j.entries));

function byHand(j: JournalWriter, atS: number, timeS: number): number {
  const seq = j.key(0, atS);
  j.key(2, atS + timeS);
  return seq;
}

function plan(plannedRuns: number): Body<"plan-fixed"> {
  const rider = { rider: "R1", plannedRuns, order: ["A", "B"], nuN: null, z2N: {} };
  return { setups: ["A", "B"], riders: [rider], seed: 7 };
}

describe("another day in the journal", () => {
  it("has a clock of its own, on the same run of the laptop's too", () => {
    const j = new JournalWriter().made(handGates);
    byHand(j, 100, 120);
    j.anchorUs = ANCHOR_US + 5e6; // the wall clock was put right before this day's file was made
    j.nextDay(90_000, () => {
      j.made(handGates);
      byHand(j, 90_100, 118);
    });
    const { runs, anchorsUs } = session(j);
    expect(runs.map((run) => run.startedAt)).toEqual([
      ANCHOR_US + 100e6,
      ANCHOR_US + 5e6 + 90_100e6,
    ]);
    expect(anchorsUs).toEqual({ "laptop-1": ANCHOR_US + 5e6 });
  });

  it("tells the same number of the same boot of a box from that of the day before", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 5, 400, 20).exchanges(F1, 5, 400, 20);
    j.event(S1, "B", 100, { seq: 1 });
    j.event(F1, "B", 220, { seq: 1 });
    j.nextDay(90_000, () => {
      j.made(twoGates);
      j.exchanges(S1, 90_005, 90_400, 20).exchanges(F1, 90_005, 90_400, 20);
      j.event(S1, "B", 90_100, { seq: 1 });
      j.event(F1, "B", 90_215, { seq: 1 });
    });
    const { passings, runs, anomalies, faults } = session(j);
    expect(passings.map((p) => [p.passingId, p.state])).toEqual([
      ["S1:0012:1", "matched"],
      ["F1:0007:1", "matched"],
      ["S1:0012:1@2", "matched"],
      ["F1:0007:1@2", "matched"],
    ]);
    expect(runs.map((run) => Math.round(run.timeS ?? 0))).toEqual([120, 115]);
    expect(faults.duplicates).toBe(0);
    expect(anomalies).toEqual([]);
  });

  it("goes by its own boxes, transponders and limits", () => {
    const j = new JournalWriter().made(twoGates);
    j.nextDay(90_000, () => {
      j.made(loopGates, [{ ...R1, tag: "C3" }, R2], { travelMinS: 20, travelMaxS: 60 });
      j.exchanges(S1, 90_005, 90_200, 20);
      j.event(S1, "T", 90_100, { tag: "C3" });
      j.event(S1, "T", 90_130, { tag: "C3" });
    });
    const { runs } = session(j);
    expect(runs.map((run) => [run.rider, Math.round(run.timeS ?? 0)])).toEqual([["R1", 30]]);
  });

  it("leaves a later import of the day before out of its own order", () => {
    const j = new JournalWriter().made(handGates);
    const row = { uncertaintyS: null, sectorS: [null, null], startedAtUs: null, reason: null };
    const rows = [{ ...row, rider: "R1", setup: "A", status: "ok" as const, timeS: 121 }];
    j.write(500_000, { type: "times-imported", body: { file: "t.csv", rows } });
    j.nextDay(90_000, () => {
      j.made(handGates);
      j.write(90_050, { type: "times-imported", body: { file: "u.csv", rows } });
      byHand(j, 90_100, 118);
    });
    expect(session(j).runs.map((run) => [run.day, run.k, run.timedBy])).toEqual([
      [0, 1, "import"],
      [1, 1, "import"],
      [1, 2, "hand"],
    ]);
  });

  it("tells how long somebody is out by its own time", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    j.write(130, { type: "condition-marked", body: { note: "rain", isStep: false } });
    const flags = (): readonly string[] => session(j).runs.flatMap((run) => run.flags);
    expect(flags()).toEqual([]);
    j.nextDay(90_000, () => {
      j.made(handGates);
      j.key(0, 90_100);
    });
    expect(flags()).toEqual([]);
    // Something written down about the day before, a week later, before this day's mark.
    const late = new JournalWriter().made(handGates);
    late.write(700_000, {
      type: "condition-marked",
      body: { note: "it had rained", isStep: false },
    });
    late.nextDay(90_000, () => {
      late.made(handGates);
      late.key(0, 90_100);
    });
    expect(session(late).runs.flatMap((run) => run.flags)).toEqual([]);
  });

  it("has nothing to do with the troubles of the boxes the day before", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 5, 60, 5).exchanges(F1, 5, 60, 5);
    j.event(S1, "X", 50, { seq: 1 }); // blocked, and packed up so
    j.nextDay(90_000, () => {
      j.made(twoGates);
      j.exchanges(S1, 90_005, 90_400, 20).exchanges(F1, 90_005, 90_400, 20);
      j.event(S1, "B", 90_100, { seq: 2 });
      j.event(F1, "B", 90_215, { seq: 1 });
    });
    expect(session(j).runs.map((run) => [run.status, run.flags])).toEqual([["ok", []]]);
  });

  it("starts with nothing of the day before at its ports", () => {
    const j = new JournalWriter().made(twoGates);
    j.write(1, { type: "port-lost", body: { port: "/dev/gates", reason: "gone" } });
    j.event(S1, "B", 100, { seq: 1 });
    j.heartbeat(S1, 101, 2);
    j.nextDay(90_000, () => {
      j.made(twoGates);
      j.event(S1, "B", 90_100, { seq: 1 });
    });
    expect(session(j).ports).toEqual([]);
    const held = heldOf(extendFold(emptyFold(), j.entries));
    expect(held).toHaveLength(1);
    expect(held[0]?.message).toMatchObject({ type: "event", seq: 1 });
  });

  it("is open, and the course free, whatever the day before ended with", () => {
    const j = new JournalWriter().made(handGates);
    j.write(10, { type: "course-held", body: { reason: "walker" } });
    j.write(11, { type: "session-closed", body: {} });
    expect(session(j)).toMatchObject({ isClosed: true, heldBecause: "walker" });
    j.nextDay(90_000, () => {
      j.made(handGates);
    });
    expect(session(j)).toMatchObject({ isClosed: false, heldBecause: null });
  });

  it("that is not the next one is not counted, and said so", () => {
    const j = new JournalWriter().made(handGates);
    j.nextDay(90_000, () => byHand(j, 90_100, 118), 2);
    const { runs, anomalies } = session(j);
    expect(runs.map((run) => run.day)).toEqual([0]);
    expect(anomalies).toEqual(["entry 5 begins day 2 after day 0: not counted"]);
  });
});

describe("the first day's promise", () => {
  function twoDays(): JournalWriter {
    const j = new JournalWriter().made(handGates, [R1], { marginS: 2.5, minutes: 300 });
    j.write(1, { type: "plan-fixed", body: plan(12) });
    byHand(j, 100, 120);
    j.nextDay(90_000, () => {
      j.made(handGates, [R2, R1], { marginS: 1, plannedRuns: 30, minutes: 120 });
      j.write(90_001, { type: "plan-fixed", body: plan(30) });
      j.write(90_002, { type: "settings-changed", body: { marginS: 0.5, lapMinutes: 7 } });
      j.write(90_003, { type: "plan-end-announced", body: { rider: "R1", endRun: 9 } });
      byHand(j, 90_100, 118);
    });
    return j;
  }

  it("holds for the later days; what a day may take is the newest's", () => {
    const s = session(twoDays());
    expect(s.settings).toMatchObject({
      marginS: 2.5,
      plannedRuns: 12,
      minutes: 120,
      lapMinutes: 7,
    });
    expect(s.isMarginChanged).toBe(false);
    expect(s.plan?.riders[0]?.plannedRuns).toBe(12);
    expect(s.plannedEnds).toEqual([]);
    expect(s.riders.map((rider) => rider.id)).toEqual(["R1", "R2"]);
    expect(s.daySheets.map((sheet) => sheet.marginS)).toEqual([2.5, 0.5]);
    expect(s.anomalies).toEqual([]);
  });

  it("can be changed and ended in the merged session, with the runs of all days", () => {
    const j = twoDays();
    j.write(99_000, { type: "settings-changed", body: { marginS: 2 } });
    j.write(99_001, { type: "plan-end-announced", body: { rider: "R1", endRun: 9 } });
    const s = session(j);
    expect(s.settings?.marginS).toBe(2);
    expect(s.isMarginChanged).toBe(true);
    // The one who started on day 2, without a name, was the first of that day's sheet.
    expect(s.plannedEnds).toEqual([{ rider: "R1", endRun: 9, announcedAtRun: 1 }]);
    expect(s.runs.map((run) => run.rider)).toEqual(["R1", "R2"]);
  });

  it("takes the newest day's swaps, and the first's where it says nothing of one", () => {
    const j = new JournalWriter();
    const swap = (from: string, to: string, minutes: number) => ({
      from,
      to,
      minutes,
      place: null,
    });
    const made = (swaps: Body<"session-made">["swaps"]): void => {
      const [sheet] = new JournalWriter().made(handGates).entries;
      if (sheet?.type !== "session-made") throw new TypeError("session-made is first");
      j.write(0, { type: "session-made", body: { ...sheet.body, swaps } });
    };
    made([swap("A", "B", 12), swap("A", "C", 20)]);
    j.nextDay(90_000, () => {
      made([swap("A", "B", 4)]);
    });
    expect(session(j).swapCosts).toEqual([swap("A", "B", 4), swap("A", "C", 20)]);
  });

  it("is fixed and ended by the first day's runs, though another was ridden meanwhile", () => {
    const j = new JournalWriter().made(handGates);
    byHand(j, 100, 120);
    byHand(j, 4000, 120);
    j.write(4500, { type: "plan-end-announced", body: { rider: "R1", endRun: 9 } });
    const { plannedEnds } = session(j);
    expect(plannedEnds).toEqual([{ rider: "R1", endRun: 9, announcedAtRun: 2 }]);
    j.nextDay(1000, () => {
      j.made(handGates);
      byHand(j, 1100, 118);
      byHand(j, 1500, 118);
    });
    expect(session(j).plannedEnds).toEqual(plannedEnds);
  });

  it("gains a set-up that a later day, or the merged session, declares", () => {
    const j = twoDays();
    const c = { ...B, id: "C", name: "Other foam" };
    j.write(99_000, { type: "setup-added", body: c });
    j.write(99_001, {
      type: "setup-changed",
      body: { setup: "B", values: { rear_insert: "foam" } },
    });
    const { setups, anomalies } = session(j);
    expect(setups.map((setup) => setup.id)).toEqual(["A", "B", "C"]);
    expect(setups[1]?.values).toEqual({ rear_insert: "foam" });
    expect(anomalies).toEqual([]);
  });
});

describe("an earlier day mended in the merged session", () => {
  function twoDays(): { readonly j: JournalWriter; readonly first: number } {
    const j = new JournalWriter().made(handGates, [R1, R2]);
    const first = byHand(j, 100, 120);
    j.nextDay(90_000, () => {
      j.made(handGates, [R1, R2]);
      byHand(j, 90_100, 118);
    });
    return { j, first };
  }

  it("takes another rider, a set-up, a mark and a note for its run", () => {
    const { j, first } = twoDays();
    const run = String(first);
    j.write(99_000, { type: "rider-corrected", body: { run, rider: "R2" } });
    j.write(99_001, { type: "setup-corrected", body: { run, setup: "B" } });
    j.write(99_002, { type: "note-added", body: { run, note: "wrong names" } });
    const { runs, anomalies } = session(j);
    expect(runs[0]).toMatchObject({ day: 0, k: 1, rider: "R2", setup: "B", note: "wrong names" });
    expect(runs[1]).toMatchObject({ day: 1, k: 1, rider: "R1", setup: "A" });
    expect(anomalies).toEqual([]);
    j.mark(99_003, run, "dnf");
    expect(session(j).runs.map((r) => r.status)).toEqual(["dnf", "ok"]);
    expect(session(j).undo?.label).toBe("DNF for run 1 of R2 on day 1");
  });

  it("takes a passing struck out, by the day's own name for it", () => {
    const { j, first } = twoDays();
    const passing = `hand:${String(first)}`;
    j.write(99_000, { type: "passing-rejected", body: { passing, reason: null } });
    expect(session(j).runs.map((r) => r.day)).toEqual([1]);
    const finish = `hand:${String(first + 1)}`;
    j.write(99_001, { type: "runs-joined", body: { start: passing, finish } });
    expect(session(j).anomalies).toEqual([]);
  });

  it("takes the passings of its boxes, told by the day in their names", () => {
    const j = new JournalWriter().made(twoGates, [R1, R2]);
    j.event(S1, "B", 100, { seq: 1 });
    j.nextDay(90_000, () => {
      j.made(twoGates, [R1, R2]);
      j.event(S1, "B", 90_100, { seq: 1 });
    });
    const assigned = (passing: string, rider: string) =>
      j.write(99_000, { type: "passing-assigned", body: { passing, rider, run: null } });
    assigned("S1:0012:1", "R2");
    assigned("S1:0012:1@2", "R1");
    const { runs, passings } = session(j);
    expect(runs.map((r) => [r.day, r.rider])).toEqual([
      [0, "R2"],
      [1, "R1"],
    ]);
    expect(passings.map((p) => p.rider)).toEqual(["R2", "R1"]);
  });
});
