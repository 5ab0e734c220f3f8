// The closing check: a comparison of its own, of the runs ridden after it began and no others.
import { describe, expect, test } from "vitest";
import { undo } from "../../src/app/day-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import { markRun } from "../../src/app/run-commands.ts";
import type { ImportedRow } from "../../src/domain/imported-row.ts";
import type { Setup, Sheet } from "../../src/domain/session.ts";
import { foundValues, nextValues } from "../../src/summary/exploration.ts";
import { compareAfter, exploreAfter } from "../../src/summary/summary.ts";
import { aloneSheet } from "../app/a-day.ts";
import { ExploreDay, exploreSheet } from "../app/explore-day.ts";
import { HandDay } from "../app/hand-day.ts";

function exploredDay(sheet = exploreSheet): ExploreDay {
  const day = new ExploreDay(sheet);
  day.rideSuggested(8);
  day.begin();
  return day;
}

const row = (setup: string, timeS: number, status: ImportedRow["status"] = "ok"): ImportedRow => ({
  ...{ rider: "R1", setup, status, timeS, uncertaintyS: 0.2 },
  ...{ sectorS: [null, null], startedAtUs: null, reason: null },
});
const TIMES = [62.4, 60.1, 60.6, 61.9, 62.3, 59.9, 60.4, 62.2];
const ORDER = "ABBAABBA";

describe("the closing check", () => {
  test("is word for word the comparison of a day that had only these runs", () => {
    const day = exploredDay();
    const found = day.session.check?.setup ?? "";
    const rows = [row("A", 65, "warm-up"), ...TIMES.map((s, i) => row(ORDER[i] ?? "", s))];
    const named = (of: string): readonly ImportedRow[] =>
      rows.map((each) => ({ ...each, setup: each.setup === "B" ? of : each.setup }));
    const [A] = exploreSheet.setups;
    if (A === undefined) throw new TypeError("a set-up");
    const setups: readonly Setup[] = [A, { ...A, id: found, name: "found", baseline: false }];
    const settings = { ...aloneSheet.settings, plannedRuns: 8 };
    const plain = new HandDay({ ...aloneSheet, settings, setups });
    for (const each of [day, plain]) each.do((s) => importRows(s, "times.csv", named(found)));
    const own = day.summary.comparison;
    const other = plain.file.summary().comparison;
    expect(own.riders).toEqual(other.riders);
    expect(own.riders[0]?.counted_runs).toBe(8);
    expect(own.riders[0]?.parts[0]?.pairs[0]).toMatchObject({ setup: found, baseline: "A" });
    expect(own.settings).toEqual(other.settings);
    expect(own.next.because).toBe(other.next.because);
    day.checkTables();
  });

  test("begins with nothing, whatever the exploring has shown, and alternates from there", () => {
    const day = exploredDay();
    const before = day.summary.exploration;
    const [pair] = day.summary.comparison.riders[0]?.parts[0]?.pairs ?? [];
    expect(pair).toMatchObject({ runs: 0, baseline_runs: 0, verdict: "cannot-tell" });
    expect(day.summary.comparison.settings).toMatchObject({ planned_runs: 8, bands: "plan" });
    day.rideCheck(4);
    const ridden = day.session.runs.slice(8).map((run) => run.setup);
    const found = day.session.check?.setup;
    expect(ridden.toSorted()).toEqual(["A", "A", found, found]);
    expect(ridden).toEqual(ridden.toReversed());
    expect(day.summary.exploration).toEqual(before);
    expect(nextValues(day.summary)).toBeNull();
    expect(foundValues(day.summary)).toBeNull();
    // The day goes on: places in it are the day's.
    expect(day.session.runs.map((run) => run.k)).toEqual(
      Array.from({ length: 12 }, (_, i) => i + 1),
    );
    day.checkTables();
  });

  test("keeps the place of a run that is void, or on something else", () => {
    const day = exploredDay();
    day.rideCheck(3);
    day.do((s) => markRun(s, day.run(10).runId, "void", "walker"));
    day.do((s) => importRows(s, "times.csv", [row("1.85", 64), row("A", 62)]));
    const [rider] = day.summary.comparison.riders;
    expect(rider).toMatchObject({ counted_runs: 3, void_runs: 1 });
    day.checkTables();
  });

  test("taken back, its runs are tried runs like the others", () => {
    const day = new ExploreDay({
      ...exploreSheet,
      settings: { ...exploreSheet.settings, plannedRuns: 14 },
    });
    day.rideSuggested(8);
    day.begin();
    expect(day.summary.comparison.next.because).toMatch(/^opening, run 1 of 4/);
    expect(day.session.undo?.label).toMatch(/^closing check of [A-Z]$/);
    day.do((s) => importRows(s, "times.csv", [row("A", 62.1), row("1.50", 60)]));
    expect(day.summary.exploration?.runs).toBe(8);
    day.do(undo);
    day.do(undo);
    day.do((s) => importRows(s, "times.csv", [row("A", 62.1), row("1.50", 60)]));
    expect(day.summary).toMatchObject({
      check: null,
      exploration: { runs: 10, phase: "narrowing" },
    });
    expect(nextValues(day.summary)).not.toBeNull();
    day.checkTables();
  });

  test("after n of its runs it is as it was then; the exploring stays whole", () => {
    const day = exploredDay();
    day.rideCheck(3);
    const then = day.summary.comparison.riders;
    day.rideCheck(2);
    expect(compareAfter(day.summary, 3).riders).toEqual(then);
    expect(exploreAfter(day.summary, 3)).toEqual(day.summary.exploration);
    expect(() => compareAfter(day.summary, 6)).toThrow("there are only 5 counted runs");
  });
});

describe("the hours of the day", () => {
  const lasting = (minutes: number): Sheet => ({
    ...exploreSheet,
    settings: { ...exploreSheet.settings, minutes, lapMinutes: 1 },
  });

  test("are those that the exploring has left", () => {
    const day = exploredDay(lasting(12.6)); // each run takes about 1.1
    day.rideCheck(2);
    expect(day.summary.comparison.next.stop).toBeNull();
    day.rideCheck(1);
    expect(day.summary.comparison.next).toMatchObject({ stop: "day-over", setup: null });
  });

  test("too short for all of its runs, it says so, and its end is not offered to be moved", () => {
    const day = exploredDay(lasting(17));
    day.rideCheck(4);
    expect(day.summary.earlierEnd).toBeNull();
    expect(day.summary.comparison.next.because).toMatch(/; time for \d more$/);
    expect(day.summary.comparison.next.because).not.toContain("end the plan");
  });
});
