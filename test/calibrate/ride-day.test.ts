// Simulated days are ridden as the program would have them ridden, and judged as it judges.
import { describe, expect, it } from "vitest";
import { allCells, type Cell } from "../../src/calibrate/cell.ts";
import { promisedSubject, verdictsAtEveryLook } from "../../src/calibrate/every-look.ts";
import { NextRides } from "../../src/calibrate/next-ride.ts";
import { normals } from "../../src/calibrate/normal.ts";
import { beforeFirstRide, type RiddenDay, rideDay } from "../../src/calibrate/ride-day.ts";
import type { Trial } from "../../src/calibrate/trial.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { aTrial, type TrialGiven } from "./a-trial.ts";

const PLAIN: Cell = { drift: "none", spreadRatio: 1, setupLearning: 0, mistakes: 0, effect: 0 };
const TROUBLED: Cell = { ...PLAIN, drift: "mixed", spreadRatio: 2, mistakes: 0.2, effect: 1.5 };

function days(trial: Trial, cell: Cell, count: number, isRemembering: boolean): RiddenDay[] {
  const uniform = seededRandom(11);
  const chance = { uniform, normal: normals(uniform) };
  const before = beforeFirstRide(trial, 7);
  const rides = new NextRides(trial, before, isRemembering);
  return Array.from({ length: count }, (_, i) =>
    rideDay(trial, cell, before, rides, i % 2 === 0 ? -1 : 1, chance),
  );
}

const ridden = ({ input }: RiddenDay): string =>
  input.runs.map((run) => `${run.setup}${run.status === "ok" ? "" : ` ${run.status}`}`).join(" ");

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
    ["the planning order", { order: "alternating", settings: { minutes: 90 } }],
  ];

  it.each(plans)("is the same remembered as asked for before every ride: %s", (_, given) => {
    const trial = aTrial(given);
    const remembered = days(trial, TROUBLED, 30, true).map(ridden);
    expect(remembered).toEqual(days(trial, TROUBLED, 30, false).map(ridden));
    // The days must differ, or the memory was not put to the test.
    expect(new Set(remembered).size).toBeGreaterThan(10);
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
    for (const order of ["suggested", "alternating"] as const) {
      const [day] = days(aTrial({ newTo: ["B"], order }), PLAIN, 1, true);
      const runs = day?.input.runs ?? [];
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
    const trial = aTrial({ order: "alternating" });
    const before = beforeFirstRide(trial, 7);
    const cell: Cell = { ...PLAIN, drift: "tiring", setupLearning: 2, effect: 1 };
    const rides = new NextRides(trial, before);
    const chance = { uniform: () => 0.5, normal: () => 0 };
    const { runs } = rideDay(trial, cell, before, rides, -1, chance).input;
    // A at k = 1, B at k = 2 and 3: 90 s and spreads of 1.2 s; getting used fades as exp(-j/4).
    const expected = [0.1, 0.2 - 1 + 2, 0.3 - 1 + 2 * Math.exp(-1 / 4), 0.4];
    expected.forEach((spreads, i) => {
      expect(runs[i]?.timeS).toBeCloseTo(90 + 1.2 * spreads, 9);
    });
  });

  it("keep a mean square of one spread when one set-up scatters more", () => {
    const trial = aTrial({ order: "alternating" });
    const before = beforeFirstRide(trial, 7);
    const rides = new NextRides(trial, before);
    const chance = { uniform: () => 0.5, normal: () => 1 };
    const { runs } = rideDay(trial, { ...PLAIN, spreadRatio: 3 }, before, rides, 1, chance).input;
    const spreads = runs.slice(0, 2).map((run) => ((run.timeS ?? 0) - 90) / 1.2);
    expect((spreads[1] ?? 0) / (spreads[0] ?? 1)).toBeCloseTo(3, 9);
    expect(spreads.reduce((sum, s) => sum + s * s, 0) / 2).toBeCloseTo(1, 9);
  });

  it("strike four mistakes in five out, and ride them again", () => {
    const runs = days(aTrial(), { ...PLAIN, mistakes: 0.1 }, 200, true).flatMap(
      (day) => day.input.runs,
    );
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
      const promised = promisedSubject(beforeFirstRide(trial, 7), trial.rider);
      let called = 0;
      for (const day of days(trial, { ...TROUBLED, effect: 2 }, 40, true)) {
        const looks = verdictsAtEveryLook(promised, day.input, trial.rider);
        const pairs = compareRiders(day.input)[0]?.parts[0]?.pairs ?? [];
        pairs.forEach((pair, p) => {
          const first = looks.findIndex((verdicts) => verdicts[p] !== "cannot-tell");
          expect(first < 0 ? null : first + 1).toBe(pair.called_at_run);
          expect(looks.at(-1)?.[p]).toBe(pair.verdict);
          called += Number(first >= 0);
        });
      }
      expect(called).toBeGreaterThan(5);
    }
  });
});

it("has every session drift, spread ratio, trouble and difference among its cells, once each", () => {
  const cells = allCells().map((cell) => JSON.stringify(cell));
  expect(new Set(cells).size).toBe(cells.length);
  expect(cells).toHaveLength(7 * 5 + 7 * 2 + 2 * 4 + 2 * 5 + 2 * 5);
});
