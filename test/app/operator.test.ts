// The operator's commands on a real file: what each changes, and what is refused in words.
import { describe, expect, test } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { addRider, addSetup, changeSetup, takeMeasure } from "../../src/app/add-to-sheet.ts";
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
import {
  assignPassing,
  callNextStarter,
  joinPassings,
  keyPassing,
  promotePassing,
  rejectPassing,
} from "../../src/app/passing-commands.ts";
import {
  correctRider,
  correctSetup,
  markRun,
  noteIncident,
  rateRun,
  splitRun,
} from "../../src/app/run-commands.ts";
import type { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { ImportedRow } from "../../src/domain/imported-row.ts";
import type { Run } from "../../src/domain/run.ts";
import type { Sheet } from "../../src/domain/session.ts";
import type { Content } from "../../src/journal/content.ts";
import type { Session } from "../../src/session/session.ts";
import { operator, sheet, TestLaptop } from "./a-day.ts";

/** A day timed by hand, with one process at the keys. */
class HandDay {
  readonly laptop = new TestLaptop();
  readonly file: SessionFile;

  constructor(of: Sheet = sheet) {
    this.file = this.laptop.make({ ...of, gates: of.gates.map((g) => ({ ...g, box: null })) });
    this.laptop.pass(60);
  }

  get session(): Session {
    return this.file.session();
  }

  do(command: (session: Session) => readonly Content[]): void {
    this.file.append(operator, command);
  }

  /** What the command is refused with; nothing may have been written. */
  refusal(command: (session: Session) => readonly Content[]): string {
    const before = this.session.lastSeq;
    try {
      this.do(command);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      expect(error.hint).not.toBe("");
      expect(this.file.store.readSince(before)).toEqual([]);
      return error.message;
    }
    return "it was done";
  }

  key(gate: number): void {
    const at = this.laptop.time.now();
    this.laptop.pass(0.05); // the program was busy when the key came
    this.do((session) => keyPassing(session, gate, at));
  }

  /** One run of that many seconds, the split in the middle; the next is 5 s later. */
  ride(seconds: number): Run {
    this.key(0);
    this.laptop.pass(seconds / 2 - 0.05);
    this.key(1);
    this.laptop.pass(seconds / 2 - 0.05);
    this.key(2);
    const run = this.session.runs.at(-1);
    if (run === undefined) throw new TypeError("no run");
    this.laptop.pass(5);
    return run;
  }

  run(k: number): Run {
    const run = this.session.runs.find((candidate) => candidate.k === k);
    if (run === undefined) throw new TypeError(`no run ${String(k)}`);
    return run;
  }

  /** The derived tables agree with the journal. */
  checkTables(): void {
    expect(verifyFile(this.file.store, this.file.summary())).toEqual([]);
  }
}

const oneRider = { ...sheet, riders: sheet.riders.slice(0, 1) };

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
    const at = day.laptop.time.now();
    expect(day.refusal((s) => keyPassing(s, gate, at))).toBe(`there is no gate ${String(gate)}`);
  });
});

describe("runs", () => {
  test("void with a reason, and counted again", () => {
    const day = new HandDay();
    const { runId } = day.ride(60);
    day.do((s) => markRun(s, runId, "void", "walker"));
    expect(day.run(1)).toMatchObject({ status: "void", reason: "walker", k: 1 });
    day.checkTables();
    day.do((s) => markRun(s, runId, "ok", null));
    expect(day.run(1)).toMatchObject({ status: "ok", k: 1 });
    day.checkTables();
  });

  test("a sector is struck out alone", () => {
    const day = new HandDay();
    const { runId } = day.ride(60);
    day.do((s) => markRun(s, runId, "void", "held up", [2]));
    expect(day.run(1)).toMatchObject({ status: "ok", voidSectors: [2] });
    expect(day.refusal((s) => markRun(s, runId, "void", null, [3]))).toBe("there is no sector 3");
    expect(day.refusal((s) => markRun(s, runId, "void", null, [0]))).toBe("there is no sector 0");
  });

  test("a warm-up takes no number", () => {
    const day = new HandDay(oneRider);
    const first = day.ride(70);
    day.ride(60);
    expect(day.session.runs.map((run) => run.k)).toEqual([1, 2]);
    day.do((s) => markRun(s, first.runId, "warm-up", null));
    expect(day.session.runs.map((run) => [run.status, run.k])).toEqual([
      ["warm-up", null],
      ["ok", 1],
    ]);
    day.checkTables();
  });

  test("DNF ends a run on course; a run on course does not count yet", () => {
    const day = new HandDay();
    day.key(0);
    const runId = day.session.runs[0]?.runId ?? "";
    expect(day.refusal((s) => markRun(s, runId, "ok", null))).toBe("this run is still on course");
    day.do((s) => markRun(s, runId, "dnf", null));
    expect(day.session.runs).toMatchObject([{ status: "dnf", timeS: null }]);
  });

  test("the set-up and the rider are corrected afterwards", () => {
    const day = new HandDay();
    const { runId } = day.ride(60);
    day.do((s) => correctSetup(s, runId, "B"));
    day.do((s) => correctRider(s, runId, "R2"));
    expect(day.session.runs).toMatchObject([{ setup: "B", rider: "R2" }]);
    day.checkTables();
    expect(day.refusal((s) => correctSetup(s, runId, "B"))).toBe(`run ${runId} is on B already`);
    expect(day.refusal((s) => correctRider(s, runId, "R2"))).toBe(`run ${runId} is R2's already`);
    expect(day.refusal((s) => correctSetup(s, runId, "Z"))).toBe("there is no set-up Z");
    expect(day.refusal((s) => correctRider(s, runId, "R9"))).toBe("there is no rider R9");
    expect(day.refusal((s) => markRun(s, "999", "void", null))).toBe("there is no run 999");
  });

  test("a mistake and a rating leave a run counted", () => {
    const day = new HandDay();
    const { runId } = day.ride(60);
    day.do((s) => noteIncident(s, runId, "near-miss", 2));
    day.do((s) => rateRun(s, runId, "feel", 7));
    day.do((s) => rateRun(s, runId, "feel", 8));
    expect(day.run(1).status).toBe("ok");
    expect(day.session.incidents).toMatchObject([{ runId, kind: "near-miss", sector: 2 }]);
    expect(day.session.ratings).toEqual([{ runId, aspect: "feel", score: 8 }]);
    day.checkTables();
    expect(day.refusal((s) => rateRun(s, runId, "feel", 0))).toBe("0 is no rating");
    expect(day.refusal((s) => rateRun(s, runId, "feel", 7.5))).toBe("7.5 is no rating");
    expect(day.refusal((s) => noteIncident(s, "1", "dab", null))).toBe("there is no run 1");
  });

  test("a run is taken apart, and put together again from its passings", () => {
    const day = new HandDay(oneRider);
    const { runId } = day.ride(60);
    const [start, , finish] = day.session.passings.map((passing) => passing.passingId);
    day.do((s) => splitRun(s, runId));
    expect(day.session.runs.filter((run) => run.status === "ok")).toEqual([]);
    day.do((s) => joinPassings(s, start ?? "", finish ?? ""));
    expect(day.session.runs).toMatchObject([{ runId, status: "ok" }]);
    expect(day.session.runs[0]?.timeS).toBeCloseTo(60, 6);
    day.checkTables();
    expect(day.refusal((s) => joinPassings(s, finish ?? "", start ?? ""))).toBe(
      "the first is no start",
    );
    expect(day.refusal((s) => joinPassings(s, start ?? "", start ?? ""))).toBe(
      "the second is no finish",
    );
    expect(day.refusal((s) => splitRun(s, "1"))).toBe("there is no run 1");
  });

  test("a finish cannot be joined to a start that came after it", () => {
    const day = new HandDay(oneRider);
    day.key(2);
    day.laptop.pass(5);
    day.key(0);
    const [finish, start] = day.session.passings.map((passing) => passing.passingId);
    expect(day.refusal((s) => joinPassings(s, start ?? "", finish ?? ""))).toBe(
      "the finish comes before the start",
    );
  });
});

describe("passings", () => {
  test("struck out and brought back", () => {
    const day = new HandDay(oneRider);
    day.ride(60);
    const finish = day.session.passings[2]?.passingId ?? "";
    day.do((s) => rejectPassing(s, finish, "a walker"));
    expect(day.session.passings[2]?.state).toBe("rejected");
    expect(day.session.runs).toMatchObject([{ status: "on-course" }]);
    expect(day.refusal((s) => rejectPassing(s, finish, null))).toBe("it is struck out already");
    day.do((s) => promotePassing(s, finish));
    expect(day.session.runs).toMatchObject([{ status: "ok" }]);
    day.checkTables();
    expect(day.refusal((s) => promotePassing(s, "S1:0012:9"))).toBe(
      "there is no passing S1:0012:9",
    );
  });

  test("assigned to a rider; the next starter is named", () => {
    const day = new HandDay();
    day.do((s) => callNextStarter(s, "R2"));
    expect(day.session.nextStarter).toBe("R2");
    day.key(0);
    expect(day.session.runs).toMatchObject([{ rider: "R2" }]);
    const start = day.session.passings[0]?.passingId ?? "";
    day.do((s) => assignPassing(s, start, { rider: "R1" }));
    expect(day.session.runs).toMatchObject([{ rider: "R1" }]);
    expect(day.refusal((s) => callNextStarter(s, "R9"))).toBe("there is no rider R9");
    expect(day.refusal((s) => assignPassing(s, start, { runId: "7777" }))).toBe(
      "there is no run 7777",
    );
  });
});

describe("swaps", () => {
  test("each run carries the set-up that was on the bike at its start", () => {
    const day = new HandDay(oneRider);
    expect(day.session.mounted["R1"]).toBe("A");
    day.ride(60);
    day.do((s) => logSwap(s, "R1", "B", true));
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
    expect(day.refusal((s) => logSwap(s, "R1", "A", true))).toBe("A is on R1's bike already");
    expect(day.refusal((s) => logSwap(s, "R1", "C", true))).toBe("there is no set-up C");
    expect(day.refusal((s) => logSwap(s, "R7", "B", true))).toBe("there is no rider R7");
  });
});

describe("undo", () => {
  test("takes the newest decision back, again and again, and brings them in again", () => {
    const day = new HandDay(oneRider);
    const { runId } = day.ride(60);
    day.do((s) => correctSetup(s, runId, "B"));
    day.do((s) => markRun(s, runId, "void", "walker"));
    const before = day.file.store.readSince(0).length;
    day.do(undo);
    expect(day.run(1)).toMatchObject({ status: "ok", setup: "B" });
    day.do(undo);
    expect(day.run(1)).toMatchObject({ status: "ok", setup: "A" });
    day.checkTables();
    day.do(redo);
    expect(day.run(1)).toMatchObject({ status: "ok", setup: "B" });
    day.do(redo);
    expect(day.run(1)).toMatchObject({ status: "void", setup: "B" });
    day.checkTables();
    expect(day.refusal(redo)).toBe("there is nothing to bring back");
    expect(day.file.store.readSince(0)).toHaveLength(before + 4); // nothing is ever taken out
  });

  test("what the sheet said can't be taken back", () => {
    expect(new HandDay().refusal(undo)).toBe("there is nothing to undo");
  });
});

describe("the plan", () => {
  test("its end is brought forward once, and only with notice", () => {
    const day = new HandDay(oneRider); // 12 runs: notice of max(2, ceil(12 / 10)) = 2
    for (let i = 0; i < 4; i += 1) day.ride(60 + i);
    expect(day.refusal((s) => announceEnd(s, "R1", 5))).toBe("the plan can't end at run 5");
    expect(day.refusal((s) => announceEnd(s, "R1", 12))).toBe("the plan can't end at run 12");
    expect(day.refusal((s) => announceEnd(s, "R1", 7.5))).toBe("the plan can't end at run 7.5");
    day.do((s) => announceEnd(s, "R1", 6));
    expect(day.session.plannedEnds).toEqual([{ rider: "R1", endRun: 6, announcedAtRun: 4 }]);
    expect(day.file.summary().comparison.settings.planned_end).toBe(6);
    expect(day.refusal((s) => announceEnd(s, "R1", 8))).toBe(
      "the end was brought forward once already",
    );
    expect(day.refusal((s) => announceEnd(s, "R3", 8))).toBe("there is no rider R3");
  });

  const c = { id: "C", name: "Lighter insert", baseline: false, values: { rear_insert: "light" } };
  const r3 = { id: "R3", name: "Rider three", tag: null, newTo: ["B"] };

  test("a set-up and a rider added before run 1 are in the plan", () => {
    const day = new HandDay({ ...sheet, settings: { ...sheet.settings, plannedRuns: 18 } });
    day.do((s) => addSetup(s, c, fixPlan));
    day.do((s) => addRider(s, r3, fixPlan));
    expect(day.session.plan?.setups).toEqual(["A", "B", "C"]);
    expect(day.session.plan?.riders.map((rider) => rider.rider)).toEqual(["R1", "R2", "R3"]);
    expect(day.session.plan?.riders[0]?.order.slice(0, 6).join("")).toBe("ABCCBA");
    expect(day.session.anomalies).toEqual([]);
    day.checkTables();
  });

  test("added after run 1 the set-up is compared, the plan stays", () => {
    const day = new HandDay(oneRider);
    day.ride(60);
    day.do((s) => addSetup(s, c, fixPlan));
    expect(day.session.plan?.setups).toEqual(["A", "B"]);
    expect(day.session.setups.map((setup) => setup.id)).toEqual(["A", "B", "C"]);
    expect(day.session.anomalies).toEqual([]);
    day.checkTables();
  });

  test("what is added must have an id of its own", () => {
    const day = new HandDay({ ...sheet, riders: [{ ...r3, id: "R1", tag: "A1", newTo: [] }] });
    expect(day.refusal((s) => addSetup(s, { ...c, id: "A" }, fixPlan))).toBe("A is there already");
    expect(day.refusal((s) => addSetup(s, { ...c, id: "two words" }, fixPlan))).toBe(
      '"two words" is no id',
    );
    expect(day.refusal((s) => addSetup(s, { ...c, baseline: true }, fixPlan))).toBe(
      "there is a baseline already",
    );
    expect(day.refusal((s) => addRider(s, { ...r3, tag: "A1" }, fixPlan))).toBe(
      "the transponder A1 is R1's already",
    );
    expect(day.refusal((s) => addRider(s, { ...r3, newTo: ["Q"] }, fixPlan))).toBe(
      "there is no set-up Q",
    );
  });

  test("a set-up that would make the plan too short is refused with the number that works", () => {
    const day = new HandDay({ ...oneRider, settings: { ...sheet.settings, plannedRuns: 8 } });
    expect(day.refusal((s) => addSetup(s, c, fixPlan))).toMatch(/\d/);
    expect(day.session.setups).toHaveLength(2);
  });
});

describe("the day", () => {
  test("the margin, notes, conditions, a gate moved, a set-up's sheet, a reading", () => {
    const day = new HandDay(oneRider);
    const { runId } = day.ride(60);
    day.do((s) => setMargin(s, 1.2));
    day.do((s) => addNote(s, runId, "=1+1 \u001b[31m<b>"));
    day.do(() => markConditions("drizzle"));
    day.do((s) => markGateMoved(s, 1, "re-aimed"));
    day.do((s) =>
      changeSetup(s, "B", "Foam insert, cut", { rear_insert: "foam", rear_tyre_mm: 61 }),
    );
    const key = { key: "rear_pressure_bar", value: 1.58, unit: "bar" };
    day.do((s) => takeMeasure(s, { run: runId, rider: "R1", setup: "A", ...key }));
    expect(day.session.settings?.marginS).toBe(1.2);
    expect(day.session.isMarginChanged).toBe(true);
    expect(day.session.notes.map((note) => [note.kind, note.text])).toEqual([
      ["note", "=1+1 \u001b[31m<b>"],
      ["conditions", "drizzle"],
      ["gate-moved", "re-aimed"],
    ]);
    expect(day.session.setups[1]?.name).toBe("Foam insert, cut");
    expect(day.session.measures).toMatchObject([{ runId, value: 1.58 }]);
    day.checkTables();
    expect(day.refusal((s) => setMargin(s, 0))).toBe("a margin is above 0 s");
    expect(day.refusal((s) => addNote(s, "1", "x"))).toBe("there is no run 1");
    expect(day.refusal((s) => markGateMoved(s, 9, "x"))).toBe("there is no gate 9");
    expect(day.refusal((s) => changeSetup(s, "Q", "x", {}))).toBe("there is no set-up Q");
    expect(
      day.refusal((s) => takeMeasure(s, { run: null, rider: "R9", setup: null, ...key })),
    ).toBe("there is no rider R9");
    day.do((s) => setMargin(s, null));
    expect(day.session.settings?.marginS).toBeNull();
  });

  test("the course is held and opened", () => {
    const day = new HandDay();
    expect(day.refusal(openCourse)).toBe("the course is not held");
    day.do((s) => holdCourse(s, "walker"));
    expect(day.session.heldBecause).toBe("walker");
    expect(day.refusal((s) => holdCourse(s, "again"))).toBe("the course is held already");
    day.do(openCourse);
    expect(day.session.heldBecause).toBeNull();
  });

  test("it can't be closed while anybody is on course, who is named", () => {
    const day = new HandDay();
    day.key(0);
    day.laptop.pass(5);
    day.key(0);
    expect(day.refusal(closeSession)).toBe("still on course: Rider one, Rider two");
    day.laptop.pass(55);
    day.key(2);
    day.laptop.pass(5);
    day.key(2);
    day.do(closeSession);
    expect(day.session.isClosed).toBe(true);
    expect(day.refusal(closeSession)).toBe("the session is closed");
    const at = day.laptop.time.now();
    expect(day.refusal((s) => keyPassing(s, 0, at))).toBe("the session is closed");
    day.do(reopenSession);
    expect(day.session.isClosed).toBe(false);
    expect(day.refusal(reopenSession)).toBe("the session is open");
    day.checkTables();
  });

  test("imported rows stand after what was there", () => {
    const day = new HandDay(oneRider);
    day.ride(60);
    const row: ImportedRow = {
      ...{ rider: "R1", setup: "B", status: "ok", timeS: 58.25, uncertaintyS: null },
      ...{ sectorS: [null, null], startedAtUs: null, reason: null },
    };
    day.do((s) => importRows(s, "times.csv", [row, { ...row, timeS: 59 }]));
    expect(
      day.session.runs.map((run) => [run.k, run.setup, Math.round((run.timeS ?? 0) * 100)]),
    ).toEqual([
      [1, "A", 6000],
      [2, "B", 5825],
      [3, "B", 5900],
    ]);
    expect(day.run(2).runId).toMatch(/^\d+\.1$/);
    day.checkTables();
  });
});
