// The operator's commands: what each writes, when each refuses, and in which words.
import { describe, expect, test } from "vitest";
import {
  addNote,
  announceEnd,
  closeSession,
  holdCourse,
  logSwap,
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
import type { Fresh } from "../../src/app/session-file.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { ImportedRow } from "../../src/domain/imported-row.ts";
import type { Sheet } from "../../src/domain/session.ts";
import type { Session } from "../../src/session/session.ts";
import { Day, handSheet, mono, newSessionFile, OPERATOR } from "./a-recorded-day.ts";

type Decide = (session: Session) => readonly Fresh[];

/** One rider's session, timed by the keys. */
const alone = { ...handSheet, riders: handSheet.riders.slice(0, 1) };

function aDay(sheet: Sheet = alone): Day {
  return new Day(newSessionFile(sheet));
}

function act(day: Day, decide: Decide): void {
  day.file.append(OPERATOR, decide);
}

/** Message and hint of the refusal; fails if it was done, or if anything was written. */
function refusal(day: Day, decide: Decide): string {
  const before = day.store.readSince(0).length;
  try {
    act(day, decide);
  } catch (error) {
    expect(day.store.readSince(0)).toHaveLength(before);
    if (!(error instanceof UserError)) throw error;
    expect(error.code).toBe("refused");
    return `${error.message}: ${error.hint}`;
  }
  throw new Error("it was not refused");
}

/** A run of `timeS`, the nth of the day, ten minutes apart. @returns its id */
function ride(day: Day, n: number, timeS = 60): string {
  act(day, (s) => keyPassing(s, 0, mono(600 * n)));
  act(day, (s) => keyPassing(s, 1, mono(600 * n + 20)));
  act(day, (s) => keyPassing(s, 2, mono(600 * n + timeS)));
  return day.file.session().runs.at(-1)?.runId ?? "";
}

function start(day: Day, n: number): string {
  act(day, (s) => keyPassing(s, 0, mono(600 * n)));
  return day.file.session().runs.at(-1)?.runId ?? "";
}

describe("runs", () => {
  test("a run is void with its reason, and counts again", () => {
    const day = aDay();
    const run = ride(day, 1);
    act(day, (s) => markRun(s, run, "void", "walker on the line"));
    expect(day.file.session().runs[0]).toMatchObject({
      status: "void",
      reason: "walker on the line",
    });
    act(day, (s) => markRun(s, run, "ok", null));
    expect(day.file.session().runs[0]?.status).toBe("ok");
  });

  test("a sector struck out must be there", () => {
    const day = aDay();
    const run = ride(day, 1);
    for (const sector of [0, 3, 1.5]) {
      expect(refusal(day, (s) => markRun(s, run, "void", null, [sector]))).toBe(
        `there is no sector ${String(sector)}: sectors go from 1 to 2`,
      );
    }
    act(day, (s) => markRun(s, run, "void", "puncture", [2]));
    expect(day.file.session().runs[0]).toMatchObject({ status: "ok", voidSectors: [2] });
  });

  test("who is still out there can't be counted, but can be marked DNF", () => {
    const day = aDay();
    const run = start(day, 1);
    expect(refusal(day, (s) => markRun(s, run, "ok", null))).toBe(
      "this run is still on course: wait for the finish, or mark it DNF",
    );
    act(day, (s) => markRun(s, run, "dnf", "puncture"));
    expect(day.file.session().runs[0]?.status).toBe("dnf");
  });

  test("the set-up of a run is corrected, and only to another one that is there", () => {
    const day = aDay();
    const run = ride(day, 1);
    expect(refusal(day, (s) => correctSetup(s, run, "A"))).toBe(
      `run ${run} is on A already: choose another set-up`,
    );
    expect(refusal(day, (s) => correctSetup(s, run, "C"))).toBe(
      "there is no set-up C: choose one of A, B",
    );
    act(day, (s) => correctSetup(s, run, "B"));
    expect(day.file.session().runs[0]?.setup).toBe("B");
  });

  test("the rider of a run is corrected, and only to another one who is there", () => {
    const day = aDay(handSheet);
    const run = ride(day, 1);
    expect(refusal(day, (s) => correctRider(s, run, "R1"))).toBe(
      `run ${run} is R1's already: choose another rider`,
    );
    expect(refusal(day, (s) => correctRider(s, run, "R9"))).toBe(
      "there is no rider R9: choose one of R1, R2",
    );
    act(day, (s) => correctRider(s, run, "R2"));
    expect(day.file.session().runs.map((r) => r.rider)).toContain("R2");
  });

  test("a rating is a whole number from 1 to 10; the newest of a run holds", () => {
    const day = aDay();
    const run = ride(day, 1);
    for (const score of [0, 11, 5.5, Number.NaN]) {
      expect(refusal(day, (s) => rateRun(s, run, "feel", score))).toBe(
        `${String(score)} is no rating: give a whole number from 1 to 10`,
      );
    }
    act(day, (s) => rateRun(s, run, "feel", 4));
    act(day, (s) => rateRun(s, run, "feel", 8));
    expect(day.file.session().ratings).toEqual([{ runId: run, aspect: "feel", score: 8 }]);
  });

  test("an incident names a sector that is there", () => {
    const day = aDay();
    const run = ride(day, 1);
    expect(refusal(day, (s) => noteIncident(s, run, "dab", 3))).toBe(
      "there is no sector 3: sectors go from 1 to 2",
    );
    act(day, (s) => noteIncident(s, run, "dab", 2));
    expect(day.file.session().incidents).toMatchObject([{ runId: run, kind: "dab", sector: 2 }]);
  });

  test("an imported run without splits can't be taken apart, nor one of its sectors struck out", () => {
    const day = aDay();
    const row: ImportedRow = {
      rider: "R1",
      setup: "A",
      status: "ok",
      timeS: 61,
      uncertaintyS: null,
      sectorS: [],
      startedAtUs: null,
      reason: null,
    };
    act(day, (s) => importRows(s, "times.csv", [row]));
    const run = day.file.session().runs[0]?.runId ?? "";
    expect(refusal(day, (s) => splitRun(s, run))).toBe(
      "an imported run cannot be split: void it instead",
    );
    expect(refusal(day, (s) => markRun(s, run, "void", null, [1]))).toBe(
      `run ${run} has no sector times: mark the whole run`,
    );
  });

  test("a run that isn't there is said, whatever was asked of it", () => {
    const day = aDay();
    const asked: readonly Decide[] = [
      (s) => markRun(s, "77", "void", null),
      (s) => correctSetup(s, "77", "B"),
      (s) => correctRider(s, "77", "R1"),
      (s) => noteIncident(s, "77", "dab", null),
      (s) => rateRun(s, "77", "feel", 5),
      (s) => splitRun(s, "77"),
      (s) => addNote(s, "77", "?"),
    ];
    for (const decide of asked) {
      expect(refusal(day, decide)).toBe("there is no run 77: choose a run from the list");
    }
  });
});

describe("passings", () => {
  test("a key for a gate that isn't there is refused", () => {
    const day = aDay();
    for (const gate of [-1, 3, 0.5]) {
      expect(refusal(day, (s) => keyPassing(s, gate, mono(1)))).toBe(
        `there is no gate ${String(gate)}: this stretch has no split there`,
      );
    }
  });

  test("a keyed passing carries the instant of the key and the scatter of a hand", () => {
    const day = aDay();
    day.pass(100);
    act(day, (s) => keyPassing(s, 0, mono(99.4)));
    expect(day.contents().at(-1)).toEqual({
      type: "passing-keyed",
      body: {
        gate: 0,
        keyedMonoUs: mono(99.4),
        typedAtUs: null,
        rider: null,
        uncertaintyS: 0.2,
      },
    });
  });

  test("a passing is struck out once, and brought back", () => {
    const day = aDay();
    ride(day, 1);
    const id = day.file.session().passings.at(-1)?.passingId ?? "";
    act(day, (s) => rejectPassing(s, id, "walker"));
    expect(day.file.session().runs[0]?.status).toBe("on-course");
    expect(refusal(day, (s) => rejectPassing(s, id, "walker"))).toBe(
      "it is struck out already: bring it back if it was a bike",
    );
    act(day, (s) => promotePassing(s, id));
    expect(day.file.session().runs[0]?.status).toBe("ok");
  });

  test("start and finish are joined the right way round", () => {
    const day = aDay();
    const run = ride(day, 1);
    act(day, (s) => splitRun(s, run));
    const ids = day.file.session().passings.map((p) => p.passingId);
    const [first = "", , last = ""] = ids;
    expect(refusal(day, (s) => joinPassings(s, last, first))).not.toBe("");
    act(day, (s) => joinPassings(s, first, last));
    expect(day.file.session().runs[0]).toMatchObject({ status: "ok", timeS: 60 });
  });

  test("passings, riders and runs that aren't there are said", () => {
    const day = aDay();
    ride(day, 1);
    const id = day.file.session().passings[0]?.passingId ?? "";
    const unknown = "there is no passing S1:0012:9: choose a passing from the list";
    expect(refusal(day, (s) => promotePassing(s, "S1:0012:9"))).toBe(unknown);
    expect(refusal(day, (s) => rejectPassing(s, "S1:0012:9", null))).toBe(unknown);
    expect(refusal(day, (s) => assignPassing(s, "S1:0012:9", { rider: "R1" }))).toBe(unknown);
    expect(refusal(day, (s) => assignPassing(s, id, { rider: "R9" }))).toMatch(
      /^there is no rider/,
    );
    expect(refusal(day, (s) => assignPassing(s, id, { runId: "9" }))).toMatch(/^there is no run 9/);
    expect(refusal(day, (s) => callNextStarter(s, "R9"))).toMatch(/^there is no rider R9/);
  });

  test("the next start is the called rider's", () => {
    const day = aDay(handSheet);
    act(day, (s) => callNextStarter(s, "R2"));
    start(day, 1);
    expect(day.file.session().runs[0]?.rider).toBe("R2");
  });
});

describe("the day", () => {
  test("a swap is to another set-up of a rider who is there", () => {
    const day = aDay();
    expect(refusal(day, (s) => logSwap(s, "R1", "A", true))).toBe(
      "A is on R1's bike already: nothing to swap",
    );
    expect(refusal(day, (s) => logSwap(s, "R9", "B", true))).toMatch(/^there is no rider R9/);
    expect(refusal(day, (s) => logSwap(s, "R1", "C", true))).toMatch(/^there is no set-up C/);
    act(day, (s) => logSwap(s, "R1", "B", true));
    expect(day.file.session().mounted).toEqual({ R1: "B" });
    ride(day, 1);
    expect(day.file.session().runs[0]?.setup).toBe("B");
  });

  test("the end is brought forward once, at least max(2, N / 10) counted runs ahead", () => {
    const day = aDay();
    for (let n = 1; n <= 4; n += 1) ride(day, n, 60 + n);
    // N = 12, notice of 2, 4 counted runs so far.
    expect(refusal(day, (s) => announceEnd(s, "R1", 5))).toBe(
      "the plan can't end at run 5: choose a run from 6 to 11",
    );
    for (const end of [12, 13, 6.5, Number.NaN]) {
      expect(refusal(day, (s) => announceEnd(s, "R1", end))).toMatch(/choose a run from 6 to 11$/);
    }
    act(day, (s) => announceEnd(s, "R1", 6));
    expect(day.file.session().plannedEnds).toMatchObject([{ rider: "R1", endRun: 6 }]);
    expect(refusal(day, (s) => announceEnd(s, "R1", 8))).toBe(
      "the end was brought forward once already: it can't be moved again",
    );
  });

  test("shortly before the end it is too late to bring it forward", () => {
    const day = aDay();
    for (let n = 1; n <= 10; n += 1) ride(day, n, 60 + (n % 3));
    expect(refusal(day, (s) => announceEnd(s, "R1", 11))).toBe(
      "the plan can't end at run 11: it is too late to bring the end forward: run 12 is the end",
    );
  });

  test("there is no end without a plan", () => {
    const settings = { ...alone.settings, plannedRuns: null, bands: "open" as const };
    const day = aDay({ ...alone, settings });
    expect(refusal(day, (s) => announceEnd(s, "R1", 6))).toMatch(/^there is no plan to end/);
  });

  test("a margin is above 0, or none", () => {
    const day = aDay();
    for (const margin of [0, -1, Number.NaN]) {
      expect(refusal(day, (s) => setMargin(s, margin))).toMatch(/^a margin is above 0 s/);
    }
    act(day, (s) => setMargin(s, 1.5));
    expect(day.file.session().settings?.marginS).toBe(1.5);
    act(day, (s) => setMargin(s, null));
    expect(day.file.session().settings?.marginS).toBeNull();
  });

  test("the course is held and opened once each", () => {
    const day = aDay();
    expect(refusal(day, openCourse)).toBe("the course is not held: nothing to open");
    act(day, (s) => holdCourse(s, "rescue on the track"));
    expect(day.file.session().heldBecause).toBe("rescue on the track");
    expect(refusal(day, (s) => holdCourse(s, "again"))).toBe(
      "the course is held already: open it first",
    );
    act(day, openCourse);
    expect(day.file.session().heldBecause).toBeNull();
  });

  test("a gate that was moved is one that is there", () => {
    const day = aDay();
    expect(refusal(day, (s) => markGateMoved(s, 3, "?"))).toBe("there is no gate 3: choose one");
    act(day, (s) => markGateMoved(s, 2, "half a metre up"));
    expect(day.file.session().notes).toMatchObject([{ kind: "gate-moved" }]);
  });

  test("nobody is left on course when the session closes: they are named", () => {
    const day = aDay(handSheet);
    start(day, 1);
    day.pass(610);
    act(day, (s) => callNextStarter(s, "R2"));
    act(day, (s) => keyPassing(s, 0, mono(630)));
    expect(refusal(day, closeSession)).toBe(
      "still on course: Rider one, Rider two: wait for the finish, or mark the run DNF once you know where the rider is",
    );
    for (const run of day.file.session().runs) act(day, (s) => markRun(s, run.runId, "dnf", "?"));
    act(day, closeSession);
    expect(day.file.session().isClosed).toBe(true);
  });

  test("a closed session takes no decisions until it is opened again", () => {
    const day = aDay();
    const run = ride(day, 1);
    expect(refusal(day, reopenSession)).toBe("the session is open: nothing to reopen");
    act(day, closeSession);
    const asked: readonly Decide[] = [
      closeSession,
      (s) => keyPassing(s, 0, mono(9000)),
      (s) => markRun(s, run, "void", null),
      (s) => correctSetup(s, run, "B"),
      (s) => logSwap(s, "R1", "B", true),
      (s) => setMargin(s, 1),
      (s) => announceEnd(s, "R1", 6),
      (s) => splitRun(s, run),
      (s) => callNextStarter(s, "R1"),
      (s) => importRows(s, "t.csv", []),
    ];
    for (const decide of asked) {
      expect(refusal(day, decide)).toBe("the session is closed: reopen it first");
    }
    act(day, (s) => addNote(s, run, "still to be said"));
    act(day, reopenSession);
    act(day, (s) => markRun(s, run, "void", "walker"));
    expect(day.file.session().runs[0]?.status).toBe("void");
  });
});

describe("taking back", () => {
  test("undo and redo walk through the decisions and end in words", () => {
    const day = aDay();
    expect(refusal(day, undo)).toBe(
      "there is nothing to undo: times from gates can't be undone: void the run",
    );
    expect(refusal(day, redo)).toBe("there is nothing to bring back: undo first");
    const run = ride(day, 1);
    act(day, (s) => markRun(s, run, "void", "walker"));
    act(day, (s) => logSwap(s, "R1", "B", true));
    const done = day.file.session();
    expect(done.undo?.label).toBe("swap to B for R1");
    act(day, undo);
    expect(day.file.session().mounted).toEqual({ R1: "A" });
    expect(day.file.session().undo?.label).toBe("void run 1");
    act(day, undo);
    expect(day.file.session().runs[0]?.status).toBe("ok");
    act(day, redo);
    act(day, redo);
    expect(refusal(day, redo)).toBe("there is nothing to bring back: undo first");
    const again = day.file.session();
    expect({ ...again, lastSeq: 0, redo: null }).toEqual({ ...done, lastSeq: 0, redo: null });
  });

  test("two consoles take back two decisions, not the same one twice", () => {
    const path = newSessionFile(alone);
    const one = new Day(path);
    const two = new Day(path);
    ride(one, 1);
    act(one, (s) => logSwap(s, "R1", "B", true));
    act(one, (s) => setMargin(s, 2));
    two.file.refresh();
    act(one, undo);
    act(two, undo);
    one.file.refresh();
    expect(one.file.session()).toEqual(two.file.session());
    expect(one.file.session().settings?.marginS).toBeNull();
    expect(one.file.session().mounted).toEqual({ R1: "A" });
  });

  test("a new decision ends the bringing back", () => {
    const day = aDay();
    act(day, (s) => logSwap(s, "R1", "B", true));
    act(day, undo);
    act(day, (s) => setMargin(s, 2));
    expect(refusal(day, redo)).toBe("there is nothing to bring back: undo first");
  });
});
