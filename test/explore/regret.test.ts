// Whether the rule finds good values: whole days ridden by the rule, against figures that a prototype
// of the same rule gave before this program was written (1000 days a cell; two settings 3000).
import { describe, expect, it } from "vitest";
import type { ExploredSetting } from "../../src/domain/explored.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { item } from "../../src/stats/entry.ts";
import { codedAt, exploring, rideDay } from "./explored.ts";

/** Twelve steps, the present value in the middle. */
const SETTING: ExploredSetting = { key: "rear_pressure_bar", low: 0, high: 12, step: 1 };
const STEPS = Array.from({ length: 13 }, (_, i) => i);
const PRESENT = 6;

interface Figures {
  /** Mean time lost at the fitted best to the best of the allowed values, spreads of a run. */
  readonly regret: number;
  /** The same where the present value is kept unless the gain is clear. */
  readonly kept: number;
  /** Share of days whose values as good hold the truly best of the allowed ones. */
  readonly covered: number;
}

/**
 * Days of one setting whose time is `cost` spreads at half the range from the best, a parabola.
 *
 * @param bestOf - the true best of a day, u in -1..1, from a uniform number
 * @returns figures after each of the numbers of runs
 */
function oneSetting(
  days: number,
  cost: number,
  after: readonly number[],
  bestOf = (uniform: number) => 1.2 * uniform - 0.6,
): readonly Figures[] {
  const sums = after.map(() => ({ regret: 0, kept: 0, covered: 0 }));
  for (let seed = 0; seed < days; seed += 1) {
    const best = bestOf(seededRandom(seed + 5)());
    const truth = ([value = 0]: readonly number[]): number =>
      cost * (codedAt(SETTING, value) - best) ** 2;
    const times = STEPS.map((value) => truth([value]));
    const least = Math.min(...times);
    const said = rideDay(
      {
        ...{ explored: exploring(SETTING), present: [PRESENT], plannedRuns: null },
        ...{ runs: Math.max(...after), seed, truth },
      },
      after,
    );
    said.forEach((found, i) => {
      const { best: value, curve } = item(found.settings, 0);
      const sum = item(sums, i);
      const loss = item(times, value ?? PRESENT) - least;
      sum.regret += loss / days;
      sum.kept += (found.isKept ? item(times, PRESENT) - least : loss) / days;
      sum.covered += (item(curve, times.indexOf(least)).isAsGood ? 1 : 0) / days;
    });
  }
  return sums;
}

function expectWithin(actual: number | undefined, stated: number, by: number, what: string): void {
  const off = Math.abs((actual ?? Number.NaN) - stated);
  expect(off <= by, `${what}: ${String(actual)}, stated ${String(stated)}`).toBe(true);
}

// Distances: three standard errors of the days ridden here and of the stated figure together.
describe("one setting", () => {
  it("a parabola of two spreads at half the range", () => {
    const [at12, at16, at20] = oneSetting(150, 2, [12, 16, 20]);
    expectWithin(at12?.regret, 0.08, 0.025, "regret after 12 runs");
    expectWithin(at16?.regret, 0.063, 0.02, "regret after 16 runs");
    expectWithin(at20?.regret, 0.052, 0.018, "regret after 20 runs");
    expectWithin(at12?.kept, 0.142, 0.035, "regret with keeping after 12 runs");
    expectWithin(at20?.kept, 0.092, 0.03, "regret with keeping after 20 runs");
    expectWithin(at12?.covered, 0.99, 0.02, "coverage after 12 runs");
    expectWithin(at20?.covered, 0.99, 0.02, "coverage after 20 runs");
  });

  it("six spreads, where keeping costs little", () => {
    const [at12] = oneSetting(150, 6, [12]);
    expectWithin(at12?.regret, 0.014, 0.01, "regret after 12 runs");
    expectWithin(at12?.kept, 0.026, 0.01, "regret with keeping after 12 runs");
    expectWithin(at12?.covered, 0.99, 0.02, "coverage after 12 runs");
  });

  it("half a spread, where following the fitted best is worse than keeping", () => {
    const [at12] = oneSetting(250, 0.5, [12]);
    expectWithin(at12?.regret, 0.131, 0.025, "regret after 12 runs");
    expectWithin(at12?.kept, 0.065, 0.01, "regret with keeping after 12 runs");
    expectWithin(at12?.covered, 0.94, 0.04, "coverage after 12 runs");
  });

  it("a best at a limit", () => {
    const [at16] = oneSetting(100, 2, [16], () => 1);
    // The prototype's mean over costs of 2 and 6 is .023; here 2 alone.
    expectWithin(at16?.regret, 0.04, 0.03, "regret after 16 runs");
    expectWithin(at16?.covered, 0.99, 0.02, "coverage after 16 runs");
  });
});

/** Mean loss at the fitted best of two settings after the planned runs. */
function twoSettings(days: number, cost: number, runs: number, interaction: number): number {
  let sum = 0;
  for (let seed = 0; seed < days; seed += 1) {
    const random = seededRandom(seed + 5);
    const [a, b] = [1.2 * random() - 0.6, 1.2 * random() - 0.6];
    const truth = ([first = 0, second = 0]: readonly number[]): number => {
      const [u, v] = [codedAt(SETTING, first) - a, codedAt(SETTING, second) - b];
      return cost * (u * u + v * v + 2 * interaction * u * v);
    };
    const least = Math.min(...STEPS.flatMap((i) => STEPS.map((j) => truth([i, j]))));
    const other = { ...SETTING, key: "front_pressure_bar" };
    const [found] = rideDay(
      {
        ...{ explored: exploring(SETTING, other), present: [PRESENT, PRESENT] },
        ...{ plannedRuns: runs, runs, seed, truth },
      },
      [runs],
    );
    const best = (found?.settings ?? []).map((each) => each.best ?? PRESENT);
    sum += (truth(best) - least) / days;
  }
  return sum;
}

describe("two settings", () => {
  it.each([
    [2, 18, 0, 0.089, 0.025],
    [6, 18, 0.45, 0.028, 0.01],
  ])("cost %d, %d runs on the grid, interaction %d: %d", (cost, runs, gamma, stated, by) => {
    expectWithin(twoSettings(120, cost, runs, gamma), stated, by, "regret");
  });

  it.each([
    [2, 12, 0, 0.231, 0.06],
    [2, 12, 0.45, 0.249, 0.06],
  ])("cost %d, %d runs in turn, interaction %d: %d", (cost, runs, gamma, stated, by) => {
    expectWithin(twoSettings(120, cost, runs, gamma), stated, by, "regret");
  });
});

describe("where no setting matters", () => {
  /** Share of days on which a gain is called clear all the same. */
  function clear(days: number, runs: number, settings: readonly ExploredSetting[]): number {
    const present = settings.map(() => PRESENT);
    const explored = exploring(...settings);
    const seeds = Array.from({ length: days }, (_, seed) => seed);
    const found = seeds.flatMap((seed) =>
      rideDay({ explored, present, plannedRuns: runs, runs, seed, truth: () => 0 }, [runs]),
    );
    return found.filter(({ isKept }) => !isKept).length / days;
  }

  // Measured over 1000 days: 8 % and 11 %; two settings at the level of one: 21 %.
  it("a gain is seldom called clear", () => {
    expectWithin(clear(200, 12, [SETTING]), 0.08, 0.05, "one setting");
    const other = { ...SETTING, key: "front_pressure_bar" };
    expectWithin(clear(150, 18, [SETTING, other]), 0.11, 0.06, "two settings");
  });
});
