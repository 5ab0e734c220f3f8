import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import { bandPlan, multipliersAt } from "../../src/stats/band-in-force.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { countedRuns, type MadeRun, madeSession, normals } from "./made-session.ts";

import { mirrored, NOTHING, pairs, timesOf } from "./mirrored-day.ts";

describe("too early", () => {
  it("without a run there is nothing, and no crash", () => {
    const [rider] = compareRiders(madeSession({ runs: [] }));
    expect(rider).toMatchObject({
      counted_runs: 0,
      spread_s: null,
      drift_s_per_run: null,
      df: null,
      setup_spreads: [
        { setup: "A", runs: 0, df: null, spread_s: null },
        { setup: "B", runs: 0, df: null, spread_s: null },
      ],
    });
    expect(rider?.parts[0]?.pairs).toEqual([
      { setup: "B", baseline: "A", runs: 0, baseline_runs: 0, new_to: false, ...NOTHING },
    ]);
  });

  it.each([
    ["one run", ["A"]],
    ["one set-up only", ["A", "A", "A", "A", "A"]],
    ["the baseline not ridden", ["B", "B", "B"]],
    ["no degree of freedom", ["A", "B", "B"]],
    ["set-up and order the same thing", ["A", "B"]],
  ])("says nothing with %s", (_, order) => {
    const [pair] = pairs({ runs: countedRuns(order, timesOf(order, -2)) });
    expect(pair).toMatchObject(NOTHING);
  });

  it("gives difference and error but no band while a set-up has one run", () => {
    const order = ["A", "B", "A", "A", "A"];
    const [pair] = pairs({ runs: countedRuns(order, timesOf(order, -2)) });
    expect(pair?.difference_s).not.toBeNull();
    expect(pair?.standard_error_s).toBeGreaterThan(0);
    expect(pair).toMatchObject({ df: 2, multiplier: null, band_s: null, inner_band_s: null });
  });

  it("with a spread for each set-up a set-up with one run has no error either", () => {
    const order = ["A", "B", "A", "A", "A"];
    const runs = countedRuns(order, timesOf(order, -2));
    const [pair] = pairs({ runs, settings: { spreads: "each" } });
    expect(pair?.difference_s).not.toBeNull();
    expect(pair).toMatchObject({
      ...NOTHING,
      difference_s: pair?.difference_s,
      cautious_s: pair?.cautious_s,
    });
    expect(pair?.cautious_s).not.toBeNull();
  });

  it.each(["common", "each"] as const)(
    "times that agree to the clock's step are no scatter, whatever the rounding (%s)",
    (spreads) => {
      // 0.1 s a run is no binary fraction: the fit is exact, its residuals are rounding only.
      const order = mirrored(12);
      const times = order.map((s, i) => 91.3 + 0.1 * i + (s === "B" ? -1.7 : 0));
      const [rider] = compareRiders(
        madeSession({ runs: countedRuns(order, times), settings: { spreads } }),
      );
      const [pair] = rider?.parts[0]?.pairs ?? [];
      expect(pair?.difference_s).toBeCloseTo(-1.7, 9);
      expect(pair).toMatchObject({
        standard_error_s: spreads === "common" ? 0 : null,
        df: spreads === "common" ? 9 : null,
        multiplier: null,
        band_s: null,
        inner_band_s: null,
        verdict: "cannot-tell",
      });
      expect(rider?.spread_s).toBe(0);
      // One microsecond of scatter, the clock's step, is scatter.
      const scattered = times.map((t, i) => t + (i % 3 === 0 ? 1e-6 : 0));
      const [other] = pairs({ runs: countedRuns(order, scattered), settings: { spreads } });
      expect(other?.band_s).not.toBeNull();
    },
  );

  it("the inner band may come a run before the outer one", () => {
    const order = mirrored(12);
    const times = timesOf(order, -2);
    const isInnerOnly = order.some((_, i) => {
      const [pair] = pairs({ runs: countedRuns(order.slice(0, i + 1), times) });
      return pair?.band_s === null && pair.inner_band_s !== null;
    });
    expect(isInnerOnly).toBe(true);
  });

  it("set-ups that are never alternated are still fitted, at twice the band", () => {
    const halves = [
      ...Array.from({ length: 6 }, () => "A"),
      ...Array.from({ length: 6 }, () => "B"),
    ];
    const [half] = pairs({ runs: countedRuns(halves, timesOf(halves, 0, 4)) });
    const [whole] = pairs({ runs: countedRuns(mirrored(12), timesOf(mirrored(12), 0, 4)) });
    // Efficiency of two halves with a linear drift term: 0.245 of the mirrored order's (n = 12).
    const z2 = (pair: Pair | undefined): number =>
      (0.5 * (pair?.cautious_s ?? 0)) / ((pair?.difference_s ?? 0) - (pair?.cautious_s ?? 0));
    expect(z2(half) / z2(whole)).toBeCloseTo(0.245, 3);
  });
});

describe("verdicts", () => {
  it("quicker, slower, no difference worth having, cannot tell", () => {
    const order = mirrored(20);
    const verdict = (effectS: number, marginS: number | null): string | null | undefined =>
      pairs({
        runs: countedRuns(order, timesOf(order, effectS, 12)),
        settings: { plannedRuns: 20, marginS },
      })[0]?.verdict;
    expect(verdict(-3, null)).toBe("quicker");
    expect(verdict(3, null)).toBe("slower");
    expect(verdict(0, null)).toBe("cannot-tell");
    expect(verdict(0, 2)).toBe("no-difference");
    expect(verdict(-3, 2)).toBe("quicker");
    // A real difference, smaller than what is worth having: the margin is asked first.
    expect(verdict(-3, 6)).toBe("no-difference");
  });

  it("a set-up new to the rider is slower only if it is without its first two runs", () => {
    const order = mirrored(16);
    const times = timesOf(order, 0.4, 21);
    let ridden = 0;
    const learnt = times.map((t, i) => {
      if (order[i] !== "B") return t;
      ridden += 1;
      return t + (ridden <= 2 ? 6 : 1.6);
    });
    const settings = { plannedRuns: 16, drift: "none" as const };
    const runs = countedRuns(order, learnt);
    const [known] = pairs({ runs, settings });
    const [fresh] = pairs({ runs, settings, newTo: { R1: ["B"] } });
    expect(known).toMatchObject({ verdict: "slower", new_to: false });
    expect(fresh?.new_to).toBe(true);
    expect(fresh?.difference_s).toBeCloseTo(known?.difference_s ?? Number.NaN, 9);
    expect(fresh?.band_s?.[0]).toBeCloseTo(known?.band_s?.[0] ?? Number.NaN, 9);
    // By hand: the same limits, the fit without those two runs.
    const without = runs.flatMap((run, i): MadeRun[] =>
      i === 1 || i === 2 ? [] : [{ ...run, k: i + 1 }],
    );
    const plan = plannedFigures(["A", "B"], [planningOrder(["A", "B"], 16)], "none");
    const z2N = plan.pair("B", "A")?.z2N ?? Number.NaN;
    const limits = bandPlan("plan", 0.05, { nuN: plan.nuN, z2N }, 16).at(16);
    const [rest] = pairs({ runs: without, settings });
    const z2 = 1 / (1 / 8 + 1 / 6);
    const low =
      (rest?.difference_s ?? 0) -
      multipliersAt(limits, 12, z2).multiplier * (rest?.standard_error_s ?? 0);
    expect(fresh?.verdict).toBe(low > 0 ? "slower" : "cannot-tell");
    // The other way round it is the baseline that is new: "quicker" is held back likewise.
    const [back] = pairs({ runs, settings, newTo: { R1: ["B"] }, baseline: "B" });
    expect(back?.verdict).toBe(low > 0 ? "quicker" : "cannot-tell");
  });

  it("holds a slower back that rests on the first two runs, and lets a quicker stand", () => {
    const order = mirrored(16);
    const settings = { plannedRuns: 16, drift: "none" as const };
    const normal = normals(3);
    let ridden = 0;
    const times = order.map((s) => {
      const noise = 0.3 * normal();
      if (s === "A") return 100 + noise;
      ridden += 1;
      return 100 + noise + (ridden <= 2 ? 1 : 0.3);
    });
    const runs = countedRuns(order, times);
    expect(pairs({ runs, settings })[0]?.verdict).toBe("slower");
    const [held] = pairs({ runs, settings, newTo: { R1: ["B"] } });
    expect(held).toMatchObject({ verdict: "cannot-tell", called_at_run: null, new_to: true });
    const quick = countedRuns(
      order,
      order.map((s, i) => 200 - (times[i] ?? 0) - (s === "B" ? 0.5 : 0)),
    );
    const [stands] = pairs({ runs: quick, settings, newTo: { R1: ["B"] } });
    expect(stands).toMatchObject({ verdict: "quicker", new_to: true });
  });
});

describe("rider figures", () => {
  it("drift and learning are the coefficients of k and ln k", () => {
    const order = mirrored(16);
    const times = order.map(
      (s, i) => 100 + 0.2 * (i + 1) - 3 * Math.log(i + 1) + (s === "B" ? -1 : 0) + (i % 3) * 1e-4,
    );
    const rider = (drift: "none" | "linear" | "learning") =>
      compareRiders(madeSession({ runs: countedRuns(order, times), settings: { drift } }))[0];
    expect(rider("learning")?.drift_s_per_run).toBeCloseTo(0.2, 3);
    expect(rider("learning")?.learning_s).toBeCloseTo(-3, 3);
    expect(rider("linear")?.learning_s).toBeNull();
    expect(rider("linear")?.drift_s_per_run).toBeLessThan(0);
    expect(rider("none")).toMatchObject({ drift_s_per_run: null, learning_s: null });
  });

  it("every day has a level and a session drift of its own", () => {
    const normal = normals(31);
    const day = (d: number, level: number, slope: number): MadeRun[] =>
      mirrored(8).map((setup, i) => ({
        setup,
        day: d,
        timeS: level + slope * i + (setup === "B" ? -2 : 0) + 0.2 * normal(),
      }));
    const [rider] = compareRiders(
      madeSession({
        runs: [...day(0, 120, 0.5), ...day(1, 95, -0.4)],
        settings: { plannedRuns: 16 },
      }),
    );
    expect(rider?.df).toBe(16 - 5);
    expect(rider?.parts[0]?.pairs[0]?.difference_s).toBeCloseTo(-2, 0);
    expect(rider?.spread_s).toBeLessThan(0.4);
    // The day that is being ridden.
    expect(Math.abs((rider?.drift_s_per_run ?? 0) + 0.4)).toBeLessThan(0.15);
  });

  it("a day with one run so far has no drift of its own to tell", () => {
    const runs: MadeRun[] = [
      ...countedRuns(mirrored(8), timesOf(mirrored(8), -2)),
      { setup: "A", timeS: 118, day: 1 },
    ];
    const [rider] = compareRiders(madeSession({ runs }));
    expect(rider).toMatchObject({ counted_runs: 9, df: 5, drift_s_per_run: null });
  });
});
