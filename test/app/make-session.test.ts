// Times brought in from elsewhere: where they stand among the runs that were timed here.
import { expect, test } from "vitest";
import { importRows } from "../../src/app/make-session.ts";
import type { ImportedRow } from "../../src/domain/imported-row.ts";
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
