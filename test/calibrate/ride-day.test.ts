// Simulated days are ridden as the program would have them ridden, and judged as it judges.
import { describe, expect, it } from "vitest";
import { riderStanding } from "../../src/advisor/rider-standing.ts";
import { type Cell, cellsOf, PLAIN } from "../../src/calibrate/cell.ts";
import { verdictsAtEveryLook } from "../../src/calibrate/every-look.ts";
import { runsInTurn, togetherSubject } from "../../src/calibrate/judge-day.ts";
import { normals } from "../../src/calibrate/normal.ts";
import { sharedBy } from "../../src/calibrate/ride-block.ts";
import { beforeFirstRide, rideDay } from "../../src/calibrate/ride-day.ts";
import type { RiderDay } from "../../src/calibrate/rider-day.ts";
import type { Trial } from "../../src/calibrate/trial.ts";
import { differenceOn } from "../../src/calibrate/true-difference.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { aTrial, type TrialGiven } from "./a-trial.ts";

const TROUBLED: Cell = { ...PLAIN, drift: "mixed", spreadRatio: 2, mistakes: 0.2, effect: 1.5 };

/** The first rider's days. */
function days(trial: Trial, cell: Cell, count: number, isRemembering: boolean): RiderDay[] {
  return sessions(trial, cell, count, isRemembering).flatMap((riders) => riders.slice(0, 1));
}

function sessions(
  trial: Trial,
  cell: Cell,
  count: number,
  isRemembering = true,
): (readonly RiderDay[])[] {
  const uniform = seededRandom(11);
  const chance = { uniform, normal: normals(uniform) };
  const before = beforeFirstRide(trial, 7);
  const shared = sharedBy(trial, isRemembering);
  return Array.from({ length: count }, (_, i) =>
    rideDay(shared, cell, before, differenceOn(trial, cell, i, 0), chance),
  );
}

const ridden = ({ runs }: RiderDay): string =>
  runs.map((run) => `${run.setup}${run.status === "ok" ? "" : ` ${run.status}`}`).join(" ");

describe("what is ridden next", () => {
  const plans: readonly (readonly [string, TrialGiven])[] = [
    ["two set-ups", {}],
    [
      "two set-ups with dear swaps and little time",
      { swapMinutes: 10, settings: { minutes: 150 } },
    ],
    ["three set-ups", { setups: ["A", "B", "C"], swapMinutes: 4, settings: { plannedRuns: 15 } }],
    [
      "four set-ups",
      { setups: ["A", "B", "C", "D"], settings: { plannedRuns: 16, lapMinutes: null } },
    ],
    ["a set-up that is new", { newTo: ["B"] }],
    ["the planning order", { order: "mirrored", settings: { minutes: 90 } }],
  ];

  it.each(plans)("is the same remembered as asked for before every ride: %s", (_, given) => {
    const trial = aTrial(given);
    const remembered = days(trial, TROUBLED, 30, true).map(ridden);
    expect(remembered).toEqual(days(trial, TROUBLED, 30, false).map(ridden));
    // The days must differ, or the memory was not put to the test.
    expect(new Set(remembered).size).toBeGreaterThan(10);
  });

  it("is asked for anew where a step of the ground is marked, though as much was ridden", () => {
    const trial = aTrial({ setups: ["A", "B", "C"], settings: { plannedRuns: 15 } });
    const marked = { ...TROUBLED, isMarked: true };
    const shared = sharedBy(trial, true);
    const on = (cell: Cell): readonly string[] => {
      const uniform = seededRandom(11);
      const chance = { uniform, normal: normals(uniform) };
      return Array.from({ length: 20 }, () =>
        rideDay(shared, cell, beforeFirstRide(trial, 7), differenceOn(trial, cell, 1, 0), chance)
          .slice(0, 1)
          .map(ridden),
      ).flat();
    };
    const unmarked = on(TROUBLED);
    const remembered = on(marked);
    expect(remembered).not.toEqual(unmarked);
    expect(on(TROUBLED)).toEqual(unmarked);
    const asked = sharedBy(trial, false);
    const uniform = seededRandom(11);
    const chance = { uniform, normal: normals(uniform) };
    const anew = Array.from({ length: 20 }, () =>
      rideDay(asked, marked, beforeFirstRide(trial, 7), differenceOn(trial, marked, 1, 0), chance)
        .slice(0, 1)
        .map(ridden),
    ).flat();
    expect(anew).toEqual(remembered);
  });

  it("is the suggestion's known order for a day of eight-minute laps and four-minute swaps", () => {
    const trial = aTrial({ swapMinutes: 4, settings: { plannedRuns: 18, minutes: 180 } });
    const [day] = days(trial, PLAIN, 1, true);
    const opening = day === undefined ? "" : ridden(day).replaceAll(" ", "");
    // The rule's order where the index is the plain t multiplier; either set-up may be drawn first.
    expect(opening).toMatch(/^(ABBA|BAAB)/);
    expect(opening).toHaveLength(18);
  });

  it("begins with three practice runs, not counted, on what is new", () => {
    for (const order of ["suggested", "mirrored"] as const) {
      const [day] = days(aTrial({ newTo: ["B"], order }), PLAIN, 1, true);
      const runs = day?.runs ?? [];
      expect(runs.slice(0, 3).map((run) => [run.setup, run.status, run.k])).toEqual([
        ["B", "warm-up", null],
        ["B", "warm-up", null],
        ["B", "warm-up", null],
      ]);
      expect(runs.filter((run) => run.status === "ok")).toHaveLength(12);
    }
  });

  it("ends when no run fits any more", () => {
    const [day] = days(aTrial({ swapMinutes: 2, settings: { minutes: 60 } }), PLAIN, 1, true);
    const minutes = day?.spent.at(-1)?.minutes ?? 0;
    expect(day?.spent.length).toBeLessThan(12);
    expect(minutes).toBeLessThanOrEqual(60);
    expect(minutes).toBeGreaterThan(60 - 2 - 8);
  });
});

describe("run times", () => {
  it("carry difference, getting used and session drift, in spreads", () => {
    const trial = aTrial({ order: "mirrored" });
    const cell: Cell = { ...PLAIN, drift: "tiring", setupLearning: 2, effect: 1 };
    const chance = { uniform: () => 0.5, normal: () => 0 };
    const [day] = rideDay(
      sharedBy(trial, true),
      cell,
      beforeFirstRide(trial, 7),
      differenceOn(trial, cell, 0, 0),
      chance,
    );
    const runs = day?.runs ?? [];
    // A at k = 1, B at k = 2 and 3: 90 s and spreads of 1.2 s; getting used fades as exp(-j/4).
    const expected = [0.1, 0.2 - 1 + 2, 0.3 - 1 + 2 * Math.exp(-1 / 4), 0.4];
    expected.forEach((spreads, i) => {
      expect(runs[i]?.timeS).toBeCloseTo(90 + 1.2 * spreads, 9);
    });
  });

  it("keep a mean square of one spread when one set-up scatters more", () => {
    const trial = aTrial({ order: "mirrored" });
    const cell: Cell = { ...PLAIN, spreadRatio: 3 };
    const chance = { uniform: () => 0.5, normal: () => 1 };
    const [day] = rideDay(
      sharedBy(trial, true),
      cell,
      beforeFirstRide(trial, 7),
      differenceOn(trial, cell, 1, 0),
      chance,
    );
    const spreads = (day?.runs ?? []).slice(0, 2).map((run) => ((run.timeS ?? 0) - 90) / 1.2);
    expect((spreads[1] ?? 0) / (spreads[0] ?? 1)).toBeCloseTo(3, 9);
    expect(spreads.reduce((sum, s) => sum + s * s, 0) / 2).toBeCloseTo(1, 9);
  });

  it("strike four mistakes in five out, and ride them again", () => {
    const runs = days(aTrial(), { ...PLAIN, mistakes: 0.1 }, 200, true).flatMap((day) => day.runs);
    const struck = runs.filter((run) => run.status === "void").length / runs.length;
    expect(Math.abs(struck - 0.08)).toBeLessThan(4 * Math.sqrt((0.08 * 0.92) / runs.length));
    expect(runs.filter((run) => run.status === "ok")).toHaveLength(200 * 12);
  });
});

describe("the verdicts of every look", () => {
  it.each(
    [
      ["A", "B"],
      ["A", "B", "C"],
    ].map((setups) => [setups] as const),
  )("begin where the comparison says that it was called, set-ups %s", (setups) => {
    for (const newTo of [[], ["B"]]) {
      const trial = aTrial({ setups, newTo, settings: { plannedRuns: 15, marginS: 1.5 } });
      let called = 0;
      const cells = (["planned", "announced", "overtime"] as const).map((ending) => ({ ending }));
      for (const kind of [...cells, { isMarked: true }]) {
        for (const day of days(trial, { ...TROUBLED, effect: 2, ...kind }, 15, true)) {
          const pairs = compareRiders(day.input)[0]?.parts[0]?.pairs ?? [];
          pairs.forEach((pair, p) => {
            const first = day.looks.findIndex((verdicts) => verdicts[p] !== "cannot-tell");
            expect(first < 0 ? null : first + 1).toBe(pair.called_at_run);
            expect(day.looks.at(-1)?.[p]).toBe(pair.verdict);
            called += Number(first >= 0);
          });
          const standing = riderStanding(day.input, day.rider);
          const { band, ...rival } = day.standing()?.rival ?? { band: null };
          expect(standing?.rival).toMatchObject(rival);
          expect(standing?.leader).toBe(day.standing()?.leader);
          expect(band?.verdict).toBe(standing?.rival.band?.verdict);
          if (standing?.isDecided === true) expect(day.decidedAt).not.toBeNull();
        }
      }
      expect(called).toBeGreaterThan(5);
    }
  });

  it("of all riders together are those of the comparison", () => {
    const trial = aTrial({ riders: ["R1", "R2", "R3"], settings: { plannedRuns: 8 } });
    let called = 0;
    const both = [false, true].flatMap((isMarked) =>
      sessions(trial, { ...TROUBLED, effect: 2, isMarked }, 8),
    );
    for (const riders of both) {
      const subject = togetherSubject(sharedBy(trial, true).promises, riders);
      const looks = verdictsAtEveryLook(subject);
      const runs = runsInTurn(riders);
      const [first] = riders;
      const together = first && compareTogether({ ...first.input, runs });
      const pair = together?.pairs[0];
      const at = looks.findIndex(([verdict]) => verdict !== "cannot-tell");
      expect(pair?.called_at_run).toBe(at < 0 ? null : at + 1);
      expect(looks.at(-1)?.[0]).toBe(pair?.verdict);
      called += Number(at >= 0);
    }
    expect(called).toBeGreaterThan(3);
  });
});

describe("the end of a day", () => {
  it("announced, is the clock's: in time, before the plan's, and ridden to", () => {
    const ends = days(aTrial(), { ...PLAIN, ending: "announced" }, 60, true).map((day) => {
      const { endRun, announcedAtRun } = day.end ?? { endRun: 0, announcedAtRun: 0 };
      expect(endRun - announcedAtRun).toBeGreaterThanOrEqual(2);
      expect(endRun).toBeLessThan(12);
      expect(day.counted).toBe(endRun);
      return endRun;
    });
    expect(new Set(ends).size).toBeGreaterThan(5);
  });

  it("in overtime comes after three times the plan", () => {
    const [day] = days(aTrial(), { ...PLAIN, ending: "overtime" }, 1, true);
    expect(day?.counted).toBe(36);
  });
});

describe("several days", () => {
  it("share the planned runs, begin k and the order afresh, and have levels of their own", () => {
    const trial = aTrial({ settings: { plannedRuns: 16, days: 2 }, order: "mirrored" });
    const [day] = days(trial, PLAIN, 1, true);
    const runs = day?.runs ?? [];
    expect(runs.map((run) => `${String(run.day)}.${String(run.k)}`)).toEqual(
      [0, 1].flatMap((d) => Array.from({ length: 8 }, (_, i) => `${String(d)}.${String(i + 1)}`)),
    );
    expect(runs.map((run) => run.setup).join("")).toBe("ABBAABBAABBAABBA");
  });

  it("have a step of their own each, marked from the second half on", () => {
    const trial = aTrial({ settings: { plannedRuns: 16, days: 2 } });
    const grounds = (isMarked: boolean): string | undefined =>
      days(trial, { ...PLAIN, drift: "ground-step", isMarked }, 1, true)[0]
        ?.runs.map((run) => run.ground)
        .join("");
    expect(grounds(true)).toBe("0000111100001111");
    expect(grounds(false)).toBe("0000000000000000");
  });
});

it("has every session drift, spread ratio, trouble and difference among its cells, once each", () => {
  const two = cellsOf(aTrial()).map((cell) => JSON.stringify(cell));
  expect(new Set(two).size).toBe(two.length);
  expect(two).toHaveLength(7 * 5 + 7 * 2 + 2 * 4 + 2 * 5 + 2 * 5 + 5 + 2 * (5 + 2));
  const three = cellsOf(aTrial({ setups: ["A", "B", "C"] })).map((cell) => JSON.stringify(cell));
  expect(new Set(three).size).toBe(three.length);
  expect(three).toHaveLength(two.length + 7 * 2 + 4);
  const open = cellsOf(aTrial({ settings: { plannedRuns: null, bands: "open" } }));
  expect(open.some((cell) => cell.ending !== "planned")).toBe(false);
});
