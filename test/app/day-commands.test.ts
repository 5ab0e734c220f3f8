// The operator's commands on the day: swaps, the plan's end, the course, notes, closing, undo.
import { describe, expect, test } from "vitest";
import {
  addNote,
  announceEnd,
  closeSession,
  holdCourse,
  logSwap,
  markConditions,
  markGateMoved,
  openCourse,
  redo,
  reopenSession,
  setMargin,
  undo,
} from "../../src/app/day-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import { callNextStarter, keyPassing } from "../../src/app/passing-commands.ts";
import { correctSetup, markRun, splitRun } from "../../src/app/run-commands.ts";
import { aloneSheet, mono, operator } from "./a-day.ts";
import { type Decide, HandDay } from "./hand-day.ts";

describe("swaps", () => {
  test("each run carries the set-up that was on the bike at its start", () => {
    const day = new HandDay(aloneSheet);
    expect(day.session.mounted).toEqual({ R1: "A" });
    day.ride(60);
    day.do((s) => logSwap(s, "R1", "B", true));
    expect(day.session.mounted).toEqual({ R1: "B" });
    day.ride(58);
    day.key(0);
    day.laptop.pass(10);
    day.do((s) => logSwap(s, "R1", "A", true)); // for after this run
    day.laptop.pass(50);
    day.key(2);
    expect(day.session.runs.map((run) => run.setup)).toEqual(["A", "B", "B"]);
    expect(day.session.swaps).toMatchObject([
      { fromSetup: "A", toSetup: "B", isChecked: true },
      { fromSetup: "B", toSetup: "A" },
    ]);
    day.checkTables();
  });

  test("a swap is to another set-up of a rider who is there", () => {
    const day = new HandDay(aloneSheet);
    expect(day.refusal((s) => logSwap(s, "R1", "A", true))).toBe(
      "A is on R1's bike already: nothing to swap",
    );
    expect(day.refusal((s) => logSwap(s, "R9", "B", true))).toMatch(/^there is no rider R9/);
    expect(day.refusal((s) => logSwap(s, "R1", "C", true))).toMatch(/^there is no set-up C/);
  });
});

describe("the plan's end", () => {
  test("is brought forward once, at least max(2, N / 10) counted runs ahead", () => {
    const day = new HandDay(aloneSheet);
    for (let n = 1; n <= 4; n += 1) day.ride(60 + n);
    // N = 12, notice of 2, 4 counted runs so far.
    for (const end of [5, 12, 13, 7.5, Number.NaN]) {
      expect(day.refusal((s) => announceEnd(s, "R1", end))).toBe(
        `the plan can't end at run ${String(end)}: choose a run from 6 to 11`,
      );
    }
    day.do((s) => announceEnd(s, "R1", 6));
    expect(day.session.plannedEnds).toEqual([{ rider: "R1", endRun: 6, announcedAtRun: 4 }]);
    expect(day.file.summary().comparison.settings.planned_end).toBe(6);
    expect(day.refusal((s) => announceEnd(s, "R1", 8))).toBe(
      "the end was brought forward once already: it can't be moved again",
    );
    expect(day.refusal((s) => announceEnd(s, "R3", 8))).toMatch(/^there is no rider R3/);
  });

  test("shortly before the end it is too late to bring it forward", () => {
    const day = new HandDay(aloneSheet);
    for (let n = 1; n <= 10; n += 1) day.ride(60 + (n % 3));
    expect(day.refusal((s) => announceEnd(s, "R1", 11))).toBe(
      "the plan can't end at run 11: it is too late to bring the end forward: run 12 is the end",
    );
  });

  test("there is none without a plan", () => {
    const settings = { ...aloneSheet.settings, plannedRuns: null, bands: "open" as const };
    const day = new HandDay({ ...aloneSheet, settings });
    expect(day.refusal((s) => announceEnd(s, "R1", 6))).toMatch(/^there is no plan to end/);
  });
});

test("a margin is above 0, or none, and shown as changed", () => {
  const day = new HandDay(aloneSheet);
  day.ride(60);
  for (const margin of [0, -1, Number.NaN]) {
    expect(day.refusal((s) => setMargin(s, margin))).toMatch(/^a margin is above 0 s/);
  }
  day.do((s) => setMargin(s, 1.2));
  expect(day.session).toMatchObject({ settings: { marginS: 1.2 }, isMarginChanged: true });
  day.do((s) => setMargin(s, null));
  expect(day.session.settings?.marginS).toBeNull();
});

test("the course is held and opened once each", () => {
  const day = new HandDay();
  expect(day.refusal(openCourse)).toBe("the course is not held: nothing to open");
  day.do((s) => holdCourse(s, "rescue on the track"));
  expect(day.session.heldBecause).toBe("rescue on the track");
  expect(day.refusal((s) => holdCourse(s, "again"))).toBe(
    "the course is held already: open it first",
  );
  day.do(openCourse);
  expect(day.session.heldBecause).toBeNull();
});

test("notes, conditions and a gate moved are kept as they were typed, in order", () => {
  const day = new HandDay(aloneSheet);
  const { runId } = day.ride(60);
  day.do((s) => addNote(s, runId, "=1+1 \u001b[31m<b>"));
  day.do(() => markConditions("drizzle", true));
  day.do((s) => markGateMoved(s, 1, "re-aimed"));
  expect(day.session.notes.map((note) => [note.kind, note.text])).toEqual([
    ["note", "=1+1 \u001b[31m<b>"],
    ["conditions", "drizzle"],
    ["gate-moved", "re-aimed"],
  ]);
  day.checkTables();
  expect(day.refusal((s) => markGateMoved(s, 3, "?"))).toBe("there is no gate 3: choose one");
});

describe("closing", () => {
  test("nobody is left on course: they are named", () => {
    const day = new HandDay();
    day.key(0);
    day.laptop.pass(5);
    day.key(0);
    expect(day.refusal(closeSession)).toBe(
      "still on course: Rider one, Rider two: wait for the finish, or mark the run DNF once you know where the rider is",
    );
    day.laptop.pass(55);
    day.key(2);
    expect(day.refusal(closeSession)).toMatch(/^still on course: Rider two: /);
    const still = day.session.runs.find((run) => run.status === "on-course")?.runId ?? "";
    day.do((s) => markRun(s, still, "dnf", "?"));
    day.do(closeSession);
    expect(day.session.isClosed).toBe(true);
    day.checkTables();
  });

  test("a closed session takes no decisions until it is opened again", () => {
    const day = new HandDay(aloneSheet);
    const { runId } = day.ride(60);
    expect(day.refusal(reopenSession)).toBe("the session is open: nothing to reopen");
    day.do(closeSession);
    const asked: readonly Decide[] = [
      closeSession,
      (s) => keyPassing(s, 0, mono(9000)),
      (s) => markRun(s, runId, "void", null),
      (s) => correctSetup(s, runId, "B"),
      (s) => logSwap(s, "R1", "B", true),
      (s) => setMargin(s, 1),
      (s) => announceEnd(s, "R1", 6),
      (s) => splitRun(s, runId),
      (s) => callNextStarter(s, "R1"),
      (s) => importRows(s, "t.csv", []),
    ];
    for (const decide of asked) {
      expect(day.refusal(decide)).toBe("the session is closed: reopen it first");
    }
    day.do((s) => addNote(s, runId, "still to be said"));
    day.do(reopenSession);
    expect(day.session.isClosed).toBe(false);
    day.do((s) => markRun(s, runId, "void", "walker"));
    expect(day.run(1).status).toBe("void");
    day.checkTables();
  });
});

describe("taking back", () => {
  test("undo and redo walk through the decisions, newest first, and end in words", () => {
    const day = new HandDay(aloneSheet);
    // What the sheet said can't be taken back.
    expect(day.refusal(undo)).toBe(
      "there is nothing to undo: times from gates can't be undone: void the run",
    );
    expect(day.refusal(redo)).toBe("there is nothing to bring back: undo first");
    const { runId } = day.ride(60);
    day.do((s) => correctSetup(s, runId, "B"));
    day.do((s) => markRun(s, runId, "void", "walker"));
    day.do((s) => logSwap(s, "R1", "B", true));
    const done = day.session;
    expect(done.undo?.label).toBe("swap to B for R1");
    day.do(undo);
    expect(day.session.mounted).toEqual({ R1: "A" });
    expect(day.session.undo?.label).toBe("void run 1");
    day.do(undo);
    expect(day.run(1)).toMatchObject({ status: "ok", setup: "B" });
    day.do(undo);
    expect(day.run(1)).toMatchObject({ status: "ok", setup: "A" });
    day.checkTables();
    day.do(redo);
    expect(day.run(1)).toMatchObject({ status: "ok", setup: "B" });
    day.do(redo);
    expect(day.run(1)).toMatchObject({ status: "void", setup: "B" });
    day.do(redo);
    expect(day.refusal(redo)).toBe("there is nothing to bring back: undo first");
    day.checkTables();
    const again = day.session;
    expect({ ...again, lastSeq: 0, redo: null }).toEqual({ ...done, lastSeq: 0, redo: null });
    expect(again.lastSeq).toBe(done.lastSeq + 6); // nothing is ever taken out
  });

  test("two consoles take back two decisions, not the same one twice", () => {
    const { file: one, laptop } = new HandDay(aloneSheet);
    const two = laptop.open(one.store.file);
    one.append(operator, (s) => logSwap(s, "R1", "B", true));
    one.append(operator, (s) => setMargin(s, 2));
    two.refresh();
    one.append(operator, undo);
    two.append(operator, undo);
    one.refresh();
    expect(one.session()).toEqual(two.session());
    expect(one.session().settings?.marginS).toBe(0.8);
    expect(one.session().mounted).toEqual({ R1: "A" });
  });

  test("a new decision ends the bringing back", () => {
    const day = new HandDay(aloneSheet);
    day.do((s) => logSwap(s, "R1", "B", true));
    day.do(undo);
    day.do((s) => setMargin(s, 2));
    expect(day.refusal(redo)).toBe("there is nothing to bring back: undo first");
  });
});
