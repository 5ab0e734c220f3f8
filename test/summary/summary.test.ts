// The summary as a whole: what it needs, what it refuses, who is overdue and by what.
import { describe, expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { compareAfter, summarise } from "../../src/summary/summary.ts";
import { derivedTables } from "../../src/summary/tables.ts";
import { handGates, JournalWriter } from "../session/a-journal.ts";

const summaryOf = (j: JournalWriter) => summarise(sessionOf(extendFold(emptyFold(), j.entries)));

/** Runs by hand of these times, s, one after the other; on B where the letter says so. */
function ridden(times: readonly (readonly [string, number])[], given = {}): JournalWriter {
  const j = new JournalWriter().made(handGates, undefined, given);
  let at = 100;
  for (const [setup, timeS] of times) {
    if (summaryOf(j).mounted["R1"] !== setup) {
      const swap = { rider: "R1", setup, minutes: null, checked: true };
      j.write(at - 1, { type: "setup-swapped", body: swap });
    }
    j.key(0, at);
    j.key(2, at + timeS);
    at += 600;
  }
  return j;
}

describe("a summary", () => {
  it("is of a session that was made", () => {
    expect(() => summarise(sessionOf(emptyFold()))).toThrow("requires a session that was made");
  });

  it("knows the newest finish, imported runs without times of day included", () => {
    const j = new JournalWriter().made(handGates);
    expect(summaryOf(j).lastFinished).toBeNull();
    const row = { uncertaintyS: null, sectorS: [null, null], startedAtUs: null, reason: null };
    const rows = [{ ...row, rider: "R1", setup: "A", status: "ok" as const, timeS: 121 }];
    j.write(5, { type: "times-imported", body: { file: "t.csv", rows } });
    expect(summaryOf(j).lastFinished?.timeS).toBe(121);
    j.key(0, 100);
    j.key(2, 218);
    expect(summaryOf(j).lastFinished?.timeS).toBe(118);
  });

  it("takes overdue from the sheet until three runs are in, then from their median", () => {
    const unknown = { expectedRunS: null, travelMaxS: 400 };
    const j = ridden([], unknown);
    j.key(0, 100);
    expect(summaryOf(j).onCourse[0]).toMatchObject({ usualS: null, overdueAfterS: 400 });
    const expected = ridden([], { expectedRunS: 100 });
    expected.key(0, 100);
    expect(summaryOf(expected).onCourse[0]).toMatchObject({ usualS: 100, overdueAfterS: 150 });
    const known = ridden(
      [
        ["A", 120],
        ["B", 118],
        ["B", 124],
      ],
      { expectedRunS: 100 },
    );
    known.key(0, 3000);
    expect(summaryOf(known).onCourse[0]).toMatchObject({ usualS: 120, overdueAfterS: 180 });
  });

  it("keeps an announced end in the comparison's settings", () => {
    const j = new JournalWriter().made(handGates);
    const plan = { rider: "R1", plannedRuns: 12, order: ["A", "B"], nuN: 9, z2N: {} };
    j.write(1, { type: "plan-fixed", body: { setups: ["A", "B"], riders: [plan], seed: 7 } });
    expect(summaryOf(j).comparison.settings.planned_end).toBeNull();
    j.write(2, { type: "plan-end-announced", body: { rider: "R1", endRun: 9 } });
    expect(summaryOf(j).comparison.settings.planned_end).toBe(9);
  });
});

describe("the comparison after some runs", () => {
  const day = ridden([
    ["A", 120],
    ["B", 118],
    ["B", 117.5],
    ["A", 121],
    ["A", 120.4],
    ["B", 118.2],
  ]);

  it("is what it was then, and refuses more runs than there are", () => {
    const summary = summaryOf(day);
    expect(compareAfter(summary, 6)).toEqual(summary.comparison);
    expect(compareAfter(summary, 4).riders[0]?.counted_runs).toBe(4);
    expect(() => compareAfter(summary, 7)).toThrow("--after 7: there are only 6 counted runs");
    expect(() => compareAfter({ ...summary }, 2)).toThrow("a summary made by summarise");
  });

  it("stands in the derived table with both ends of its bands", () => {
    const table = derivedTables(summaryOf(day)).find((each) => each.name === "comparison");
    const pair = summaryOf(day).comparison.riders[0]?.parts[0]?.pairs[0];
    expect(table?.rows[0]).toMatchObject({
      rider: "R1",
      part: "whole",
      sector: 0,
      setup: "B",
      difference_s: pair?.difference_s,
      band_low_s: pair?.band_s?.[0] ?? null,
      inner_high_s: pair?.inner_band_s?.[1] ?? null,
    });
  });
});
