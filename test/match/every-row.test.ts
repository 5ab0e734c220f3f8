// Each rule of matching passings to runs, one test a rule, from the line of the box to the run.
import { describe, expect, it } from "vitest";
import { sessionUs } from "../../src/domain/time.ts";
import { parseLine } from "../../src/protocol/parse-box-line.ts";
import { receive, receiverStart } from "../../src/protocol/receiver.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import {
  F1,
  JournalWriter,
  loopGates,
  madeBody,
  onBox,
  P1,
  R1,
  R2,
  S1,
  type SimBox,
  settings,
  threeGates,
  twoGates,
} from "../session/a-journal.ts";
import { at, match, states, tag, told, undecided } from "./some-detections.ts";

const two = { riders: ["R1", "R2"] };
const us = (seconds: number) => sessionUs(seconds * 1e6);
const session = (j: JournalWriter): Session => sessionOf(extendFold(emptyFold(), j.entries));
const flags = (j: JournalWriter) => session(j).runs.map((run) => run.flags);
const seconds = (j: JournalWriter) =>
  session(j).runs.map((run) => (run.timeS === null ? null : Math.round(run.timeS)));

/** Start and finish boxes with their clocks known up to an instant. */
function gates(untilS: number, riders = [R1]): JournalWriter {
  const j = new JournalWriter().made(twoGates, riders);
  return j.exchanges(S1, 1, untilS).exchanges(F1, 1, untilS);
}

describe("one rider, no transponders", () => {
  it("the finish takes the latest open start with a plausible travel time", () => {
    expect(told([at(0, 10), at(0, 200), at(2, 330)])).toEqual([
      ["R1", 10, null, null],
      ["R1", 200, null, 330],
    ]);
    // 40 s after the later start only the earlier one is plausible.
    expect(told([at(0, 10), at(0, 100), at(2, 140)])[0]).toEqual(["R1", 10, null, 140]);
  });

  it("plausible is half the best to three times the median of the runs that started before it, the sheet's limits until there are three", () => {
    const before = [0, 1000, 2000].flatMap((t) => [at(0, t), at(2, t + 100)]);
    for (const [travelS, isRun] of [
      [49, false],
      [51, true],
      [299, true],
      [301, false],
    ] as const) {
      const isFinished = match([...before, at(0, 5000), at(2, 5000 + travelS)]).runs[3]?.isFinished;
      expect(isFinished, String(travelS)).toBe(isRun);
    }
    // With two before it the sheet's 65 to 390 s hold.
    expect(match([...before.slice(2), at(0, 5000), at(2, 5060)]).runs[2]?.isFinished).toBe(false);
  });

  it("an older open start less than the least travel time before a later one is a false start without k", () => {
    const j = gates(300);
    j.bike(S1, 10);
    j.bike(S1, 40);
    j.bike(F1, 170);
    expect(session(j).runs.map((run) => [run.k, Math.round(run.timeS ?? 0)])).toEqual([[1, 130]]);
    expect(session(j).passings[0]?.state).toBe("false-start");
  });

  it("any other older open start stays on course, shown DNF?, and keeps its k", () => {
    const j = gates(700);
    j.bike(S1, 10);
    j.bike(S1, 200);
    j.bike(F1, 330);
    expect(session(j).runs.map((run) => [run.k, run.status])).toEqual([
      [1, "on-course"],
      [2, "ok"],
    ]);
    expect(flags(j)[0]).toEqual(["DNF? started again"]);
  });
});

describe("several on course, no transponders", () => {
  it("first in, first out", () => {
    const seen = [at(0, 0), at(0, 60), at(2, 130), at(2, 190)];
    expect(told(seen, two)).toEqual([
      ["R1", 0, null, 130],
      ["R2", 60, null, 190],
    ]);
  });

  it("an overtaking possible: first in first out, both unsure and left out until confirmed", () => {
    const j = gates(800, [R1, R2]);
    j.bike(S1, 300);
    j.bike(S1, 330);
    j.bike(F1, 435);
    j.bike(F1, 450);
    expect(session(j).runs.map((run) => run.status)).toEqual(["unsure", "unsure"]);
    expect(flags(j)).toEqual([["two starts possible"], ["two starts possible"]]);
    j.mark(500, session(j).runs[1]?.runId ?? "", "ok");
    expect(session(j).runs.map((run) => run.status)).toEqual(["ok", "ok"]);
  });

  it("an overtaking that would take one rider much quicker than usual is not asked about", () => {
    const seen = [at(0, 0), at(0, 30), at(2, 130), at(2, 162)];
    const known = { ...two, expectedS: 130 };
    expect(match(seen, known).runs.map((run) => run.isAmbiguous)).toEqual([false, false]);
    // Nothing known of how long they need: asked.
    expect(match(seen, two).runs.map((run) => run.isAmbiguous)).toEqual([true, true]);
  });

  it("while the other is out it is asked about where it may be the other's finish", () => {
    // 190 s is late for the first start and just right for the second.
    const seen = [at(0, 0), at(0, 60), at(2, 190)];
    const { runs } = match(seen, { ...two, expectedS: 130 });
    expect(runs.map((run) => [run.isFinished, run.isAmbiguous])).toEqual([
      [true, true],
      [false, true],
    ]);
    // The other is off the course without a finish: then it was the first one's.
    const second = String(seen[1]?.entrySeq);
    const decisions = { ...undecided, offCourse: new Map([[second, us(400)]]) };
    const then = match(seen, { ...two, expectedS: 130, decisions }).runs;
    expect(then.map((run) => run.isAmbiguous)).toEqual([false, false]);
  });

  /** Three runs of each rider alone, split at 50 s, finish at 130 s. */
  const alone = Array.from({ length: 6 }, (_, i) => i * 1000).flatMap((t) => [
    at(0, t),
    at(1, t + 50),
    at(2, t + 130),
  ]);

  it("the order at the last split counts, not that of the starts", () => {
    // The first has stopped above the split: the second is seen there in time, and in front.
    const seen = [...alone, at(0, 9000), at(0, 9060), at(1, 9110), at(1, 9150), at(2, 9190)];
    const runs = told([...seen, at(2, 9230)], two).slice(-2);
    expect(runs).toEqual([
      ["R1", 9000, 9150, 9230],
      ["R2", 9060, 9110, 9190],
    ]);
  });

  it("a split that a beam missed of the first is the second's", () => {
    const seen = [...alone, at(0, 9000), at(0, 9060), at(1, 9110), at(2, 9130), at(2, 9190)];
    expect(told(seen, two).slice(-2)).toEqual([
      ["R1", 9000, null, 9130],
      ["R2", 9060, 9110, 9190],
    ]);
    expect(match(seen, two).runs.some((run) => run.isAmbiguous)).toBe(false);
  });

  it("a split that may be of two runs says so on both", () => {
    // 4 s apart, and a split that takes 100 s.
    const long = alone.map((p) => (p.gates[0] === 1 ? { ...p, at: sessionUs(p.at + 5e7) } : p));
    const seen = [...long, at(0, 9000), at(0, 9004), at(1, 9101), at(1, 9105)];
    const said = match(seen, two).runs.slice(-2);
    expect(said.map((run) => run.flags)).toEqual([
      ["two starts possible", "split 1: two runs possible"],
      ["two starts possible", "split 1: two runs possible"],
    ]);
  });
});

describe("transponders", () => {
  it("the same one at both gates wins over first in, first out", () => {
    const seen = [at(0, 0), tag(0, 0.4, "R1"), at(0, 30), tag(0, 30.4, "R2")];
    seen.push(at(2, 110), tag(2, 110.3, "R2"), at(2, 130), tag(2, 129.5, "R1"));
    const { runs } = match(seen, { ...two, expectedS: 130 });
    expect(told(seen, two)).toEqual([
      ["R1", 0, null, 130],
      ["R2", 30, null, 110],
    ]);
    expect(runs.map((run) => run.isAmbiguous)).toEqual([false, false]);
  });

  it("within 2 s of a broken beam it names that passing, and the beam gives the time", () => {
    for (const [away, count] of [
      [1.9, 1],
      [-1.9, 1],
      // From there to 3 s it is a second trip of the same passing, and names it too.
      [2.9, 1],
      [3.1, 2],
    ] as const) {
      const seen = [at(0, 10), tag(0, 10 + away, "R2")];
      const runs = told(seen, two);
      expect([away, runs.length, runs[0]?.[1]]).toEqual([away, count, 10]);
    }
  });

  it("two riders a second apart: each beam gets the nearest transponder", () => {
    const seen = [at(0, 10), at(0, 11), tag(0, 10.6, "R1"), tag(0, 11.1, "R2")];
    expect(told(seen, two).map((run) => run.slice(0, 2))).toEqual([
      ["R1", 10],
      ["R2", 11],
    ]);
  });

  it("without a broken beam it is a passing of its own, and the run says so", () => {
    const j = new JournalWriter().made(loopGates, [R1, R2]);
    j.event(S1, "T", 10, { tag: "B2" });
    j.bike(S1, 130);
    expect(session(j).runs).toMatchObject([{ rider: "R2", timedBy: "transponder" }]);
    expect(flags(j)[0]).toEqual(["start by transponder alone"]);
  });

  it("one that nobody on the sheet has is said, not dropped, and starts nobody by itself", () => {
    const j = new JournalWriter().made(loopGates, [R1, R2]);
    j.bike(S1, 10);
    j.event(S1, "T", 10.5, { tag: "C3" });
    j.event(S1, "T", 60, { tag: "C3" });
    j.bike(S1, 140);
    expect(flags(j)).toEqual([["unknown transponder C3 at the start"]]);
    expect(session(j).passings.map((p) => p.state)).toEqual([
      "matched",
      "double",
      "orphan",
      "matched",
    ]);
  });
});

describe("a transponder on a part", () => {
  it("names nobody, starts nobody by itself, and is no stranger's", () => {
    const j = new JournalWriter();
    const wheels = { id: "W1", name: "Wheels", kind: "wheelset", setups: ["B"], tag: "C3" };
    const standards = { axle: null, rotor: null, freehub: null };
    const made = madeBody(settings, loopGates);
    const parts = [{ ...wheels, standards }];
    j.write(0, { type: "session-made", body: { ...made, gear: { ...made.gear, parts } } });
    const rider = { ...R1, newTo: [], setups: null, plannedRuns: null };
    j.write(0, { type: "rider-added", body: rider });
    j.bike(S1, 10);
    j.event(S1, "T", 10.5, { tag: "C3" });
    j.event(S1, "T", 60, { tag: "C3" });
    j.bike(S1, 140);
    expect(flags(j)).toEqual([[]]);
    expect(session(j).passings[2]?.state).toBe("orphan");
  });
});

describe("missed", () => {
  it("start: the finish is listed without one, and a start put in by hand makes the run", () => {
    const j = gates(300);
    j.bike(F1, 140);
    expect(session(j).passings.map((p) => p.state)).toEqual(["orphan"]);
    j.key(0, 10);
    const [run] = session(j).runs;
    expect(run).toMatchObject({ status: "ok", timedBy: "hand" });
    expect(run?.uncertaintyS).toBeCloseTo(0.2, 3);
  });

  it("finish: a start older than the longest travel time is DNF?, a later start of the rider closes it", () => {
    expect(match([at(0, 10)], { now: us(401) }).runs[0]?.flags).toEqual([
      "DNF? out longer than a run can take",
    ]);
    const seen = [at(0, 10), at(0, 500), at(2, 630), at(2, 700)];
    expect(match(seen).runs[0]).toMatchObject({ isFinished: false, isDoubtful: true });
    expect(states(seen)[3]).toBe("orphan");
  });
});

describe("what is not a bike, or not another one", () => {
  it("a second trip of the same gate within 3 s is merged, the first edge counts, and it says so", () => {
    const seen = [at(0, 10), at(0, 12.9), at(2, 140)];
    expect(told(seen)).toEqual([["R1", 10, null, 140]]);
    expect(match(seen).runs[0]?.flags).toEqual(["double trip"]);
    expect(match([at(0, 10), at(0, 13.1), at(2, 140)]).runs[0]?.flags).toEqual([]);
  });

  it.each([
    ["one long block of more than 1.5 s", 1.6, 1, "not-a-bike"],
    ["one single pulse below 20 ms", 0.019, 1, "not-a-bike"],
    ["a wheel, a gap and a wheel", 1.6, 2, "matched"],
  ])("%s: kept, and the operator can take it for a bike", (_, blockedS, pulses, state) => {
    const j = new JournalWriter().made(loopGates);
    j.bike(S1, 10, blockedS, pulses);
    const [passing] = session(j).passings;
    expect(passing?.state).toBe(state);
    const body = { passing: passing?.passingId ?? "" };
    j.write(20, { type: "passing-promoted", body });
    expect(session(j).passings[0]?.state).toBe("matched");
  });

  it("a rider who stops and comes back through the start: the last start counts", () => {
    expect(told([at(0, 10), at(0, 40), at(0, 80), at(2, 210)])).toEqual([["R1", 80, null, 210]]);
  });

  it("a rider back up through the finish: a finish with nobody on course is listed", () => {
    expect(states([at(0, 0), at(2, 130), at(2, 175)])).toEqual(["matched", "matched", "orphan"]);
  });
});

describe("a late arrival", () => {
  it("re-opens the match of every run after it, and the runs that changed say so", () => {
    const j = gates(900, [R1, R2]);
    // The first start comes over the radio only after both finishes.
    j.bike(S1, 200);
    j.bike(F1, 235);
    j.bike(F1, 330);
    const before = session(j);
    expect(before.runs.map((run) => [run.rider, Math.round(run.timeS ?? 0)])).toEqual([
      ["R1", 130],
    ]);
    expect(before.passings.map((p) => p.state)).toEqual(["matched", "orphan", "matched"]);
    j.event(S1, "B", 100, { seq: 9, arrivedS: 600 });
    const after = session(j);
    expect(after.runs.map((run) => [run.rider, Math.round(run.timeS ?? 0)])).toEqual([
      ["R1", 135],
      ["R2", 130],
    ]);
    expect(after.runs.map((run) => run.flags)).toEqual([
      ["match changed by late passings"],
      ["match changed by late passings"],
    ]);
  });

  it("that only brings the finish of an open run changes nothing that was known", () => {
    const j = gates(520);
    j.bike(S1, 100);
    j.bike(S1, 500);
    j.event(F1, "B", 230, { arrivedS: 510 });
    expect(seconds(j)).toEqual([130, null]);
    expect(flags(j)).toEqual([[], []]);
  });
});

describe("boxes", () => {
  const refused = (j: JournalWriter) => session(j).anomalies;

  it("the same event again is ignored and counted", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "B", 10, { seq: 1 });
    j.event(S1, "B", 10, { seq: 1 });
    expect(session(j).passings).toHaveLength(1);
    expect(session(j).faults.duplicates).toBe(1);
  });

  it("a restart begins a new clock; starts of before keep their times, and the run says so", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 310).exchanges(F1, 1, 700);
    j.bike(S1, 300);
    j.exchanges({ ...S1, boot: 19, aheadS: -340 }, 341, 700);
    j.bike(F1, 430);
    expect(session(j).runs[0]).toMatchObject({ status: "ok" });
    expect(Math.abs((session(j).runs[0]?.timeS ?? 0) - 130)).toBeLessThan(0.002);
    expect(flags(j)[0]).toEqual(["box S1 restarted during run"]);
  });

  it("a restart without an exchange before it: the time is unknown, the run unsure", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(F1, 1, 700);
    j.bike(S1, 300);
    j.exchanges({ ...S1, boot: 19, aheadS: -340 }, 341, 700);
    j.bike(F1, 430);
    expect(session(j).runs[0]?.status).toBe("unsure");
  });

  it("a box clock past 2^32 us is nothing special", () => {
    const old: SimBox = { ...S1, aheadS: 2 ** 32 / 1e6 - 70, ppm: 0 };
    const j = new JournalWriter().made(loopGates);
    j.bike(old, 10);
    j.bike(old, 140);
    expect(onBox(old, 10)).toBeLessThan(2 ** 32);
    expect(onBox(old, 140)).toBeGreaterThan(2 ** 32);
    expect(session(j).runs[0]?.timeS).toBe(130);
  });

  it("events overwritten in the box: runs over that time say that events were lost", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "B", 10, { seq: 1 });
    j.event(S1, "B", 140, { seq: 4 });
    j.line(141, { type: "gone", box: "S1", boot: S1.boot, fromSeq: 2, toSeq: 3 });
    j.event(S1, "B", 400, { seq: 5 });
    j.event(S1, "B", 530, { seq: 6 });
    expect(flags(j)).toEqual([[expect.stringContaining("events lost")], []]);
  });

  it("the link out: provisional, and put right by the exchanges when it is back", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 100).exchanges(F1, 1, 900);
    j.bike(S1, 90);
    j.bike(F1, 220);
    const out = session(j).runs[0];
    expect(out).toMatchObject({ status: "ok", provisional: true });
    j.exchanges(S1, 500, 900);
    const back = session(j).runs[0];
    expect(back).toMatchObject({ status: "ok", provisional: false });
    expect(Math.abs((back?.timeS ?? 0) - 130)).toBeLessThan(0.002);
  });

  it("the beam blocked over 10 s: the gate is down and no finish is guessed of it", () => {
    const j = gates(300);
    j.bike(S1, 100);
    // Somebody stands in the finish beam from 228 s to 280 s, while the rider comes down.
    j.event(F1, "B", 228);
    j.event(F1, "X", 228, { arrivedS: 238 });
    expect(session(j).boxes[1]?.isBlocked).toBe(true);
    j.event(F1, "O", 280);
    expect(session(j).runs).toMatchObject([{ status: "on-course", timeS: null }]);
    expect(session(j).passings.at(-1)?.state).toBe("not-a-bike");
    expect(flags(j)[0]).toEqual(["finish gate blocked during run"]);
  });

  it("an event under a number that another event has: not counted, the box in dispute", () => {
    const j = new JournalWriter().made(loopGates);
    j.event(S1, "B", 10, { seq: 1 });
    j.event(S1, "B", 12, { seq: 1 });
    expect(session(j).passings).toHaveLength(1);
    expect(refused(j)).toEqual([
      "two different events are called S1:0012:1: the second is not counted",
    ]);
    expect(session(j).boxes[0]?.isDisputed).toBe(true);
  });

  it("a box that says another role than before is warned about", () => {
    const j = new JournalWriter();
    j.event(P1, "B", 10);
    j.event({ ...P1, role: "F" }, "B", 20);
    let state = receiverStart;
    const notices = j.entries.flatMap((entry) => {
      const read = entry.type === "line-received" ? parseLine(entry.body.raw) : null;
      if (read?.ok !== true) throw new TypeError("a line that reads well");
      const step = receive(state, "/dev/gates", read.value, entry.monoUs);
      state = step.state;
      return step.notices;
    });
    expect(notices).toContain("box P1 now says it stands at the finish; before it was split 1");
  });

  it("each passing comes to exactly one thing, whatever the gates saw", () => {
    const j = new JournalWriter().made(threeGates, [R1, R2]);
    j.exchanges(S1, 1, 700).exchanges(P1, 1, 700).exchanges(F1, 1, 700);
    for (const t of [10, 12, 70, 75]) j.bike(S1, t);
    for (const t of [61, 62, 120]) j.bike(P1, t, t === 62 ? 2 : 0.2, t === 62 ? 1 : 9);
    for (const t of [140, 141, 205, 230]) j.bike(F1, t);
    const { passings, runs } = session(j);
    expect(passings).toHaveLength(11);
    expect(new Set(passings.map((p) => p.passingId)).size).toBe(11);
    const ids = new Set(runs.map((run) => run.runId));
    for (const p of passings) {
      expect(p.runId === null || ids.has(p.runId)).toBe(true);
      expect(p.state === "matched").toBe(p.runId !== null && p.state !== "double");
    }
  });
});
