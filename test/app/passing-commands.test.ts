// The operator's commands on passings: timing by hand, striking out, assigning, joining.
import { describe, expect, test } from "vitest";
import { holdCourse, redo, undo } from "../../src/app/day-commands.ts";
import {
  assignPassing,
  callNextStarter,
  insertPassing,
  joinPassings,
  keyPassing,
  promotePassing,
  rejectPassing,
} from "../../src/app/passing-commands.ts";
import { correctRider, correctSetup, markRun, splitRun } from "../../src/app/run-commands.ts";
import { sessionUs } from "../../src/domain/time.ts";
import { touchedByHand } from "../../src/session/touched-by-hand.ts";
import { aloneSheet, mono } from "./a-day.ts";
import { type Decide, HandDay } from "./hand-day.ts";

describe("timing by hand", () => {
  test("the instant is the key's, with the uncertainty of a hand, whatever else was going on", () => {
    const day = new HandDay();
    const run = day.ride(61.5);
    expect(run).toMatchObject({ status: "ok", timedBy: "hand", rider: "R1", k: 1 });
    expect(run.timeS).toBeCloseTo(61.5, 6);
    expect(run.sectorS[0]).toBeCloseTo(30.75, 6);
    // Both ends 0.2 s (hand-timing scatter: common practice), as squares: JCGM 100:2008, 5.1.2.
    expect(run.uncertaintyS).toBeCloseTo(Math.hypot(0.2, 0.2), 6);
    day.checkTables();
  });

  test("the journal has the instant of the key and the scatter of a hand", () => {
    const day = new HandDay();
    day.do((s) => keyPassing(s, 0, mono(59.4)));
    expect(day.file.store.readSince(0).at(-1)).toMatchObject({
      type: "passing-keyed",
      body: {
        gate: 0,
        keyedMonoUs: mono(59.4),
        typedAtUs: null,
        rider: null,
        uncertaintyS: 0.2,
      },
    });
  });

  test("several riders on course finish in the order in which they started", () => {
    const day = new HandDay();
    day.key(0);
    day.laptop.pass(20);
    day.key(0);
    expect(day.session.runs.map((run) => [run.rider, run.status])).toEqual([
      ["R1", "on-course"],
      ["R2", "on-course"],
    ]);
    day.laptop.pass(40);
    day.key(2);
    day.laptop.pass(20);
    day.key(2);
    expect(day.session.runs.map((run) => Math.round(run.timeS ?? 0))).toEqual([60, 60]);
  });

  test("a finish keyed with nobody on course is kept and listed", () => {
    const day = new HandDay();
    day.key(2);
    expect(day.session.passings).toMatchObject([{ gate: 2, state: "orphan", source: "hand" }]);
    day.checkTables();
  });

  test("who starts while the course is held is on course all the same", () => {
    const day = new HandDay();
    day.do((s) => holdCourse(s, "walker in the gully"));
    day.key(0);
    expect(day.session.runs).toMatchObject([{ status: "on-course" }]);
  });

  test.each([3, -1, 0.5])("gate %s is not there", (gate) => {
    const day = new HandDay();
    expect(day.refusal((s) => keyPassing(s, gate, mono(1)))).toBe(
      `there is no gate ${String(gate)}: this stretch has no split there`,
    );
  });
});

test("a passing is struck out once, and brought back", () => {
  const day = new HandDay(aloneSheet);
  day.ride(60);
  const finish = day.session.passings[2]?.passingId ?? "";
  day.do((s) => rejectPassing(s, finish, "a walker"));
  expect(day.session.passings[2]?.state).toBe("rejected");
  expect(day.session.runs).toMatchObject([{ status: "on-course" }]);
  expect(day.refusal((s) => rejectPassing(s, finish, null))).toBe(
    "it is struck out already: bring it back if it was a bike",
  );
  day.do((s) => promotePassing(s, finish));
  expect(day.session.runs).toMatchObject([{ status: "ok" }]);
  day.checkTables();
});

test("a passing is assigned to a rider; the next starter is named", () => {
  const day = new HandDay();
  day.do((s) => callNextStarter(s, "R2"));
  expect(day.session.nextStarter).toBe("R2");
  expect(day.start().rider).toBe("R2");
  const start = day.session.passings[0]?.passingId ?? "";
  day.do((s) => assignPassing(s, start, { rider: "R1" }));
  expect(day.session.runs).toMatchObject([{ rider: "R1" }]);
});

describe("joining", () => {
  test("start and finish are joined the right way round", () => {
    const day = new HandDay(aloneSheet);
    const { runId } = day.ride(60);
    const [start = "", , finish = ""] = day.session.passings.map((passing) => passing.passingId);
    day.do((s) => splitRun(s, runId));
    expect(day.refusal((s) => joinPassings(s, finish, start))).toBe(
      "the first is no start: choose a passing at the start",
    );
    expect(day.refusal((s) => joinPassings(s, start, start))).toBe(
      "the second is no finish: choose a passing at the finish",
    );
    day.do((s) => joinPassings(s, start, finish));
    expect(day.run(1)).toMatchObject({ status: "ok", timeS: 60 });
  });

  test("a finish cannot be joined to a start that came after it", () => {
    const day = new HandDay(aloneSheet);
    day.key(2);
    day.laptop.pass(5);
    day.key(0);
    const [finish = "", start = ""] = day.session.passings.map((passing) => passing.passingId);
    expect(day.refusal((s) => joinPassings(s, start, finish))).toBe(
      "the finish comes before the start: choose the other way round",
    );
  });
});

test("passings, riders and runs that aren't there are said", () => {
  const day = new HandDay();
  day.ride(60);
  const id = day.session.passings[0]?.passingId ?? "";
  const unknown = "there is no passing S1:0012:9: choose a passing from the list";
  expect(day.refusal((s) => promotePassing(s, "S1:0012:9"))).toBe(unknown);
  expect(day.refusal((s) => rejectPassing(s, "S1:0012:9", null))).toBe(unknown);
  expect(day.refusal((s) => assignPassing(s, "S1:0012:9", { rider: "R1" }))).toBe(unknown);
  expect(day.refusal((s) => assignPassing(s, id, { rider: "R9" }))).toMatch(/^there is no rider/);
  expect(day.refusal((s) => assignPassing(s, id, { runId: "9" }))).toMatch(/^there is no run 9/);
  expect(day.refusal((s) => callNextStarter(s, "R9"))).toMatch(/^there is no rider R9/);
});

describe("a passing is put in afterwards", () => {
  function withoutStart() {
    const day = new HandDay(aloneSheet);
    day.laptop.pass(100);
    day.key(2);
    const finish = day.session.passings[0]?.at ?? sessionUs(0);
    return { day, finish, now: sessionUs(finish + 1e6) };
  }

  test("with the time that was read off, and the uncertainty of a hand unless another is given", () => {
    const { day, finish, now } = withoutStart();
    const start = { gate: 0, at: sessionUs(finish - 61e6), rider: null };
    day.do((s) => insertPassing(s, start, now));
    expect(day.session.runs).toMatchObject([{ status: "ok", timeS: 61, timedBy: "hand" }]);
    expect(day.session.runs[0]?.uncertaintyS).toBeCloseTo(Math.hypot(0.2, 0.2), 6);
    day.do(undo);
    expect(day.session.runs).toEqual([]);
    day.do((s) => insertPassing(s, { ...start, rider: "R1", uncertaintyS: 1 }, now));
    expect(day.session.runs[0]?.uncertaintyS).toBeCloseTo(Math.hypot(1, 0.2), 6);
    day.checkTables();
  });

  test("never later than now, at no other gate, for nobody else, with a figure that can be", () => {
    const { day, finish, now } = withoutStart();
    const start = { gate: 0, at: finish, rider: null };
    const refusal = (more: Partial<Parameters<typeof insertPassing>[1]>) =>
      day.refusal((s) => insertPassing(s, { ...start, ...more }, now));
    expect(refusal({ at: sessionUs(now + 1) })).toMatch(/^that time is still to come/);
    expect(refusal({ at: sessionUs(Number.NaN) })).toMatch(/^that time is still to come/);
    expect(refusal({ gate: 3 })).toMatch(/^there is no gate 3/);
    expect(refusal({ rider: "R9" })).toMatch(/^there is no rider R9/);
    for (const uncertaintyS of [0, -1, 61, Number.NaN]) {
      expect(refusal({ uncertaintyS })).toMatch(/^a time cannot be uncertain by/);
    }
  });
});

describe("every repair is one row, and undo gives what was before", () => {
  type Passings = readonly (string | undefined)[];
  /** Two runs, and what is done about the first. */
  const repairs: readonly (readonly [string, (runId: string, at: Passings) => Decide])[] = [
    ["void", (run) => (s) => markRun(s, run, "void", "walker")],
    ["DNF", (run) => (s) => markRun(s, run, "dnf", null)],
    ["count", (run) => (s) => markRun(s, run, "ok", null)],
    ["void a sector", (run) => (s) => markRun(s, run, "void", "walker", [1])],
    ["assign to a rider", (_, at) => (s) => assignPassing(s, at[2] ?? "", { rider: "R2" })],
    ["assign to a run", (run, at) => (s) => assignPassing(s, at[2] ?? "", { runId: run })],
    ["strike out", (_, at) => (s) => rejectPassing(s, at[2] ?? "", "a walker")],
    ["split", (run) => (s) => splitRun(s, run)],
    ["join", (_, at) => (s) => joinPassings(s, at[0] ?? "", at[5] ?? "")],
    ["another rider", (run) => (s) => correctRider(s, run, "R2")],
    ["another set-up", (run) => (s) => correctSetup(s, run, "B")],
    [
      "put in",
      () => (s) =>
        insertPassing(
          s,
          { gate: 2, at: sessionUs((s.passings.at(-1)?.at ?? 0) + 30e6), rider: null },
          sessionUs(1e18),
        ),
    ],
  ];

  test.each(repairs)("%s", (name, repair) => {
    const day = new HandDay();
    const { runId } = day.ride(61);
    day.ride(62);
    const before = day.session;
    const state = (s = day.session) => ({ runs: s.runs, passings: s.passings });
    const rows = day.file.store.readSince(0).length;
    expect(touchedByHand(before)).toEqual([]);
    day.do(
      repair(
        runId,
        before.passings.map((p) => p.passingId),
      ),
    );
    const after = day.session;
    expect(day.file.store.readSince(0)).toHaveLength(rows + 1);
    expect(state(after)).not.toEqual(state(before));
    // A struck-out finish leaves a run without one; a hand at a gate without a box is no mending.
    if (name !== "strike out" && name !== "put in") expect(touchedByHand(after)).toContain(runId);
    day.do(undo);
    expect(state()).toEqual(state(before));
    expect(touchedByHand(day.session)).toEqual([]);
    day.do(redo);
    expect(state()).toEqual(state(after));
    day.checkTables();
  });

  test("taken for a bike after it was struck out", () => {
    const day = new HandDay(aloneSheet);
    day.ride(61);
    const finish = day.session.passings[2]?.passingId ?? "";
    day.do((s) => rejectPassing(s, finish, null));
    const before = day.session;
    day.do((s) => promotePassing(s, finish));
    expect(day.session.runs).toMatchObject([{ status: "ok" }]);
    day.do(undo);
    expect(day.session.runs).toEqual(before.runs);
    expect(day.session.passings).toEqual(before.passings);
  });
});
