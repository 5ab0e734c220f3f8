// The operator's commands on runs: what each writes, when each refuses, and in which words.
import { expect, test } from "vitest";
import { addNote } from "../../src/app/day-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import { joinPassings } from "../../src/app/passing-commands.ts";
import {
  correctRider,
  correctSetup,
  markRun,
  noteIncident,
  rateRun,
  splitRun,
} from "../../src/app/run-commands.ts";
import type { Session } from "../../src/session/session.ts";
import { aloneSheet } from "./a-day.ts";
import { type Decide, HandDay } from "./hand-day.ts";

test("a run is void with its reason, and counts again", () => {
  const day = new HandDay();
  const { runId } = day.ride(60);
  day.do((s) => markRun(s, runId, "void", "walker on the line"));
  expect(day.run(1)).toMatchObject({ status: "void", reason: "walker on the line", k: 1 });
  day.checkTables();
  day.do((s) => markRun(s, runId, "ok", null));
  expect(day.run(1)).toMatchObject({ status: "ok", k: 1 });
  day.checkTables();
});

test("a sector is struck out alone, and must be there", () => {
  const day = new HandDay();
  const { runId } = day.ride(60);
  for (const sector of [0, 3, 1.5]) {
    expect(day.refusal((s) => markRun(s, runId, "void", null, [sector]))).toBe(
      `there is no sector ${String(sector)}: sectors go from 1 to 2`,
    );
  }
  day.do((s) => markRun(s, runId, "void", "held up", [2]));
  expect(day.run(1)).toMatchObject({ status: "ok", voidSectors: [2] });
});

test("a warm-up takes no number", () => {
  const day = new HandDay(aloneSheet);
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

test("who is still out there can't be counted, but can be marked DNF", () => {
  const day = new HandDay();
  const { runId } = day.start();
  expect(day.refusal((s) => markRun(s, runId, "ok", null))).toBe(
    "this run is still on course: wait for the finish, or mark it DNF",
  );
  day.do((s) => markRun(s, runId, "dnf", "puncture"));
  expect(day.session.runs).toMatchObject([{ status: "dnf", timeS: null }]);
});

test("set-up and rider are corrected, and only to others that are there", () => {
  const day = new HandDay();
  const { runId } = day.ride(60);
  const setup = (id: string) => day.refusal((s) => correctSetup(s, runId, id));
  const rider = (id: string) => day.refusal((s) => correctRider(s, runId, id));
  expect(setup("A")).toBe(`run ${runId} is on A already: choose another set-up`);
  expect(setup("C")).toBe("there is no set-up C: choose one of A, B");
  expect(rider("R1")).toBe(`run ${runId} is R1's already: choose another rider`);
  expect(rider("R9")).toBe("there is no rider R9: choose one of R1, R2");
  day.do((s) => correctSetup(s, runId, "B"));
  day.do((s) => correctRider(s, runId, "R2"));
  expect(day.session.runs).toMatchObject([{ setup: "B", rider: "R2" }]);
  day.checkTables();
  expect(setup("B")).toBe(`run ${runId} is on B already: choose another set-up`);
  expect(rider("R2")).toBe(`run ${runId} is R2's already: choose another rider`);
});

test("a rating is a whole number from 1 to 10; the newest of a run holds, the run counts", () => {
  const day = new HandDay();
  const { runId } = day.ride(60);
  for (const score of [0, 11, 5.5, Number.NaN]) {
    expect(day.refusal((s) => rateRun(s, runId, "feel", score))).toBe(
      `${String(score)} is no rating: give a whole number from 1 to 10`,
    );
  }
  expect(day.refusal((s) => rateRun(s, runId, "grip", 4))).toBe(
    '"grip" is no aspect of this session: rate feel',
  );
  const withAspects = (s: Session): Session =>
    s.settings === null ? s : { ...s, settings: { ...s.settings, aspects: ["grip", "comfort"] } };
  expect(day.refusal((s) => rateRun(withAspects(s), runId, "feel", 4))).toBe(
    '"feel" is no aspect of this session: rate grip, comfort',
  );
  expect(rateRun(withAspects(day.session), runId, "comfort", 4)).toHaveLength(1);
  day.do((s) => rateRun(s, runId, "feel", 4));
  day.do((s) => rateRun(s, runId, "feel", 8));
  expect(day.session.ratings).toEqual([{ runId, aspect: "feel", score: 8 }]);
  expect(day.run(1).status).toBe("ok");
  day.checkTables();
});

test("an incident names a sector that is there; the run counts", () => {
  const day = new HandDay();
  const { runId } = day.ride(60);
  expect(day.refusal((s) => noteIncident(s, runId, "dab", 3))).toBe(
    "there is no sector 3: sectors go from 1 to 2",
  );
  day.do((s) => noteIncident(s, runId, "dab", 2));
  day.do((s) => noteIncident(s, runId, "near-miss", null));
  expect(day.session.incidents).toMatchObject([
    { runId, kind: "dab", sector: 2 },
    { runId, kind: "near-miss", sector: null },
  ]);
  expect(day.run(1).status).toBe("ok");
  day.checkTables();
});

test("a run is taken apart, and put together again from its passings", () => {
  const day = new HandDay(aloneSheet);
  const { runId } = day.ride(60);
  const [start = "", , finish = ""] = day.session.passings.map((passing) => passing.passingId);
  day.do((s) => splitRun(s, runId));
  expect(day.session.runs.filter((run) => run.status === "ok")).toEqual([]);
  day.do((s) => joinPassings(s, start, finish));
  expect(day.session.runs).toMatchObject([{ runId, status: "ok" }]);
  expect(day.session.runs[0]?.timeS).toBeCloseTo(60, 6);
  day.checkTables();
});

test("an imported run without splits can't be taken apart, nor one of its sectors struck out", () => {
  const day = new HandDay(aloneSheet);
  day.do((s) =>
    importRows(s, "times.csv", [
      {
        ...{ rider: "R1", setup: "A", status: "ok", timeS: 61, uncertaintyS: null },
        ...{ sectorS: [], startedAtUs: null, reason: null },
      },
    ]),
  );
  const { runId } = day.run(1);
  expect(day.refusal((s) => splitRun(s, runId))).toBe(
    "an imported run cannot be split: void it instead",
  );
  expect(day.refusal((s) => markRun(s, runId, "void", null, [1]))).toBe(
    `run ${runId} has no sector times: mark the whole run`,
  );
});

test("a run that isn't there is said, whatever was asked of it", () => {
  const day = new HandDay();
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
    expect(day.refusal(decide)).toBe("there is no run 77: choose a run from the list");
  }
});
