// The session as the fold gives it: times, k, statuses, set-ups, undo, what boxes and ports say.
import { describe, expect, it } from "vitest";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import { rebuildReceiver, receive } from "../../src/protocol/receiver.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { heldOf } from "../../src/session/held.ts";
import type { Session } from "../../src/session/session.ts";
import {
  ANCHOR_US,
  F1,
  handGates,
  JournalWriter,
  loopGates,
  madeBody,
  onBox,
  P1,
  R1,
  R2,
  S1,
  threeGates,
  twoGates,
} from "./a-journal.ts";

function session(journal: JournalWriter): Session {
  return sessionOf(extendFold(emptyFold(), journal.entries));
}

function brief(s: Session) {
  return s.runs.map((r) => ({ runId: r.runId, k: r.k, status: r.status, timeS: r.timeS }));
}

describe("times", () => {
  it("a run between two boxes is timed on the common clock, within its uncertainty", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 700).exchanges(F1, 1, 700);
    j.bike(S1, 300.5);
    j.bike(F1, 420.75);
    const [run] = session(j).runs;
    expect(run?.status).toBe("ok");
    expect(run?.timedBy).toBe("beam");
    expect(Math.abs((run?.timeS ?? 0) - 120.25)).toBeLessThan(0.0005);
    expect(run?.uncertaintyS).toBeGreaterThan(0.0003);
    expect(run?.uncertaintyS).toBeLessThan(0.002);
  });

  it("a better time may still come until the exchanges reach half a window beyond", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 430).exchanges(F1, 1, 430);
    j.bike(S1, 300.5);
    j.bike(F1, 420.75);
    expect(session(j).runs[0]?.provisional).toBe(true);
    j.exchanges(S1, 435, 730).exchanges(F1, 435, 730);
    expect(session(j).runs[0]?.provisional).toBe(false);
  });

  it("within one box the box's own clock alone counts, to the microsecond", () => {
    const j = new JournalWriter().made(loopGates);
    j.bike(S1, 10);
    j.bike(S1, 130.25);
    const [run] = session(j).runs;
    expect(run?.timeS).toBe((onBox(S1, 130.25) - onBox(S1, 10)) / 1e6);
    expect(run?.status).toBe("ok");
    expect(run?.provisional).toBe(false);
    expect(run?.uncertaintyS).toBeLessThan(0.001);
  });

  it("between two boxes without an exchange the run is unsure and says why", () => {
    const j = new JournalWriter().made(twoGates);
    j.bike(S1, 10);
    j.bike(F1, 130);
    const [run] = session(j).runs;
    expect(run?.status).toBe("unsure");
    expect(run?.flags).toContain("clock of box S1 not known");
    expect(Math.abs((run?.timeS ?? 0) - 120)).toBeLessThan(0.1);
  });

  it("hand timing has 0.2 s at each end and sectors that add up", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 10);
    j.key(1, 70.5);
    j.key(2, 140);
    const [run] = session(j).runs;
    expect(run?.timeS).toBe(130);
    expect(run?.sectorS).toEqual([60.5, 69.5]);
    expect(run?.timedBy).toBe("hand");
    expect(run?.uncertaintyS).toBeCloseTo(Math.hypot(0.2, 0.2), 12);
    expect(run?.startedAt).toBe(ANCHOR_US + 10e6);
  });

  it("a passing typed in with its time of day stands where it was typed", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 10);
    const typedAtUs = ANCHOR_US + 131_500_000;
    const body = { gate: 2, keyedMonoUs: null, typedAtUs, rider: null, uncertaintyS: 0.5 };
    j.write(400, { type: "passing-keyed", body });
    const [run] = session(j).runs;
    expect(run?.timeS).toBe(121.5);
    expect(run?.sectorS).toEqual([null, null]);
    expect(run?.uncertaintyS).toBeCloseTo(Math.hypot(0.2, 0.5), 12);
  });

  it("a missed split keyed by hand fills the sectors of a beam-timed run", () => {
    const j = new JournalWriter().made(threeGates);
    j.exchanges(S1, 1, 700).exchanges(F1, 1, 700);
    j.bike(S1, 300);
    j.key(1, 350);
    j.bike(F1, 420);
    const [run] = session(j).runs;
    expect(run?.timedBy).toBe("beam");
    expect(run?.sectorS.map((s) => Math.round((s ?? 0) * 1000))).toEqual([50000, 70000]);
  });

  it("after a laptop reboot boxes are still compared on one run of its clock", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 310).exchanges(F1, 1, 310);
    j.bike(S1, 300);
    // The laptop comes back, its monotonic clock at zero again and its wall clock 7 s wrong.
    j.host = "laptop-2";
    j.anchorUs = ANCHOR_US + 7e6 + 350e6;
    const shifted = (box: typeof S1) => ({
      ...box,
      aheadS: box.aheadS + 350 * (1 + box.ppm / 1e6),
    });
    j.exchanges(shifted(S1), 1, 500).exchanges(shifted(F1), 1, 500);
    j.event(shifted(F1), "B", 420 - 350);
    const [run] = session(j).runs;
    expect(run?.status).toBe("ok");
    expect(Math.abs((run?.timeS ?? 0) - 120)).toBeLessThan(0.002);
  });
});

describe("k and statuses", () => {
  function threeRuns() {
    const j = new JournalWriter().made(handGates);
    const starts = [100, 400, 700].map((t) => {
      const seq = j.key(0, t);
      j.key(2, t + 120 + t / 1000);
      return seq;
    });
    return { j, starts };
  }

  it("k = 1 is the first run that is not a warm-up; every later run takes the next", () => {
    const { j, starts } = threeRuns();
    expect(brief(session(j)).map((r) => r.k)).toEqual([1, 2, 3]);
    j.mark(1000, starts[0] ?? 0, "warm-up");
    expect(brief(session(j)).map((r) => [r.k, r.status])).toEqual([
      [null, "warm-up"],
      [1, "ok"],
      [2, "ok"],
    ]);
    j.mark(1001, starts[1] ?? 0, "void");
    j.mark(1002, starts[2] ?? 0, "warm-up");
    expect(brief(session(j)).map((r) => [r.k, r.status])).toEqual([
      [null, "warm-up"],
      [1, "void"],
      [2, "warm-up"],
    ]);
  });

  it("a DNF has no time and keeps its k", () => {
    const { j, starts } = threeRuns();
    j.mark(1000, starts[1] ?? 0, "dnf");
    const run = session(j).runs[1];
    expect(run).toMatchObject({ k: 2, status: "dnf", timeS: null, reason: "test" });
  });

  it("a run voided while its rider is out stays on course until the rider is off it", () => {
    const j = new JournalWriter().made(handGates);
    const start = j.key(0, 100);
    j.mark(110, start, "void");
    expect(session(j).runs[0]?.status).toBe("on-course");
    j.key(2, 220);
    expect(session(j).runs[0]).toMatchObject({ status: "void", timeS: 120, reason: "test" });
  });

  it("a voided start that nobody comes down on is off the course when the rider starts again", () => {
    const j = new JournalWriter().made(handGates);
    j.mark(110, j.key(0, 100), "void");
    j.key(0, 300);
    expect(session(j).runs.map((r) => r.status)).toEqual(["void", "on-course"]);
  });

  it("each rider has k of their own", () => {
    const j = new JournalWriter().made(handGates, [R1, R2]);
    for (const [t, rider] of [
      [100, "R1"],
      [400, "R2"],
      [700, "R1"],
    ] as const) {
      j.key(0, t, rider);
      j.key(2, t + 120, rider);
    }
    expect(session(j).runs.map((r) => [r.rider, r.k])).toEqual([
      ["R1", 1],
      ["R2", 1],
      ["R1", 2],
    ]);
  });

  it("counting a run that counts anyway is remembered as an answer, until it is struck out", () => {
    const { j, starts } = threeRuns();
    const isMarkedOk = (): boolean | undefined => session(j).runs[1]?.isMarkedOk;
    expect(isMarkedOk()).toBe(false);
    j.mark(1000, starts[1] ?? 0, "ok");
    expect([session(j).runs[1]?.status, isMarkedOk()]).toEqual(["ok", true]);
    j.mark(1001, starts[1] ?? 0, "void");
    expect(isMarkedOk()).toBe(false);
    j.mark(1002, starts[1] ?? 0, "ok");
    expect([session(j).runs[1]?.status, isMarkedOk()]).toEqual(["ok", false]);
  });

  it("void then un-void changes nothing", () => {
    const { j, starts } = threeRuns();
    const before = session(j).runs;
    j.mark(1000, starts[1] ?? 0, "void");
    expect(session(j).runs[1]?.status).toBe("void");
    j.mark(1001, starts[1] ?? 0, "ok");
    expect(session(j).runs).toEqual(before);
  });

  it("a struck-out sector stays with the run; all of them strike out the run", () => {
    const j = new JournalWriter().made(handGates);
    const seq = j.key(0, 100);
    j.key(1, 150);
    j.key(2, 220);
    j.mark(300, seq, "void", [2]);
    expect(session(j).runs[0]).toMatchObject({ status: "ok", voidSectors: [2] });
    j.mark(301, seq, "void");
    j.mark(302, seq, "ok");
    expect(session(j).runs[0]).toMatchObject({ status: "ok", voidSectors: [2] });
    j.mark(303, seq, "void", [1]);
    expect(session(j).runs[0]).toMatchObject({ status: "void", voidSectors: [1, 2] });
  });

  it("a struck-out sector strikes out the run where there are no splits", () => {
    const j = new JournalWriter().made(loopGates);
    const seq = j.beam(S1, 10);
    j.beam(S1, 130);
    j.mark(300, seq, "void", [1]);
    expect(session(j).runs[0]?.status).toBe("void");
  });

  it("imported rows follow what was there, in their order, and runs after the import follow them", () => {
    const { j } = threeRuns();
    const row = {
      rider: "R1",
      setup: "B",
      status: "ok" as const,
      timeS: 119.5,
      uncertaintyS: null,
      sectorS: [null, null],
      startedAtUs: null,
      reason: null,
    };
    const rows = [row, { ...row, status: "dnf" as const, timeS: null }, { ...row, timeS: 118 }];
    const seq = j.write(1000, { type: "times-imported", body: { file: "t.csv", rows } });
    j.key(0, 1100);
    j.key(2, 1220);
    const s = session(j);
    expect(s.runs.map((r) => r.k)).toEqual([1, 2, 3, 4, 5, 6, 7]);
    expect(s.runs.slice(3, 6).map((r) => [r.runId, r.status, r.timeS, r.setup])).toEqual([
      [`${String(seq)}.1`, "ok", 119.5, "B"],
      [`${String(seq)}.2`, "dnf", null, "B"],
      [`${String(seq)}.3`, "ok", 118, "B"],
    ]);
    expect(s.runs[3]?.timedBy).toBe("import");
  });
});

describe("set-ups", () => {
  it("a run carries the set-up that was on the bike at its start", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    const swapped = { rider: "R1", setup: "B", minutes: 4, checked: true };
    j.write(150, { type: "setup-swapped", body: swapped });
    j.key(2, 220);
    const second = j.key(0, 400);
    j.key(2, 520);
    const s = session(j);
    expect(s.runs.map((r) => r.setup)).toEqual(["A", "B"]);
    expect(s.mounted).toEqual({ R1: "B" });
    expect(s.swaps[0]).toMatchObject({ fromSetup: "A", toSetup: "B", minutes: 4, isChecked: true });
    j.write(600, { type: "setup-corrected", body: { run: String(second), setup: "A" } });
    expect(session(j).runs.map((r) => r.setup)).toEqual(["A", "A"]);
  });

  it("before any swap the baseline is mounted, whatever the plan begins with", () => {
    const j = new JournalWriter().made(handGates);
    j.write(1, {
      type: "plan-fixed",
      body: {
        setups: ["A", "B"],
        riders: [{ rider: "R1", plannedRuns: 12, order: ["B", "A"], nuN: 9, z2N: {} }],
        seed: 7,
      },
    });
    j.key(0, 100);
    expect(session(j).runs[0]?.setup).toBe("A");
  });
});

describe("undo", () => {
  it("takes back the newest decision, and redo brings it in again", () => {
    const j = new JournalWriter().made(handGates);
    const run = j.key(0, 100);
    j.key(2, 220);
    const before = session(j);
    const marked = j.mark(300, run, "void");
    expect(session(j).undo).toEqual({ seq: marked, label: "void run 1" });
    const undone = j.undo(301, marked);
    expect(session(j).runs).toEqual(before.runs);
    expect(session(j).redo).toEqual({ seq: undone, label: "void run 1" });
    j.undo(302, undone);
    expect(session(j).runs[0]?.status).toBe("void");
    expect(session(j).undo).toEqual({ seq: marked, label: "void run 1" });
    expect(session(j).redo).toBeNull();
  });

  it("redo is gone once something new was decided", () => {
    const j = new JournalWriter().made(handGates);
    const run = j.key(0, 100);
    j.undo(302, j.mark(300, run, "warm-up"));
    expect(session(j).redo).not.toBeNull();
    j.mark(303, run, "dnf");
    expect(session(j).redo).toBeNull();
  });

  it("a keyed passing can be taken back, a line can't", () => {
    const j = new JournalWriter().made(loopGates);
    const line = j.beam(S1, 10);
    const key = j.key(1, 130);
    j.undo(200, key);
    expect(session(j).runs[0]?.status).toBe("on-course");
    j.undo(201, line);
    expect(session(j).runs).toHaveLength(1);
    expect(session(j).anomalies.join()).toContain("can't be");
  });
});

describe("the plan", () => {
  const plan = {
    setups: ["A", "B"],
    riders: [{ rider: "R1", plannedRuns: 12, order: ["A", "B"], nuN: 9, z2N: {} }],
    seed: 7,
  };

  it("fixed before run 1 it counts, after that it does not", () => {
    const j = new JournalWriter().made(handGates);
    j.write(1, { type: "plan-fixed", body: plan });
    j.key(0, 100);
    j.write(150, { type: "plan-fixed", body: { ...plan, seed: 8 } });
    const s = session(j);
    expect(s.plan?.seed).toBe(7);
    expect(s.anomalies.join()).toContain("after run 1 had started");
  });

  it("warm-up runs do not fix it", () => {
    const j = new JournalWriter().made(handGates);
    const warm = j.key(0, 100);
    j.mark(101, warm, "warm-up");
    j.key(2, 220);
    j.write(230, { type: "plan-fixed", body: plan });
    expect(session(j).plan?.seed).toBe(7);
  });

  it("an earlier end counts once, two counted runs ahead or more", () => {
    const j = new JournalWriter().made(handGates);
    for (let i = 0; i < 4; i += 1) {
      j.key(0, 100 + 300 * i);
      j.key(2, 220 + 300 * i);
    }
    j.write(1300, { type: "plan-end-announced", body: { rider: "R1", endRun: 5 } });
    expect(session(j).plannedEnds).toEqual([]);
    j.write(1301, { type: "plan-end-announced", body: { rider: "R1", endRun: 8 } });
    j.write(1302, { type: "plan-end-announced", body: { rider: "R1", endRun: 7 } });
    const s = session(j);
    expect(s.plannedEnds).toEqual([{ rider: "R1", endRun: 8, announcedAtRun: 4 }]);
    expect(s.anomalies).toHaveLength(2);
  });

  it("the margin counts as changed only after run 1 had started", () => {
    const j = new JournalWriter().made(handGates);
    j.write(50, { type: "settings-changed", body: { marginS: 1 } });
    j.key(0, 100);
    expect(session(j).isMarginChanged).toBe(false);
    j.write(150, { type: "settings-changed", body: { marginS: 1 } });
    expect(session(j).isMarginChanged).toBe(false);
    j.write(151, { type: "settings-changed", body: { marginS: 2 } });
    expect(session(j).isMarginChanged).toBe(true);
    expect(session(j).settings?.marginS).toBe(2);
  });
});

describe("boxes and ports", () => {
  it("says what it knows of every box of the sheet, heard or not", () => {
    const j = new JournalWriter().made(threeGates);
    j.heartbeat(S1, 5);
    j.event(F1, "X", 6);
    j.exchanges(S1, 7, 9, 1);
    const [s, p, f] = session(j).boxes;
    expect(s).toMatchObject({ box: "S1", boot: 18, battMv: 3700, beamPct: 97, exchanges: 3 });
    expect(s?.lastHeardAt).toBe(ANCHOR_US + 9_004_000);
    expect(p).toMatchObject({ box: "P1", boot: null, lastHeardAt: null });
    expect(f).toMatchObject({ box: "F1", isBlocked: true });
    j.event(F1, "O", 20);
    expect(session(j).boxes[2]?.isBlocked).toBe(false);
    j.heartbeat({ ...S1, boot: 19, aheadS: 0 }, 30);
    expect(session(j).boxes[0]).toMatchObject({ boot: 19, restarts: 1, exchanges: 0 });
  });

  it("follows ports, and a stopped recorder leaves none open", () => {
    const j = new JournalWriter().made(twoGates);
    j.write(1, { type: "recorder-started", body: { ports: ["/dev/a", "/dev/b"], pid: 7 } });
    j.write(2, { type: "port-opened", body: { port: "/dev/a" } });
    j.write(3, { type: "port-lost", body: { port: "/dev/b", reason: "not there" } });
    expect(session(j).ports.map((p) => [p.port, p.isOpen, p.reason])).toEqual([
      ["/dev/a", true, null],
      ["/dev/b", false, "not there"],
    ]);
    j.write(4, { type: "recorder-stopped", body: { reason: "done" } });
    expect(session(j).ports.some((p) => p.isOpen)).toBe(false);
  });

  it("counts unreadable lines and keeps the newest twenty", () => {
    const j = new JournalWriter().made(twoGates);
    for (let i = 0; i < 25; i += 1) {
      const body = { port: "/dev/a", raw: "x", decoded: null, fault: `noise ${String(i)}` };
      j.write(i, { type: "line-received", body });
    }
    const { faults } = session(j);
    expect(faults.unreadable).toBe(25);
    expect(faults.recent).toHaveLength(20);
    expect(faults.recent.at(-1)?.text).toBe("noise 24");
  });

  it("a resent event counts as a duplicate, another one under its number as an anomaly", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "B", 10, { seq: 1 });
    j.event(S1, "B", 10, { seq: 1, arrivedS: 12 });
    expect(session(j).faults.duplicates).toBe(1);
    expect(session(j).passings).toHaveLength(1);
    j.event(S1, "B", 90, { seq: 1 });
    expect(session(j).passings).toHaveLength(1);
    expect(session(j).anomalies.join()).toContain("two different events");
  });

  it("a lower boot that was never heard is not counted", () => {
    const j = new JournalWriter().made(loopGates);
    j.beam(S1, 10);
    j.beam({ ...S1, boot: 4 }, 130);
    expect(session(j).passings).toHaveLength(1);
    expect(session(j).anomalies.join()).toContain("boot 0004");
  });

  it("hands a restarted recorder every event, and what each boot said first and last", () => {
    const j = new JournalWriter().made(twoGates);
    j.heartbeat(S1, 1);
    j.heartbeat(S1, 3);
    j.beam(S1, 10);
    j.heartbeat(S1, 12, 2);
    const held = heldOf(extendFold(emptyFold(), j.entries));
    expect(held.map((h) => h.message.type)).toEqual(["heartbeat", "event", "heartbeat"]);
    expect(held.at(-1)?.message).toMatchObject({ nextSeq: 2 });
  });

  it("a recorder that ended right after a passing, before the next heartbeat, still takes that box", () => {
    const j = new JournalWriter().made(twoGates);
    j.heartbeat(S1, 1);
    j.heartbeat(S1, 3);
    j.beam(S1, 123);
    const held = heldOf(extendFold(emptyFold(), j.entries));
    expect(held.map((h) => h.message.type)).toEqual(["heartbeat", "heartbeat", "event"]);
    const restarted = rebuildReceiver(held);
    const last = held.at(-1)?.message;
    if (last?.type !== "event") throw new Error("the beam comes last");
    const next = { ...last, seq: last.seq + 1, atUs: boxUs(last.atUs + 60e6) };
    const receipt = receive(restarted, "/dev/gates", next, hostUs(200e6));
    expect(receipt).toMatchObject({ fresh: true, refused: false, notices: [] });
  });
});

describe("what people note", () => {
  it("keeps incidents, ratings, measures and notes with their runs", () => {
    const j = new JournalWriter().made(handGates);
    const run = String(j.key(0, 100));
    const incident = { run, sector: 2, kind: "dab" as const, note: null };
    j.write(110, { type: "incident-noted", body: incident });
    j.write(111, { type: "rating-given", body: { run, aspect: "grip", score: 3 } });
    j.write(112, { type: "rating-given", body: { run, aspect: "grip", score: 7 } });
    const measure = { run, rider: null, setup: null, key: "rear_pressure_bar", value: 1.6 };
    j.write(113, { type: "measure-taken", body: { ...measure, unit: "bar" } });
    j.write(114, { type: "note-added", body: { run, note: "wind" } });
    j.write(115, { type: "condition-marked", body: { note: "rain", isStep: false } });
    const s = session(j);
    expect(s.incidents).toEqual([{ entrySeq: 6, runId: run, sector: 2, kind: "dab", note: null }]);
    expect(s.ratings).toEqual([{ runId: run, aspect: "grip", score: 7 }]);
    expect(s.measures[0]).toMatchObject({ runId: run, value: 1.6, unit: "bar" });
    expect(s.notes.map((n) => [n.kind, n.text])).toEqual([
      ["note", "wind"],
      ["conditions", "rain"],
    ]);
    expect(s.runs[0]?.note).toBe("wind");
  });

  it("holds and opens the course, closes and reopens the session", () => {
    const j = new JournalWriter().made(handGates);
    j.write(1, { type: "course-held", body: { reason: "walker" } });
    expect(session(j).heldBecause).toBe("walker");
    j.write(2, { type: "course-opened", body: {} });
    expect(session(j).heldBecause).toBeNull();
    j.write(3, { type: "session-closed", body: {} });
    expect(session(j).isClosed).toBe(true);
    j.write(4, { type: "session-reopened", body: {} });
    expect(session(j).isClosed).toBe(false);
  });

  it("what is about a run that is not there becomes an anomaly", () => {
    const j = new JournalWriter().made(handGates);
    j.mark(1, "999", "void");
    expect(session(j).anomalies.join()).toContain("run 999, which isn't there");
  });
});

describe("days", () => {
  it("k starts again on each day of a merged session", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    j.key(2, 220);
    const merged = { day: 1, name: "", date: "2026-05-10", host: "laptop-1", entries: 2 };
    j.write(90_000, { type: "session-merged", body: merged });
    j.key(0, 90_100);
    j.key(2, 90_215);
    expect(session(j).runs.map((r) => [r.day, r.k, r.timeS])).toEqual([
      [0, 1, 120],
      [1, 1, 115],
    ]);
  });

  it("events from before the session are kept and not matched", () => {
    const j = new JournalWriter();
    j.write(50, {
      type: "session-made",
      body: madeBody(settingsOf(), loopGates),
    });
    j.write(50, {
      type: "rider-added",
      body: { ...R1, newTo: [], setups: null, plannedRuns: null },
    });
    j.beam(S1, 20, 60);
    j.heartbeat(S1, 60);
    j.beam(S1, 100);
    const s = session(j);
    expect(s.passings.map((p) => p.state)).toEqual(["old", "matched"]);
    expect(s.runs).toHaveLength(1);
  });
});

function settingsOf() {
  const [first] = new JournalWriter().made(loopGates).entries;
  if (first?.type !== "session-made") throw new TypeError("session-made is first");
  return first.body.settings;
}

it("a passing of a box that is not on the sheet is shown, not matched", () => {
  const j = new JournalWriter().made(twoGates);
  j.beam(P1, 10);
  expect(session(j).passings[0]).toMatchObject({ state: "orphan", gate: null, box: "P1" });
});
