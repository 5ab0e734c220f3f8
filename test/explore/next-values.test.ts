// What is ridden next: opening, pairs, grid, two settings in turn; carried on from what was ridden.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { TriedRun } from "../../src/domain/exploration.ts";
import { explore } from "../../src/explore/explore.ts";
import { exploring, PRESSURE, REBOUND, runsAt } from "./explored.ts";

const ONE = exploring(PRESSURE);
const TWO = exploring(PRESSURE, REBOUND);

/** A time for every value, best at 1.6 bar and 8 clicks, with some irregularity of its own. */
function timeAt([pressure = 0, rebound = 8]: readonly number[], k: number): number {
  return (
    95 + 20 * (pressure - 1.6) ** 2 + 0.03 * (rebound - 8) ** 2 + 0.05 * k + 0.03 * ((k * k) % 5)
  );
}

/** Rides what is suggested, a number of runs. */
function ridden(
  explored: typeof ONE,
  present: readonly number[],
  count: number,
  plannedRuns: number | null,
  seed = 7,
): readonly TriedRun[] {
  const runs: TriedRun[] = [];
  for (let k = 1; k <= count; k += 1) {
    const { next } = explore(explored, present, runs, { plannedRuns, seed, drift: "linear" });
    if (next === null) break;
    runs.push({ k, values: next, timeS: timeAt(next, k) });
  }
  return runs;
}

function said(explored: typeof ONE, present: readonly number[], runs: readonly TriedRun[]) {
  return explore(explored, present, runs, { plannedRuns: null, seed: 7, drift: "linear" });
}

describe("one setting", () => {
  it("opens near the limits and in the middle, out and back, in an order of the seed's", () => {
    const orders = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) =>
      ridden(ONE, [1.5], 6, 6, seed).map((run) => run.values[0] ?? 0),
    );
    for (const order of orders) {
      expect(order.toSorted((a, b) => a - b)).toEqual([1.35, 1.35, 1.6, 1.6, 1.85, 1.85]);
      expect(order).toEqual(order.toReversed());
    }
    expect(new Set(orders.map(String)).size).toBeGreaterThan(3);
  });

  it("has three values to open with even where only three are allowed", () => {
    const three = exploring({ ...REBOUND, low: 3, high: 5 });
    const values = ridden(three, [4], 6, 6).map((run) => run.values[0]);
    expect(new Set(values)).toEqual(new Set([3, 4, 5]));
  });

  it("goes on either side of the best, closer and closer", () => {
    const runs = ridden(ONE, [1.5], 20, 20);
    const pairs = [6, 8, 10, 12, 14, 16, 18].map((at) =>
      runs.slice(at, at + 2).map((run) => run.values[0] ?? 0),
    );
    // 12 steps: a third, a quarter, a sixth of the range are 4, 3, 2 of them.
    const steps = pairs.map(([a = 0, b = 0]) => Math.round(Math.abs(a - b) / 0.05));
    expect(steps).toEqual([8, 8, 6, 6, 4, 4, 4]);
    for (const [a = 0, b = 0] of pairs) expect((a + b) / 2).toBeCloseTo(1.6, 9);
    expect(new Set(pairs.map(([a = 0, b = 0]) => a < b)).size).toBe(2);
  });

  it("rides the limit itself and its inner side where the best is there, and nothing beyond", () => {
    const values = [1.35, 1.6, 1.85, 1.85, 1.6, 1.35];
    const runs = runsAt(values, [96, 95.1, 93.9, 94.1, 95, 95.9]);
    const first = said(ONE, [1.5], runs);
    expect(first.settings[0]?.best).toBe(1.9);
    expect(first.settings[0]?.atHigh).toBe(true);
    const other = [1.7, 1.9].filter((value) => value !== first.next?.[0]);
    expect(other).toHaveLength(1);
    const one = [...runs, { k: 7, values: first.next ?? [], timeS: 94 }];
    expect(said(ONE, [1.5], one).next).toEqual(other);
  });

  it("a place of the opening is served by whoever rides its value first, a void run is ridden again", () => {
    const opening = ridden(ONE, [1.5], 6, null).map((run) => run.values);
    const third: TriedRun = { k: 1, values: opening[2] ?? [], timeS: 95 };
    expect(said(ONE, [1.5], [third]).next).toEqual(opening[0]);
    const all = ridden(ONE, [1.5], 8, null);
    expect(said(ONE, [1.5], all.slice(0, 8)).phase).toBe("narrowing");
    const without = said(
      ONE,
      [1.5],
      all.filter((run) => run.k !== 2),
    );
    expect([without.phase, without.next]).toEqual(["opening", opening[1]]);
  });

  it("a pair that is half ridden is completed, whatever is ridden in between", () => {
    const runs = ridden(ONE, [1.5], 8, null);
    const [seventh, eighth] = runs.slice(6);
    if (seventh === undefined || eighth === undefined) throw new Error("too few runs");
    const half = [...runs.slice(0, 6), seventh];
    expect(said(ONE, [1.5], half).next).toEqual(eighth.values);
    const strayed = [...half, { k: 8, values: [1.3], timeS: 99 }];
    expect(said(ONE, [1.5], strayed).next).toEqual(eighth.values);
    // The other of the two first: the first is still to be ridden.
    const turned = [...runs.slice(0, 6), { ...seventh, values: eighth.values }];
    expect(said(ONE, [1.5], turned).next).toEqual(seventh.values);
  });

  it("ends with the planned runs", () => {
    const done = explore(ONE, [1.5], ridden(ONE, [1.5], 12, 12), {
      ...{ plannedRuns: 12, seed: 7, drift: "linear" },
    });
    expect([done.phase, done.next, done.because]).toEqual([
      ...["done", null, "the 12 planned runs are ridden"],
    ]);
  });

  it("fits nothing before three values and a run to judge by, nor where drift explains the values", () => {
    const runs = ridden(ONE, [1.5], 6, null);
    expect([3, 4, 5].map((n) => said(ONE, [1.5], runs.slice(0, n)).df)).toEqual([null, null, 1]);
    const rising = runsAt([1.3, 1.4, 1.5, 1.6, 1.7, 1.8], [95, 94, 95, 96, 94, 95]);
    expect(said(ONE, [1.5], rising).settings[0]).toMatchObject({ best: null, curve: [] });
    const two = runsAt([1.3, 1.9, 1.9, 1.3, 1.3, 1.9], [95, 94, 95, 96, 94, 95]);
    expect(said(ONE, [1.5], two).settings[0]?.best).toBeNull();
  });
});

describe("two settings on a grid", () => {
  const runs = ridden(TWO, [1.5, 6], 30, null);
  const grid = runs.slice(0, 18).map((run) => run.values);

  it("rides all nine places out and back, one change at a time, the first setting seldom", () => {
    expect(new Set(grid.map(String)).size).toBe(9);
    expect(grid).toEqual(grid.toReversed());
    const changes = grid.slice(1).map((values, i) => values.map((v, j) => v !== grid[i]?.[j]));
    expect(changes.every((changed) => changed.filter(Boolean).length <= 1)).toBe(true);
    expect(changes.filter(([first]) => first)).toHaveLength(4);
    for (const seed of [1, 2, 3]) {
      expect(ridden(TWO, [1.5, 6], 18, 18, seed)).toHaveLength(18);
    }
  });

  it("then the best and both its sides, in one setting at a time", () => {
    const groups = [18, 21, 24, 27].map((at) => runs.slice(at, at + 3).map((run) => run.values));
    const varied = groups.map((group) =>
      [0, 1].map((i) => new Set(group.map((values) => values[i])).size),
    );
    expect(varied).toEqual([
      [1, 3],
      [3, 1],
      [1, 3],
      [3, 1],
    ]);
    for (const group of groups) {
      const [a = 0, b = 0, c = 0] = group.map(([pressure = 0]) => pressure);
      expect((a + b + c) / 3).toBeCloseTo(1.6, 9);
    }
    const after = said(TWO, [1.5, 6], runs);
    expect(after.settings.map((each) => each.best)).toEqual([1.6, 8]);
    expect(after.phase).toBe("narrowing");
  });
});

it("with fewer than 18 runs one setting after the other: half of them with the second as it is", () => {
  const runs = ridden(TWO, [1.5, 6], 12, 12).map((run) => run.values);
  const [first, second] = [runs.slice(0, 6), runs.slice(6)];
  expect(first.map(([, rebound]) => rebound)).toEqual(first.map(() => 6));
  expect(new Set(first.map(([pressure]) => pressure))).toEqual(new Set([1.3, 1.6, 1.9]));
  // At its fitted best from then on.
  expect(second.map(([pressure]) => pressure)).toEqual(second.map(() => 1.6));
  expect(new Set(second.map(([, rebound]) => rebound))).toEqual(new Set([0, 6, 12]));
  const long = ridden(TWO, [1.5, 6], 17, 17).map((run) => run.values[1] === 6);
  expect(long.slice(0, 8)).toEqual(long.slice(0, 8).map(() => true));
  expect(long.slice(8).filter(Boolean).length).toBeLessThan(5);
});

/** Settings as a sheet can have them. */
const setting = fc.oneof(
  fc
    .record({ low: fc.integer({ min: -50, max: 50 }), steps: fc.integer({ min: 2, max: 60 }) })
    .chain(({ low, steps }) =>
      fc.constantFrom(1, 0.05, 0.25, 1 / 3).map((step) => ({
        ...{ key: "rear_pressure_bar", low, high: low + steps * step, step },
      })),
    ),
  fc
    .record({ low: fc.integer({ min: 0, max: 9 }), steps: fc.integer({ min: 2, max: 30 }) })
    .map(({ low, steps }) => ({ key: "fork_rebound_clicks", low, high: low + steps, step: 1 })),
);

describe("whatever was ridden", () => {
  const days = fc.record({
    settings: fc.array(setting, { minLength: 1, maxLength: 2 }),
    present: fc.tuple(fc.nat(60), fc.nat(60)),
    // On any step and, now and then, on none.
    tried: fc.array(
      fc.record({
        at: fc.tuple(
          fc.double({ min: -0.2, max: 1.2, noNaN: true }),
          fc.double({ min: -0.2, max: 1.2, noNaN: true }),
        ),
        isOnStep: fc.boolean(),
        timeS: fc.double({ min: 20, max: 400, noNaN: true }),
      }),
      { maxLength: 26 },
    ),
    plannedRuns: fc.option(fc.integer({ min: 1, max: 40 })),
    seed: fc.nat(),
    drift: fc.constantFrom("none" as const, "linear" as const, "learning" as const),
  });

  it("suggests allowed values only, in finite figures, the same for any order of the list", () => {
    fc.assert(
      fc.property(days, ({ settings, present, tried, ...options }) => {
        const stepsOf = settings.map(({ low, high, step }) => Math.round((high - low) / step));
        const runs = tried.map(({ at, isOnStep, timeS }, i): TriedRun => {
          const values = settings.map(({ low, step }, j) => {
            const steps = (at[j] ?? 0) * (stepsOf[j] ?? 0);
            return low + step * (isOnStep ? Math.round(steps) : steps);
          });
          return { k: i + 1, values, timeS };
        });
        // Now and then beside a step, as a sheet of another hand may have it.
        const beside = options.seed % 4 === 0 ? 0.4 : 0;
        const own = settings.map(
          ({ low, step }, j) => low + step * (((present[j] ?? 0) % (stepsOf[j] ?? 1)) + beside),
        );
        const found = explore(exploring(...settings), own, runs, options);
        expect(explore(exploring(...settings), own, runs.toReversed(), options)).toEqual(found);
        const isOver = options.plannedRuns !== null && runs.length >= options.plannedRuns;
        expect(found.next === null).toBe(isOver);
        const bests = found.settings.map((each) => each.best);
        for (const values of [found.next ?? [], bests]) {
          values.forEach((value, i) => {
            const { low = 0, high = 0, step = 1, key = "" } = settings[i] ?? {};
            if (value === null) return;
            expect(value).toBeGreaterThanOrEqual(low);
            expect(value).toBeLessThanOrEqual(high);
            const at = (value - low) / step;
            expect(Math.abs(at - Math.round(at))).toBeLessThan(1e-6);
            if (key.endsWith("_clicks")) expect(Number.isInteger(value)).toBe(true);
          });
        }
        for (const { curve, asGood } of found.settings) {
          for (const point of curve) {
            expect([point.gainS, ...point.bandS].every(Number.isFinite)).toBe(true);
          }
          if (curve.length > 0) expect((asGood?.[0] ?? 1) <= (asGood?.[1] ?? 0)).toBe(true);
        }
        for (const figure of [found.spreadS, found.gainS, found.gainErrorS]) {
          expect(figure === null || Number.isFinite(figure)).toBe(true);
        }
        expect([found.because, ...found.words].join()).not.toMatch(/NaN|undefined|null|Infinity/);
      }),
      { numRuns: 150, seed: 20260726 },
    );
  });
});
