// A step of the ground in the comparison: a level of its own from the mark on, as any fit with one
// column more gives it.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { afterRuns } from "../../src/stats/counted-runs.ts";
import { columnCount, designRow, layoutOf, setupContrast } from "../../src/stats/design.ts";
import { nextPlace, placesAhead } from "../../src/stats/places-ahead.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, type MadeSession, madeSession, normals } from "./made-session.ts";
import { stackedPair } from "./plain-stack.ts";

interface Day {
  readonly order?: string;
  /** Runs ridden before each step. */
  readonly steps?: readonly number[];
  readonly stepS?: number;
  readonly rider?: string;
  readonly day?: number;
  readonly seed?: number;
}

function ridden({
  order = "ABBAABBAABBA",
  steps = [],
  stepS = 3,
  seed = 3,
  ...of
}: Day): MadeRun[] {
  const normal = normals(seed);
  return Array.from(order, (setup, i): MadeRun => {
    const ground = steps.filter((after) => i >= after).length;
    const timeS = 100 + 0.1 * i + (setup === "A" ? 0 : -1) + stepS * ground + normal();
    return { setup, timeS, ground, ...of };
  });
}

const each = { spreads: "each", plannedRuns: 12 } as const;

function wholePair(made: MadeSession): ReturnType<typeof pairOf> {
  return pairOf(madeSession(made));
}

function pairOf(input: ComparisonInput) {
  const [rider] = compareRiders(input);
  const pair = rider?.parts[0]?.pairs[0];
  if (rider === undefined || pair === undefined) throw new RangeError("there is a pair");
  return { ...pair, rider };
}

const stackOf = (input: ComparisonInput) =>
  input.runs.map(({ rider, day, setup, k, timeS, ground }) => ({
    block: `${rider} ${String(day)}`,
    setup,
    k: k ?? Number.NaN,
    timeS: timeS ?? Number.NaN,
    ground,
  }));

describe("columns", () => {
  const row = (k: number, ground: number, block = "0 R1", setup = "A") => ({
    block,
    setup,
    k,
    ground,
  });
  const rows = [row(1, 0), row(2, 1), row(3, 3, "0 R1", "B"), row(1, 1, "1 R1"), row(2, 1, "1 R1")];

  it("a step has one from its mark on, between a block's drift and the set-ups", () => {
    const layout = layoutOf(rows, ["A", "B"], "linear");
    expect(columnCount(layout)).toBe(7);
    expect(rows.map((each) => designRow(layout, each))).toEqual([
      [1, -1, 0, 0, 0, 0, 0],
      [1, 0, 1, 0, 0, 0, 0],
      [1, 1, 1, 1, 0, 0, 1],
      [0, 0, 0, 0, 1, -0.5, 0],
      [0, 0, 0, 0, 1, 0.5, 0],
    ]);
    expect(setupContrast(layout, "B", "A")).toEqual([0, 0, 0, 0, 0, 0, 1]);
  });

  it("a day that was marked before its first run has none", () => {
    const marked = rows.map((each) => ({ ...each, ground: 2 }));
    const bare = rows.map(({ block, setup, k }) => ({ block, setup, k }));
    expect(layoutOf(marked, ["A", "B"], "learning")).toEqual(
      layoutOf(bare, ["A", "B"], "learning"),
    );
  });
});

describe("one rider's comparison", () => {
  it("is that of an independent fit with a column more, at both kinds of spread", () => {
    const runs = ridden({ steps: [5, 9] });
    const input = madeSession({ runs, settings: each });
    const found = pairOf(input);
    const wanted = stackedPair(stackOf(input), "B", "A");
    expect(found.difference_s).toBeCloseTo(wanted.differenceS, 9);
    expect(found.standard_error_s).toBeCloseTo(wanted.each.errorS, 9);
    expect(found.df).toBeCloseTo(wanted.each.df, 8);
    expect(found.rider.df).toBe(12 - 5);
    const common = wholePair({ runs, settings: { ...each, spreads: "common" } });
    expect(common.standard_error_s).toBeCloseTo(wanted.pooled.errorS, 9);
    expect(common.df).toBe(wanted.rankDf);
  });

  it("over two days has the steps of each day for that day alone", () => {
    const runs = [
      ...ridden({ steps: [5], order: "ABBAABBA" }),
      ...ridden({ steps: [3], stepS: -4, order: "BAABBAAB", day: 1, seed: 4 }),
    ];
    const input = madeSession({ runs, settings: { ...each, days: 2 } });
    const found = pairOf(input);
    const wanted = stackedPair(stackOf(input), "B", "A");
    expect(found.difference_s).toBeCloseTo(wanted.differenceS, 9);
    expect(found.standard_error_s).toBeCloseTo(wanted.each.errorS, 9);
    expect(found.rider.df).toBe(16 - 7);
  });

  it("without session drift is the same as if the step were another day", () => {
    const settings = { ...each, drift: "none", bands: "open" } as const;
    const runs = ridden({ steps: [5] });
    const days = runs.map(({ ground, ...run }) => ({ ...run, day: ground ?? 0 }));
    const stepped = wholePair({ runs, settings });
    const parted = wholePair({ runs: days, settings: { ...settings, days: 2 } });
    expect(stepped.difference_s).toBeCloseTo(parted.difference_s ?? Number.NaN, 10);
    expect(stepped.standard_error_s).toBeCloseTo(parted.standard_error_s ?? Number.NaN, 10);
    expect(stepped.df).toBeCloseTo(parted.df ?? Number.NaN, 9);
  });

  it("does not move by whatever the step adds, in any sector either, nor does the drift", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 12 }),
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.constantFrom("none", "linear", "learning"),
        fc.nat(),
        (after, stepS, drift, seed) => {
          const settings = { ...each, drift };
          const sectors = ["Roots", "Gully"];
          const halved = (runs: readonly MadeRun[]): MadeRun[] =>
            runs.map((run) => {
              const first = 0.4 * (run.timeS ?? 0);
              return { ...run, sectorS: [first, (run.timeS ?? 0) - first] };
            });
          const rider = (s: number) =>
            wholePair({
              runs: halved(ridden({ steps: [after], stepS: s, seed })),
              settings,
              sectors,
            }).rider;
          const [calm, stepped] = [rider(0), rider(stepS)];
          expect(stepped.df).toBe(calm.df);
          expect(stepped.drift_s_per_run ?? 0).toBeCloseTo(calm.drift_s_per_run ?? 0, 7);
          stepped.parts.forEach((part, p) => {
            const before = calm.parts[p]?.pairs[0];
            expect(part.pairs[0]?.difference_s).toBeCloseTo(before?.difference_s ?? 0, 7);
            expect(part.pairs[0]?.standard_error_s).toBeCloseTo(before?.standard_error_s ?? 0, 7);
          });
        },
      ),
      { seed: 11, numRuns: 40 },
    );
  });

  it("is digit for digit the same where the mark came before the first run", () => {
    const runs = ridden({ seed: 9 });
    const marked = runs.map((run) => ({ ...run, ground: 2 }));
    expect(compareRiders(madeSession({ runs: marked }))).toEqual(
      compareRiders(madeSession({ runs })),
    );
  });

  it("keeps what was promised: the plan's figures know of no step", () => {
    const multiplier = (steps: readonly number[]): number | null =>
      wholePair({
        runs: ridden({ steps, order: "ABBAABBAABBAA" }).slice(0, 11),
        settings: { spreads: "common", plannedRuns: 12 },
      }).multiplier;
    const [plain, stepped] = [multiplier([]) ?? 0, multiplier([5]) ?? 0];
    expect(plain).toBeGreaterThan(0);
    // One degree of freedom less: a little wider, as at the same thresholds.
    expect(stepped).toBeGreaterThan(plain);
    expect(stepped).toBeLessThan(1.4 * plain);
  });

  it("says nothing of the pair where the ground changed just as the set-up was swapped", () => {
    const pair = wholePair({ runs: ridden({ order: "AAAABBBB", steps: [4] }), settings: each });
    expect(pair).toMatchObject({ difference_s: null, band_s: null, verdict: "cannot-tell" });
    const between = wholePair({ runs: ridden({ order: "AAAABBBB", steps: [3] }), settings: each });
    expect(between.difference_s).not.toBeNull();
  });

  it("gains no degree of freedom by the first run on a new ground", () => {
    const df = (n: number): number | null =>
      wholePair({ runs: ridden({ steps: [7] }).slice(0, n), settings: each }).rider.df;
    expect([df(6), df(7), df(8), df(9)]).toEqual([3, 4, 4, 5]);
  });
});

it("riders together have steps of their own, and one difference", () => {
  const riders = ["R1", "R2", "R3"];
  const runs = riders.flatMap((rider, i) =>
    ridden({ rider, order: i === 1 ? "BAABBAAB" : "ABBAABBA", steps: [3 + i], seed: 20 + i }),
  );
  const settings = { ...each, plannedRuns: 8 };
  const input = madeSession({ runs, riders, settings });
  const [pair] = compareTogether(input)?.pairs ?? [];
  const wanted = stackedPair(stackOf(input), "B", "A");
  expect(pair?.difference_s).toBeCloseTo(wanted.differenceS, 9);
  expect(pair?.standard_error_s).toBeCloseTo(wanted.each.errorS, 9);
  expect(pair?.df).toBeCloseTo(wanted.each.df, 8);
});

it("set-ups' means are those of the newest ground", () => {
  const still = (stepS: number): readonly (number | null)[] =>
    fitRider(madeSession({ runs: ridden({ steps: [4, 8], stepS }) }), "R1")?.meansS ?? [];
  const [a, b] = still(5);
  const [a0, b0] = still(0);
  expect(a).toBeCloseTo((a0 ?? Number.NaN) + 10, 9);
  expect(b).toBeCloseTo((b0 ?? Number.NaN) + 10, 9);
});

describe("what is still to be ridden", () => {
  const settings = { ...each, days: 2 };
  const input = madeSession({ runs: ridden({}).slice(0, 4), settings, ground: 1 });

  it("is on the newest ground today, on none of it another day", () => {
    expect(nextPlace(input, "R1")).toEqual({ day: 0, block: "0 R1", k: 5, ground: 1 });
    const [rider] = input.riders;
    if (rider === undefined) throw new RangeError("somebody rides");
    expect(placesAhead(input, rider, 4, 8, false).map(({ k, ground }) => [k, ground])).toEqual([
      [5, 1],
      [6, 1],
      [1, 0],
      [2, 0],
    ]);
  });

  it("gives less hope than on the same ground", () => {
    const now = ridden({ seed: 5 }).slice(0, 8);
    const chance = (ground: number): number =>
      wholePair({ runs: now, settings: each, ground }).chance_within_plan ?? Number.NaN;
    expect(chance(0)).toBeGreaterThan(0.01);
    expect(chance(1)).toBeLessThan(chance(0));
  });
});

it("the session as it stood knows the ground of then", () => {
  const input = madeSession({ runs: ridden({ steps: [5] }), ground: 2 });
  expect(afterRuns(input, 4).ground).toBe(0);
  expect(afterRuns(input, 6).ground).toBe(1);
  expect(afterRuns(input, 12).ground).toBe(2);
});
