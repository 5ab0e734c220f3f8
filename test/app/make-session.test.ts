// Times brought in from elsewhere: where they stand among the runs that were timed here.
import { expect, test } from "vitest";
import { undo } from "../../src/app/day-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import type { ImportedRow } from "../../src/domain/imported-row.ts";
import { sessionUs } from "../../src/domain/time.ts";
import { aloneSheet } from "./a-day.ts";
import { HandDay } from "./hand-day.ts";

test("imported rows stand after what was there", () => {
  const day = new HandDay(aloneSheet);
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

test("rows that were imported before are refused, until that import is taken back", () => {
  const day = new HandDay(aloneSheet);
  const at = (us: number): ImportedRow => ({
    ...{ rider: "R1", setup: "B", status: "ok", timeS: 58.25, uncertaintyS: null },
    ...{ sectorS: [null, null], startedAtUs: sessionUs(us), reason: null },
  });
  day.do((s) => importRows(s, "times.csv", [at(1e15)]));
  expect(day.refusal((s) => importRows(s, "times.csv", [at(1e15), at(1e15 + 3e8)]))).toBe(
    "1 of 2 rows: the same rider at the same start is in the session already: leave out what was imported before, or take that import back (u in the console); nothing was imported",
  );
  day.do((s) => importRows(s, "later.csv", [at(1e15 + 3e8)]));
  day.do(undo);
  day.do(undo);
  day.do((s) => importRows(s, "times.csv", [at(1e15), at(1e15 + 3e8)]));
  expect(day.session.runs).toHaveLength(2);
});
