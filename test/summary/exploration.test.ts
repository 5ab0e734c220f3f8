// A session that explores: what its summary says after every entry, from the first value to the last.
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { addRider, changeSetup } from "../../src/app/add-to-sheet.ts";
import { markConditions } from "../../src/app/day-commands.ts";
import { rideValues } from "../../src/app/explore-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import { correctSetup, markRun } from "../../src/app/run-commands.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { hostUs } from "../../src/domain/time.ts";
import type { Body, Content } from "../../src/journal/content.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { readTimes } from "../../src/sheet/times-csv.ts";
import { explorationJson, foundValues, nextValues } from "../../src/summary/exploration.ts";
import { compareAfter, exploreAfter, type Summary, summarise } from "../../src/summary/summary.ts";
import { aloneSheet } from "../app/a-day.ts";
import { bothSheet, ExploreDay, exploreSheet } from "../app/explore-day.ts";

const withMinutes = (minutes: number): Sheet => ({
  ...exploreSheet,
  settings: { ...exploreSheet.settings, minutes, lapMinutes: 1 },
});

describe("what is next", () => {
  test("is the set-up that riding the values would make, after a warm-up", () => {
    const day = new ExploreDay(exploreSheet);
    const { next } = day.summary.comparison;
    expect(next.because).toMatch(/^warm up first, not counted: .*; then 1\.\d\d bar: /);
    expect(next).toMatchObject({ rider: "R1", setup: "B", stop: null, band_now_s: null });
    const [value = 0] = nextValues(day.summary) ?? [];
    expect(next).toMatchObject({ values: { rear_pressure_bar: value } });
    const warmUp = day.ride(70);
    day.do((s) => markRun(s, warmUp.runId, "warm-up", null));
    expect(day.summary.comparison.next.because).toMatch(/^1\.\d\d bar: /);
    day.do((s) => rideValues(s, "R1", [value]));
    expect(day.session.mounted).toEqual({ R1: next.setup });
  });

  test("waits for the time of a run at those values", () => {
    const day = new ExploreDay(exploreSheet);
    day.do((s) => rideValues(s, "R1", nextValues(day.summary) ?? []));
    day.start();
    expect(day.summary.comparison.next).toMatchObject({ setup: null, values: null });
    expect(day.summary.comparison.next.because).toMatch(/^1\.\d\d bar is being ridden/);
    expect(nextValues(day.summary)).toBeNull();
    day.laptop.pass(60);
    day.key(2);
    expect(nextValues(day.summary)).not.toBeNull();
  });

  test("never lies outside the limits, and ends with the planned runs", () => {
    for (const sheet of [exploreSheet, bothSheet]) {
      const day = new ExploreDay(sheet);
      for (let n = 0; n < 8; n += 1) {
        const values = nextValues(day.summary) ?? [];
        sheet.explored?.settings.forEach(({ low, high }, i) => {
          expect(values[i]).toBeGreaterThanOrEqual(low);
          expect(values[i]).toBeLessThanOrEqual(high);
        });
        day.rideSuggested(1);
      }
      expect(day.summary.exploration).toMatchObject({ phase: "done", runs: 8, next: null });
      expect(day.summary.comparison.next).toMatchObject({ setup: null, stop: null });
      day.checkTables();
    }
  });

  test("with the runs done: check what was found, or keep what there is", () => {
    const day = new ExploreDay(exploreSheet);
    expect(foundValues(day.summary)).toBeNull();
    day.rideSuggested(8);
    expect(day.summary.comparison.next.because).toBe(
      "begin the closing check of 1.50 bar (8 runs, about 9 min), or keep 1.75 bar",
    );
    expect(foundValues(day.summary)).toEqual([1.5]);
    expect(day.summary.comparison).toMatchObject({ together: null, remarks: [] });
    expect(day.summary.comparison.riders[0]).toMatchObject({ counted_runs: 8 });
    expect(day.summary.comparison.riders[0]?.parts.flatMap((part) => part.pairs)).toEqual([]);
  });

  test("nothing, once no run fits in the day's hours", () => {
    const day = new ExploreDay(withMinutes(5));
    day.rideSuggested(4); // 65 s each
    const { next } = day.summary.comparison;
    expect(next).toMatchObject({ setup: null, stop: "day-over" });
    expect(next.because).toMatch(/^day over: no run fits in the 0 min left; /);
    const roomy = new ExploreDay(withMinutes(6));
    roomy.rideSuggested(4);
    expect(roomy.summary.comparison.next.stop).toBeNull();
  });
});

describe("what counts", () => {
  test("a run at values that are not inside the limits does not, and is named", () => {
    const day = new ExploreDay(exploreSheet);
    day.rideSuggested(3);
    day.do((s) => rideValues(s, "R1", [1.45]));
    day.rideOn();
    const id = day.session.mounted["R1"] ?? "";
    day.do((s) => changeSetup(s, id, "typed wrong", { rear_pressure_bar: 14.5 }));
    expect(day.summary.exploration?.runs).toBe(3);
    expect(day.summary.comparison.remarks).toMatchObject([
      { level: "warn", kind: "not-tried", rider: "R1" },
    ]);
    expect(day.summary.comparison.remarks[0]?.text).toMatch(/^run 4 is not counted here/);
    day.do((s) => correctSetup(s, day.run(4).runId, "A"));
    expect(day.summary.exploration?.runs).toBe(4);
    expect(day.summary.comparison.remarks.map(({ kind }) => kind)).toEqual(["mended-by-hand"]);
  });

  test("a present value outside the limits leaves nothing to compare with: say so", () => {
    const day = new ExploreDay(exploreSheet);
    day.rideSuggested(2);
    for (const values of [{ rear_pressure_bar: 2.2 }, {}, { rear_pressure_bar: "soft" }]) {
      const body = { setup: "A", values: values as Record<string, string | number> };
      day.do(() => [{ type: "setup-changed", body }]);
      expect(day.summary.exploration).toBeNull();
      expect(day.summary.comparison.next).toMatchObject({
        because: "write rear_pressure_bar of A on its sheet, inside the limits",
        setup: null,
      });
    }
    day.checkTables();
  });

  test("a step of the ground between them is warned about: the curve does not know", () => {
    const day = new ExploreDay(exploreSheet);
    day.rideSuggested(2);
    day.do(() => markConditions("rain", true));
    expect(day.summary.comparison.remarks).toEqual([]);
    day.laptop.pass(1);
    day.rideSuggested(1);
    expect(day.summary.comparison.remarks).toMatchObject([{ kind: "ground-while-exploring" }]);
  });

  test("only the first rider's: what is best for one need not be for another", () => {
    const day = new ExploreDay(exploreSheet);
    const R2 = { id: "R2", name: "Rider two", tag: null, newTo: [], setups: null };
    const plan = (): Body<"plan-fixed"> => ({ setups: ["A"], riders: [], seed: 1 });
    day.do((s) => addRider(s, { ...R2, plannedRuns: null }, plan));
    const row = { status: "ok", timeS: 60, uncertaintyS: null, startedAtUs: null } as const;
    const of = (rider: string) => ({ ...row, rider, setup: "1.50", reason: null });
    const rows = [of("R1"), of("R2"), of("R2")].map((each) => ({ ...each, sectorS: [null, null] }));
    day.do((s) => importRows(s, "times.csv", rows));
    expect(day.summary.exploration?.runs).toBe(1);
    expect(day.summary.comparison.next.rider).toBe("R1");
  });

  test("after n of them it is as it was then", () => {
    const day = new ExploreDay(exploreSheet);
    day.rideSuggested(5);
    const then = day.summary;
    day.rideSuggested(3);
    expect(exploreAfter(day.summary, 5)).toEqual(then.exploration);
    const { next, riders } = compareAfter(day.summary, 5);
    expect(next.because).toBe(then.comparison.next.because);
    expect(riders).toEqual(then.comparison.riders);
    expect(() => exploreAfter(day.summary, 9)).toThrow("there are only 8 counted runs");
  });
});

test("pressure and damping go together, in words", () => {
  expect(new ExploreDay(exploreSheet).summary.exploration?.words.join()).toContain("rebound");
  const clicks = { key: "fork_rebound_clicks", low: 0, high: 12, step: 1 };
  const [A] = exploreSheet.setups;
  if (A === undefined) throw new TypeError("a set-up");
  const day = new ExploreDay({
    ...exploreSheet,
    setups: [{ ...A, values: { fork_rebound_clicks: 6 } }],
    explored: { settings: [clicks], checkRuns: 8 },
  });
  expect(day.summary.exploration?.words.join()).not.toContain("pressure");
});

test("an ordinary session has none", () => {
  const day = new ExploreDay(aloneSheet);
  expect(day.summary).toMatchObject({ exploration: null, check: null });
  expect(nextValues(day.summary)).toBeNull();
});

/** A whole day with what can be taken back in it. */
function fullDay(): readonly Entry[] {
  const day = new ExploreDay(exploreSheet);
  day.rideSuggested(3);
  day.do((s) => markRun(s, day.run(2).runId, "void", "walker"));
  day.rideSuggested(6);
  day.begin();
  day.rideCheck(2);
  day.do((s) => markRun(s, day.run(10).runId, "void", "walker"));
  day.rideCheck(1);
  return day.file.store.readSince(0);
}

test("any beginning of the journal gives a summary, row by row the same as afresh", () => {
  let fold = emptyFold();
  let kept: Summary | undefined;
  let reused = 0;
  for (const entry of fullDay()) {
    fold = extendFold(fold, [entry]);
    const session = sessionOf(fold);
    if (session.plan === null) continue; // the sheet is one transaction
    const next = summarise(session, kept);
    expect(next).toEqual(summarise(session));
    if (next.exploration === kept?.exploration) reused += 1;
    kept = next;
  }
  expect(kept?.check).not.toBeNull();
  expect(reused).toBeGreaterThan(0);
});

test("whatever else is said meanwhile, there is a summary", () => {
  const entries = fullDay();
  const ids = fc.constantFrom("A", "B", "C", "nothing");
  const figure = fc.oneof(fc.constantFrom(-1, 0, 1.3, 1.75, 1.9, 1e9), fc.constant("soft"));
  const said = fc.oneof(
    fc
      .record({ setup: ids, runs: fc.integer({ min: 1, max: 30 }) })
      .map((check): Content => ({ type: "settings-changed", body: { check } })),
    fc.constant<Content>({ type: "settings-changed", body: { check: null } }),
    fc.tuple(ids, figure).map(
      ([setup, value]): Content => ({
        ...{ type: "setup-changed", body: { setup, values: { rear_pressure_bar: value } } },
      }),
    ),
    fc
      .integer({ min: 1, max: entries.length })
      .map((seq): Content => ({ type: "entry-undone", body: { seq } })),
    fc.constant<Content>({ type: "condition-marked", body: { note: "rain", isStep: true } }),
  );
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.nat(entries.length), said), { maxLength: 8 }), (further) => {
      const all: Entry[] = [];
      entries.forEach((entry, i) => {
        all.push({ ...entry, seq: all.length + 1 });
        for (const [at, content] of further) {
          if (at !== i || i < 8) continue;
          const stamp = { ...entry, monoUs: hostUs(entry.monoUs + 1) };
          all.push({ ...stamp, ...content, seq: all.length + 1 });
        }
      });
      const session = sessionOf(extendFold(emptyFold(), all));
      const { exploration, comparison } = summarise(session);
      expect(JSON.stringify([exploration, comparison])).not.toContain("NaN");
      expect(comparison.next.because).not.toBe("");
    }),
    { seed: 20260523, numRuns: 20 },
  );
});

describe("the sample of a stopwatch day", () => {
  const text = (name: string): string =>
    readFileSync(new URL(`../../samples/${name}`, import.meta.url), "utf8");
  const sheet = readSheet(text("explore-pressure.toml"), "explore-pressure.toml", {
    ...{ zone: "UTC", date: "2026-05-23", seed: 1 },
  });
  const imported = (): ExploreDay => {
    const day = new ExploreDay(sheet);
    const of = { ...sheet, sectors: ["x"] };
    const rows = readTimes(text("explore-pressure.csv"), "explore-pressure.csv", of);
    day.do((s) => importRows(s, "explore-pressure.csv", rows));
    return day;
  };

  test("finds the pressure that its times were made with, and what is as good", () => {
    const day = imported();
    const { exploration, setups, comparison } = day.summary;
    const [found] = exploration?.settings ?? [];
    // The invented times are quickest at 1.53 bar: 2.4 s more at half the range, spread 0.55 s.
    expect(found).toMatchObject({ best: 1.55, asGood: [1.45, 1.6], atLow: false, atHigh: false });
    expect(exploration).toMatchObject({ phase: "done", runs: 14, isKept: false, next: null });
    expect(Math.abs((exploration?.spreadS ?? 0) - 0.55)).toBeLessThan(0.25);
    expect(setups.map((setup) => setup.name)).toEqual([
      "As it is",
      "1.60 bar",
      "1.35 bar",
      "1.85 bar",
      "1.40 bar",
      "1.70 bar",
    ]);
    expect(comparison.next.because).toBe(
      "begin the closing check of 1.55 bar (8 runs, about 104 min), or keep 1.75 bar",
    );
    day.checkTables();
  });

  test("its values were those suggested: the rows could have been ridden one by one", () => {
    const day = imported();
    const ridden = day.summary.runs.filter((run) => run.status === "ok");
    ridden.forEach(({ setup }, n) => {
      const value = day.session.setups.find((each) => each.id === setup)?.values;
      expect(exploreAfter(day.summary, n)?.next).toEqual([value?.["rear_pressure_bar"]]);
    });
  });

  test("reads back as JSON with the names that scripts rely on", () => {
    const { exploration, check } = imported().summary;
    if (exploration === null) throw new TypeError("nothing explored");
    const printed = JSON.parse(JSON.stringify(explorationJson(exploration, check))) as unknown;
    expect(printed).toMatchObject({
      ...{ phase: "done", runs: 14, planned_runs: 14, is_kept: false, next: null, check: null },
      settings: [
        {
          ...{ key: "rear_pressure_bar", low: 1.3, high: 1.9, step: 0.05, present: 1.75 },
          ...{ best: 1.55, as_good: [1.45, 1.6], at_low: false, at_high: false },
        },
      ],
    });
  });
});
