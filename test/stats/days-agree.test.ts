import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { daysAgree } from "../../src/stats/days-agree.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { type MadeRun, madeSession, normals } from "./made-session.ts";

/**
 * Tooth growth of guinea pigs by vitamin C from orange juice or ascorbic acid, three doses, ten
 * animals each: Crampton (1947), J. Nutrition 33, 491-504; R's data set ToothGrowth. R's analysis of
 * variance, `aov(len ~ supp * factor(dose))`: supp:dose 2 df, F 4.107, p 0.021860, residuals 54 df.
 */
const TOOTH = {
  A: [
    [15.2, 21.5, 17.6, 9.7, 14.5, 10.0, 8.2, 9.4, 16.5, 9.7],
    [19.7, 23.3, 23.6, 26.4, 20.0, 25.2, 25.8, 21.2, 14.5, 27.3],
    [25.5, 26.4, 22.4, 24.5, 24.8, 30.9, 26.4, 27.3, 29.4, 23.0],
  ],
  B: [
    [4.2, 11.5, 7.3, 5.8, 6.4, 10.0, 11.2, 11.2, 5.2, 7.0],
    [16.5, 16.5, 15.2, 17.3, 22.5, 17.3, 13.6, 14.5, 18.8, 15.5],
    [23.6, 18.5, 33.9, 25.5, 26.4, 32.5, 26.7, 21.5, 23.3, 29.5],
  ],
} as const;

const mean = (values: readonly number[]): number =>
  values.reduce((sum, v) => sum + v, 0) / values.length;

interface Ridden extends MadeRun {
  readonly setup: string;
  readonly timeS: number;
  readonly day: number;
  readonly rider: string;
  readonly k: number;
}

/** Alternating runs of some riders and days, seeded; the days' effects of B, s. */
function ridden(
  seed: number,
  effects: readonly number[],
  riders: readonly string[],
  setups: readonly string[],
  perDay = 8,
): readonly Ridden[] {
  const normal = normals(seed);
  return effects.flatMap((effectS, day) =>
    riders.flatMap((rider, r) =>
      Array.from({ length: perDay }, (_, i): Ridden => {
        const place = i % (2 * setups.length);
        const setup = setups[Math.min(place, 2 * setups.length - 1 - place)] ?? "A";
        const effect = setup === "B" ? effectS : setup === "C" ? 1 : 0;
        const timeS = 120 + 3 * r + day + 0.1 * (i + 1) + effect + normal();
        return { setup, timeS, day, rider, k: i + 1 };
      }),
    ),
  );
}

/** F of two nested models, by one QR of all rows each. */
function nestedF(
  runs: readonly Ridden[],
  larger: readonly ((run: Ridden) => string)[],
  smaller: readonly ((run: Ridden) => string)[],
): { readonly f: number; readonly df1: number; readonly df2: number } {
  const y = runs.map((run) => run.timeS);
  const model = (effects: readonly ((run: Ridden) => string)[]) => {
    const blocks = [...new Set(runs.map(blockOf))];
    const columns = blocks.flatMap((block) => [
      runs.map((run) => (blockOf(run) === block ? 1 : 0)),
      runs.map((run) => (blockOf(run) === block ? run.k - 4.5 : 0)),
    ]);
    for (const of of effects) {
      for (const level of new Set(runs.map(of).filter((l) => l !== ""))) {
        columns.push(runs.map((run) => (of(run) === level ? 1 : 0)));
      }
    }
    return leastSquares(columns, y);
  };
  const [full, reduced] = [model(larger), model(smaller)];
  const df1 = reduced.df - full.df;
  return { f: (reduced.rss - full.rss) / df1 / (full.rss / full.df), df1, df2: full.df };
}

function blockOf(run: Ridden): string {
  return `${String(run.day)} ${run.rider}`;
}

describe("whether days agree", () => {
  it("is the interaction of a published analysis of variance", () => {
    const runs = (["A", "B"] as const).flatMap((setup) =>
      TOOTH[setup].flatMap((values, day) => values.map((timeS) => ({ setup, timeS, day }))),
    );
    const input = madeSession({ runs, settings: { drift: "none" } });
    const { days, commonS, test } = daysAgree(input, ["R1"], "B", "A");
    expect(test).toMatchObject({ df1: 2, df2: 54 });
    expect(test?.f).toBeCloseTo(4.107, 3);
    expect(test?.p).toBeCloseTo(0.02186, 5);
    days.forEach(({ day, differenceS, runs: ofB, baselineRuns }) => {
      expect(differenceS).toBeCloseTo(mean(TOOTH.B[day] ?? []) - mean(TOOTH.A[day] ?? []), 10);
      expect([ofB, baselineRuns]).toEqual([10, 10]);
    });
    expect(commonS).toBeCloseTo(mean(TOOTH.B.flat()) - mean(TOOTH.A.flat()), 10);
  });

  it("is the F of two nested fits, with session drift, riders and a third set-up", () => {
    const perDay = (run: Ridden, setup: string): string =>
      run.setup === setup ? `${setup}${String(run.day)}` : "";
    const bothDays = (run: Ridden, setup: string): string => (run.setup === setup ? setup : "");
    for (const [seed, riders, setups] of [
      [1, ["R1"], ["A", "B"]],
      [2, ["R1", "R2"], ["A", "B"]],
      [3, ["R1", "R2"], ["A", "B", "C"]],
      [4, ["R1"], ["A", "B", "C"]],
    ] as const) {
      const runs = ridden(seed, [-1, -2, 0.5], riders, setups, 12);
      const expected = nestedF(
        runs,
        [(run) => perDay(run, "B"), (run) => perDay(run, "C")],
        [(run) => bothDays(run, "B"), (run) => perDay(run, "C")],
      );
      const input = madeSession({ runs, riders, setups });
      const { test } = daysAgree(input, riders, "B", "A");
      expect(test).toMatchObject({ df1: expected.df1, df2: expected.df2 });
      expect(test?.f).toBeCloseTo(expected.f, 8);
    }
  });

  it("calls days that are alike different one time in twenty", () => {
    let called = 0;
    for (let seed = 1; seed <= 600; seed += 1) {
      const input = madeSession({ runs: ridden(seed, [-1, -1], ["R1"], ["A", "B"]) });
      const { test } = daysAgree(input, ["R1"], "B", "A");
      if (test !== null && test.p < 0.05) called += 1;
    }
    // 30 are expected, standard deviation 5.3.
    expect(called).toBeGreaterThan(14);
    expect(called).toBeLessThan(46);
  });

  it("does not hang on which set-up is called what, nor on how long the stretch is", () => {
    fc.assert(
      fc.property(fc.nat(), fc.double({ min: -50, max: 500, noNaN: true }), (seed, moreS) => {
        const runs = ridden(seed, [-1, 1], ["R1"], ["A", "B"]);
        const here = daysAgree(madeSession({ runs }), ["R1"], "B", "A");
        const longer = runs.map((run) => ({ ...run, timeS: run.timeS + moreS }));
        const there = daysAgree(madeSession({ runs: longer }), ["R1"], "A", "B");
        expect(there.test?.p).toBeCloseTo(here.test?.p ?? Number.NaN, 6);
        expect(there.commonS).toBeCloseTo(-(here.commonS ?? Number.NaN), 8);
        here.days.forEach(({ differenceS }, i) => {
          expect(there.days[i]?.differenceS).toBeCloseTo(-(differenceS ?? Number.NaN), 8);
        });
      }),
      { seed: 4, numRuns: 40 },
    );
  });

  it("says nothing of a day that does not tell the set-ups apart, and tests no single day", () => {
    const [first, second] = [0, 1].map((day) =>
      ridden(day + 1, [-1], ["R1"], ["A", "B"]).map((run) => ({ ...run, day })),
    );
    const onlyA = (second ?? []).map((run) => ({ ...run, setup: "A" }));
    const input = madeSession({ runs: [...(first ?? []), ...onlyA] });
    const { days, test } = daysAgree(input, ["R1"], "B", "A");
    expect(days[1]).toEqual({ day: 1, runs: 0, baselineRuns: 8, differenceS: null });
    expect(test).toBeNull();
    const none = daysAgree(madeSession({ runs: [] }), ["R1"], "B", "A");
    expect(none).toEqual({ days: [], commonS: null, test: null });
  });

  it("has no test without scatter, and leaves runs with a sector struck out alone", () => {
    const runs = ridden(5, [-1, -1], ["R1"], ["A", "B"]).map((run) => ({
      ...run,
      timeS: run.setup === "B" ? 119 : 120,
    }));
    expect(daysAgree(madeSession({ runs }), ["R1"], "B", "A").test).toBeNull();
    const sectors = ["Roots", "Gully"];
    const split = ridden(6, [-1, -1], ["R1"], ["A", "B"]).map((run, i) => ({
      ...run,
      sectorS: [60, run.timeS - 60],
      voidSectors: i === 3 ? [2] : [],
    }));
    const { days } = daysAgree(madeSession({ runs: split, sectors }), ["R1"], "B", "A");
    expect(days.map((day) => day.runs + day.baselineRuns)).toEqual([7, 8]);
  });
});
