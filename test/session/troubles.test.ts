// What goes wrong at the gates, from the line to the run: restarts, gaps, blocked beams, walkers.
import { describe, expect, it } from "vitest";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import {
  ANCHOR_US,
  F1,
  JournalWriter,
  loopGates,
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

describe("a box restarts", () => {
  it("in the middle of a run: the run stands and is flagged", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 310).exchanges(F1, 1, 700);
    j.bike(S1, 300);
    // Its clock begins again at zero 340 s in.
    const again = { ...S1, boot: 19, aheadS: -340 };
    j.exchanges(again, 341, 700);
    j.bike(F1, 420);
    j.bike(again, 600);
    j.bike(F1, 720);
    const [first, second] = session(j).runs;
    expect(first?.flags).toEqual(["box S1 restarted during run"]);
    expect(first?.status).toBe("ok");
    expect(Math.abs((first?.timeS ?? 0) - 120)).toBeLessThan(0.002);
    expect(second?.flags).toEqual([]);
    expect(Math.abs((second?.timeS ?? 0) - 120)).toBeLessThan(0.002);
  });

  it("a start of the old boot without any exchange is unsure", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(F1, 1, 700);
    j.bike(S1, 300);
    j.exchanges({ ...S1, boot: 19, aheadS: -340 }, 341, 700);
    j.bike(F1, 420);
    expect(session(j).runs[0]?.status).toBe("unsure");
  });
});

describe("a gate in trouble", () => {
  it("blocked for long: no passing is made of it, runs meanwhile are flagged", () => {
    const j = new JournalWriter().made(loopGates);
    j.bike(S1, 10);
    j.event(S1, "B", 50);
    j.event(S1, "X", 50, { arrivedS: 60 });
    j.event(S1, "O", 80);
    j.bike(S1, 130);
    j.bike(S1, 400);
    j.bike(S1, 520);
    const s = session(j);
    expect(s.passings.map((p) => p.state)).toEqual([
      "matched",
      "not-a-bike",
      "matched",
      "matched",
      "matched",
    ]);
    expect(s.runs.map((r) => r.flags)).toEqual([["start gate blocked during run"], []]);
  });

  it("events overwritten in the box: runs over that time say so", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "B", 10, { seq: 1 });
    j.event(S1, "B", 130, { seq: 4 });
    const gone = { type: "gone" as const, box: "S1", boot: 18, fromSeq: 2, toSeq: 3 };
    j.line(131, gone);
    j.event(S1, "B", 400, { seq: 5 });
    j.event(S1, "B", 520, { seq: 6 });
    expect(session(j).runs.map((r) => r.flags)).toEqual([["events lost at the start gate"], []]);
  });

  it("a gap of numbers that are here after all is no gap", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "B", 10, { seq: 1 });
    j.event(S1, "B", 130, { seq: 2 });
    j.line(131, { type: "gone", box: "S1", boot: 18, fromSeq: 1, toSeq: 2 });
    expect(session(j).runs[0]?.flags).toEqual([]);
  });
});

describe("lines that say little", () => {
  it("an answer for a boot before the newest is not counted", () => {
    const j = new JournalWriter().made(loopGates);
    j.beam(S1, 10);
    j.exchanges({ ...S1, boot: 3 }, 11, 12, 1);
    expect(session(j).boxes[0]?.exchanges).toBe(0);
    expect(session(j).anomalies).toHaveLength(2);
  });

  it("a stored answer and a stored boot line tell that the box lives", () => {
    const j = new JournalWriter().made(loopGates);
    const t = { t1Us: hostUs(1), t2Us: boxUs(onBox(S1, 5)), t3Us: boxUs(onBox(S1, 5)) };
    j.line(5.01, { type: "reply", box: "S1", boot: S1.boot, token: "1", ...t });
    const boot = { oldestSeq: 1, nextSeq: 1, firmware: "1.0.0", resolutionNs: 500 };
    const nowUs = boxUs(onBox(S1, 6));
    j.line(6.01, { type: "boot", box: "S1", boot: S1.boot, role: "S", nowUs, ...boot });
    expect(session(j).boxes[0]).toMatchObject({ role: "S", boot: S1.boot, battMv: null });
  });

  it("a box heard on two runs of the laptop's clock without exchanges is placed where its line came in", () => {
    const j = new JournalWriter().made(loopGates);
    j.beam(S1, 10);
    j.host = "laptop-2";
    j.heartbeat(S1, 20);
    const before = session(j).passings[0]?.at;
    expect(before).toBe(ANCHOR_US + 10.01e6);
    j.beam(S1, 130);
    expect(session(j).passings).toHaveLength(2);
    expect(session(j).runs[0]?.timeS).toBe((onBox(S1, 130) - onBox(S1, 10)) / 1e6);
  });

  it("the newest events lost: until now, as far as anybody knows", () => {
    const j = new JournalWriter().made(threeGates);
    j.exchanges(S1, 1, 200).exchanges(F1, 1, 200).exchanges(P1, 1, 200);
    j.beam(S1, 10);
    j.event(P1, "B", 5, { seq: 1 });
    j.line(90, { type: "gone", box: "P1", boot: P1.boot, fromSeq: 2, toSeq: 4 });
    j.beam(F1, 130);
    expect(session(j).runs[0]?.flags).toEqual(["events lost at the split 1"]);
    expect(session(j).runs[0]?.sectorS).toEqual([null, null]);
  });
});

describe("a walker", () => {
  it("one long block is shown as not a bike, and can be promoted", () => {
    const j = new JournalWriter().made(loopGates);
    j.bike(S1, 10);
    j.bike(S1, 130, 2.4, 1);
    const s = session(j);
    expect(s.passings.map((p) => p.state)).toEqual(["matched", "not-a-bike"]);
    expect(s.passings[1]).toMatchObject({ blockedS: 2.400096, pulses: 1 });
    const { passingId } = s.passings[1] ?? { passingId: "" };
    const promoted = j.write(140, { type: "passing-promoted", body: { passing: passingId } });
    expect(session(j).runs[0]).toMatchObject({ status: "ok", flags: ["taken for a bike by hand"] });
    j.undo(141, promoted);
    expect(session(j).runs[0]?.status).toBe("on-course");
    j.write(142, { type: "passing-promoted", body: { passing: passingId } });
    j.write(143, { type: "passing-rejected", body: { passing: passingId, reason: "walker" } });
    expect(session(j).passings[1]?.state).toBe("rejected");
  });

  it("a passing that nobody has seen can't be promoted", () => {
    const j = new JournalWriter().made(loopGates);
    j.write(1, { type: "passing-promoted", body: { passing: "S1:0012:9" } });
    expect(session(j).anomalies).toEqual(["entry 5: no passing S1:0012:9 is known"]);
  });
});

describe("riders", () => {
  it("an overtaking leaves both runs unsure until the operator says they are right", () => {
    const j = new JournalWriter().made(twoGates, [R1, R2]);
    j.exchanges(S1, 1, 700).exchanges(F1, 1, 700);
    j.bike(S1, 300);
    j.bike(S1, 330);
    // Expected 130 s: 135 and 120 in the order of the starts, 150 and 105 the other way round.
    j.bike(F1, 435);
    j.bike(F1, 450);
    const s = session(j);
    expect(s.runs.map((r) => [r.rider, r.status])).toEqual([
      ["R1", "unsure"],
      ["R2", "unsure"],
    ]);
    const counted = j.mark(500, s.runs[0]?.runId ?? "", "ok");
    expect(session(j).runs.map((r) => r.status)).toEqual(["ok", "ok"]);
    j.undo(500, counted);
    expect(session(j).runs.map((r) => r.status)).toEqual(["unsure", "unsure"]);
    const second = s.passings.at(-1)?.passingId ?? "";
    const named = { passing: second, rider: "R2", run: null };
    j.write(501, { type: "passing-assigned", body: named });
    expect(session(j).runs.map((r) => r.status)).toEqual(["ok", "ok"]);
    expect(session(j).passings.at(-1)?.rider).toBe("R2");
  });

  it("a transponder names a start, and the run says what timed it", () => {
    const j = new JournalWriter().made(loopGates, [R1, R2]);
    j.event(S1, "T", 10, { tag: "B2" });
    j.event(S1, "T", 130, { tag: "B2" });
    const [run] = session(j).runs;
    expect(run).toMatchObject({ rider: "R2", timedBy: "transponder" });
    expect(run?.flags).toEqual(["start by transponder alone", "finish by transponder alone"]);
    expect(session(j).passings[0]).toMatchObject({ tag: "B2", rider: "R2", source: "transponder" });
  });

  it("the box's own button counts as hand timing", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "M", 10);
    j.event(S1, "M", 130);
    const [run] = session(j).runs;
    expect(run?.timedBy).toBe("hand");
    expect(run?.uncertaintyS).toBeCloseTo(Math.hypot(0.2, 0.2), 12);
  });

  it("a corrected rider takes the run along", () => {
    const j = new JournalWriter().made(loopGates, [R1, R2]);
    const start = j.bike(S1, 10);
    j.bike(S1, 130);
    j.write(200, { type: "rider-corrected", body: { run: String(start), rider: "R2" } });
    expect(session(j).runs.map((r) => [r.rider, r.k])).toEqual([["R2", 1]]);
    expect(session(j).nextStarter).toBe("R1");
  });

  it("the next start is who the operator says", () => {
    const j = new JournalWriter().made(loopGates, [R1, R2]);
    expect(session(j).nextStarter).toBe("R1");
    const next = { passing: null, rider: "R2", run: null };
    j.write(5, { type: "passing-assigned", body: next });
    expect(session(j).nextStarter).toBe("R2");
    j.bike(S1, 10);
    expect(session(j).runs[0]?.rider).toBe("R2");
    expect(session(j).nextStarter).toBe("R1");
  });
});

describe("the operator's mending", () => {
  it("joins a start and a finish, and parts them again by undo", () => {
    const j = new JournalWriter().made(loopGates);
    j.bike(S1, 10);
    j.bike(S1, 700);
    const [start, finish] = session(j).passings.map((p) => p.passingId);
    const joined = { start: start ?? "", finish: finish ?? "" };
    const seq = j.write(800, { type: "runs-joined", body: joined });
    expect(session(j).runs.map((r) => [r.status, Math.round(r.timeS ?? 0)])).toEqual([["ok", 690]]);
    j.undo(801, seq);
    expect(session(j).runs.map((r) => r.status)).toEqual(["on-course", "on-course"]);
  });

  it("parts a run into its start and its finish", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 200).exchanges(F1, 1, 200);
    const start = j.bike(S1, 10);
    j.bike(F1, 130);
    j.write(200, { type: "run-split", body: { run: String(start) } });
    const s = session(j);
    expect(s.runs.map((r) => r.status)).toEqual(["on-course"]);
    expect(s.passings.map((p) => p.state)).toEqual(["matched", "orphan"]);
  });

  it("puts a passing into a run", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 900).exchanges(F1, 1, 900);
    const start = j.bike(S1, 10);
    j.bike(F1, 700);
    const finish = session(j).passings[1]?.passingId ?? "";
    const body = { passing: finish, rider: null, run: String(start) };
    j.write(900, { type: "passing-assigned", body });
    expect(Math.round(session(j).runs[0]?.timeS ?? 0)).toBe(690);
    j.write(901, { type: "passing-assigned", body: { ...body, run: null } });
    expect(session(j).runs[0]?.timeS).toBeNull();
  });
});
