import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import { bandPlan, multipliersAt } from "../../src/stats/band-in-force.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { plannedFigures, planningOrder } from "../../src/stats/design.ts";
import {
  countedRuns,
  type MadeRun,
  type MadeSession,
  madeSession,
  normals,
} from "./made-session.ts";

const ABBA = ["A", "B", "B", "A"];
const mirrored = (n: number): string[] => Array.from({ length: n }, (_, i) => ABBA[i % 4] ?? "A");

function timesOf(order: readonly string[], effectS: number, seed = 1): number[] {
  const normal = normals(seed);
  return order.map((s, i) => 120 + 0.05 * i + (s === "A" ? 0 : effectS) + normal());
}

function pairs(made: MadeSession, part = 0): readonly Pair[] {
  return compareRiders(madeSession(made))[0]?.parts[part]?.pairs ?? [];
}

const NOTHING = {
  difference_s: null,
  standard_error_s: null,
  df: null,
  multiplier: null,
  band_s: null,
  inner_band_s: null,
  cautious_s: null,
  verdict: "cannot-tell",
  called_at_run: null,
  more_runs: null,
  chance_within_plan: null,
};

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

describe("bands in force", () => {
  const order = mirrored(30);
  const times = timesOf(order, -0.2, 9);
  const at = (n: number, made: Partial<MadeSession> = {}): Pair | undefined =>
    pairs({
      runs: countedRuns(order.slice(0, n), times),
      ...made,
      settings: { plannedRuns: 20, ...made.settings },
    })[0];
  const planned = plannedFigures(["A", "B"], [planningOrder(["A", "B"], 20)], "linear");
  const z2N = planned.pair("B", "A")?.z2N ?? Number.NaN;

  it("plan band, last word, overtime", () => {
    const bands = bandPlan("plan", 0.05, { nuN: planned.nuN, z2N }, 20);
    // STATISTICS of the reference, N = 20 linear: 2.72 a run before the end, 2.36 at it.
    expect(at(19)?.multiplier).toBeCloseTo(2.7219, 4);
    expect(at(20)?.multiplier).toBeCloseTo(2.3579, 4);
    expect(at(21)?.multiplier).toBeGreaterThan(3.7);
    expect(bands.at(21).outerL).toBeCloseTo(-Math.log(0.025), 12);
    expect(bands.at(21).innerL).toBeCloseTo(-Math.log(0.05), 12);
  });

  it("an earlier end counts if announced in time, once, and never a later one", () => {
    const end = (endRun: number, announcedAtRun: number) =>
      at(16, { plannedEnds: [{ rider: "R1", endRun, announcedAtRun }] })?.multiplier;
    const lastWord = end(16, 14);
    expect(lastWord).toBeLessThan(end(16, 15) ?? 0);
    expect(end(16, 15)).toBe(at(16)?.multiplier);
    expect(end(24, 10)).toBe(at(16)?.multiplier);
    const other = at(16, { plannedEnds: [{ rider: "R2", endRun: 16, announcedAtRun: 5 }] });
    expect(other?.multiplier).toBe(at(16)?.multiplier);
  });

  it("the open band spends its whole level before and after N", () => {
    const settings = { bands: "open" as const };
    const bands = bandPlan("open", 0.05, { nuN: planned.nuN, z2N }, 20);
    expect(bands.at(5)).toEqual(bands.at(25));
    expect(bands.at(5).outerL).toBeCloseTo(-Math.log(0.05), 12);
    expect(at(20, { settings })?.multiplier).toBeCloseTo(3.435, 3);
    expect(at(25, { settings })?.multiplier).toBeLessThan(3.435);
  });

  it("without planned runs the open band takes phi = 0.5, and nothing is forecast", () => {
    const pair = at(20, { settings: { bands: "open", plannedRuns: null } });
    const limits = { phi: 0.5, outerL: -Math.log(0.05), innerL: -Math.log(0.1) };
    expect(pair?.multiplier).toBeCloseTo(multipliersAt(limits, 17, 5).multiplier, 12);
    expect(pair).toMatchObject({ more_runs: null, chance_within_plan: null });
  });

  it("a plan too short for the plan band uses the open band with phi = 0.5", () => {
    const pair = at(12, { settings: { plannedRuns: 7 } });
    const limits = { phi: 0.5, outerL: -Math.log(0.05), innerL: -Math.log(0.1) };
    expect(pair?.multiplier).toBeCloseTo(multipliersAt(limits, 9, 3).multiplier, 12);
  });

  it("a set-up declared later raises the level's share for all and is read at the open band", () => {
    const runs = countedRuns([...mirrored(14), "C", "C", "C"], timesOf(mirrored(17), 0, 5));
    const late = { runs, setups: ["A", "B", "C"], plannedSetups: ["A", "B"] };
    const settings = { plannedRuns: 20 };
    const [b, c] = pairs({ ...late, settings });
    const df = 17 - 4;
    const z2 = (pair: Pair | undefined): number =>
      (0.5 * (pair?.cautious_s ?? 0)) / ((pair?.difference_s ?? 0) - (pair?.cautious_s ?? 0));
    const ofB = bandPlan("plan", 0.025, { nuN: planned.nuN, z2N }, 20);
    expect(b?.multiplier).toBeCloseTo(multipliersAt(ofB.at(17), df, z2(b)).multiplier, 9);
    const ofC = { phi: 0.5, outerL: -Math.log(0.025), innerL: -Math.log(0.05) };
    const wanted = multipliersAt(ofC, df, z2(c)).multiplier;
    if (Number.isFinite(wanted)) expect(c?.multiplier).toBeCloseTo(wanted, 9);
    else expect(c?.multiplier).toBeNull();
    expect(c?.runs).toBe(3);
  });

  it("planned but never ridden, a set-up still counts in the plan", () => {
    const runs = countedRuns(mirrored(12), times);
    const [b, c] = pairs({ runs, setups: ["A", "B", "C"], settings: { plannedRuns: 18 } });
    expect(c).toEqual({
      setup: "C",
      baseline: "A",
      runs: 0,
      baseline_runs: 6,
      new_to: false,
      ...NOTHING,
    });
    const three = ["A", "B", "C"];
    const plan = plannedFigures(three, [planningOrder(three, 18)], "linear");
    const pair = plan.pair("B", "A")?.z2N ?? Number.NaN;
    const bands = bandPlan("plan", 0.025, { nuN: plan.nuN, z2N: pair }, 18);
    expect([plan.nuN, b?.df]).toEqual([14, 9]);
    expect(b?.multiplier).toBeCloseTo(multipliersAt(bands.at(12), 9, 3).multiplier, 9);
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

describe("sectors", () => {
  const order = mirrored(14);
  const normal = normals(17);
  const runs: MadeRun[] = order.map((setup) => {
    const sectorS = [40 + (setup === "B" ? -2 : 0) + 0.4 * normal(), 60 + 0.4 * normal()];
    return { setup, sectorS, timeS: (sectorS[0] ?? 0) + (sectorS[1] ?? 0) };
  });
  const sectors = ["Roots", "Gully"];

  it("are read at the level shared among them, without margin and inner band", () => {
    const settings = { plannedRuns: 14, marginS: 3 };
    const [rider] = compareRiders(madeSession({ runs, sectors, settings }));
    expect(rider?.parts.map((p) => p.name)).toEqual([null, "Roots", "Gully"]);
    const [whole, first, second] = rider?.parts.map((p) => p.pairs[0]) ?? [];
    expect(whole?.verdict).toBe("no-difference");
    expect(first).toMatchObject({ verdict: "quicker", inner_band_s: null });
    expect(second).toMatchObject({ verdict: "cannot-tell", inner_band_s: null });
    const plan = plannedFigures(["A", "B"], [planningOrder(["A", "B"], 14)], "linear");
    const z2 = plan.pair("B", "A")?.z2N ?? Number.NaN;
    const bands = bandPlan("plan", 0.025, { nuN: plan.nuN, z2N: z2 }, 14);
    expect(second?.multiplier).toBeCloseTo(multipliersAt(bands.at(14), 11, z2).multiplier, 9);
  });

  it("leave out a run that lacks a split; it still counts", () => {
    const holed = runs.map((run, i) => (i === 5 ? { ...run, sectorS: [null, 60] } : run));
    const [rider] = compareRiders(
      madeSession({ runs: holed, sectors, settings: { plannedRuns: 14 } }),
    );
    const [whole, first] = rider?.parts.map((p) => p.pairs[0]) ?? [];
    expect([whole?.runs, whole?.baseline_runs]).toEqual([7, 7]);
    expect((first?.runs ?? 0) + (first?.baseline_runs ?? 0)).toBe(13);
  });

  it("a struck-out sector leaves its own fit only", () => {
    const struck = runs.map((run, i) =>
      i === 3 ? { ...run, voidSectors: [2], timeS: (run.timeS ?? 0) + 9 } : run,
    );
    const spoilt = struck.map((run, i) =>
      i === 3 ? { ...run, sectorS: [run.sectorS?.[0] ?? 0, 69] } : run,
    );
    const settings = { plannedRuns: 14 };
    const [clean] = compareRiders(madeSession({ runs, sectors, settings }));
    const [rider] = compareRiders(madeSession({ runs: spoilt, sectors, settings }));
    const [whole, first, second] = rider?.parts.map((p) => p.pairs[0]) ?? [];
    expect([whole?.baseline_runs, first?.baseline_runs, second?.baseline_runs]).toEqual([7, 7, 6]);
    expect(first?.difference_s).toBeCloseTo(
      clean?.parts[1]?.pairs[0]?.difference_s ?? Number.NaN,
      9,
    );
    expect(whole?.df).toBe(10.5);
    expect(rider?.df).toBe(10.5);
    // 9 s were struck out: the spread is that of the clean day.
    expect(rider?.spread_s).toBeLessThan(1.3 * (clean?.spread_s ?? 0));
    expect(whole?.difference_s).toBeCloseTo(
      (first?.difference_s ?? 0) + (second?.difference_s ?? 0),
      9,
    );
  });

  it("where too few runs are good in a sector, nothing is said of any part", () => {
    const struck = runs.slice(0, 10).map((run, i) => (i >= 3 ? { ...run, voidSectors: [2] } : run));
    const [rider] = compareRiders(madeSession({ runs: struck, sectors }));
    const [whole, first, second] = rider?.parts.map((p) => p.pairs[0]) ?? [];
    expect(rider).toMatchObject({ counted_runs: 10, df: null, spread_s: null });
    for (const pair of [whole, first, second]) {
      expect(pair).toMatchObject({ runs: 2, baseline_runs: 1, ...NOTHING });
    }
  });

  it("where the sectors' scatter cancels out, runs with one struck out are left out", () => {
    // What a run loses in one sector it gains in the other: with a run struck out in one of them
    // the variances no longer match the covariance, and on some days their sum falls below 0.
    let found = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      const noise = normals(seed);
      const mirror = mirrored(9).map((setup, i): MadeRun => {
        const e = noise();
        const sectorS = [40 + e, 60 - e + 0.001 * noise()];
        return { setup, sectorS, timeS: 100, voidSectors: i === 4 ? [2] : [] };
      });
      const untouched = mirror.flatMap((run, i): MadeRun[] =>
        i === 4 ? [] : [{ ...run, k: i + 1 }],
      );
      const whole = (of: readonly MadeRun[]): MadeRun[] =>
        of.map((run) => ({
          ...run,
          timeS: run.sectorS?.reduce<number>((a, t) => a + (t ?? 0), 0) ?? 0,
        }));
      const [rider] = compareRiders(madeSession({ runs: whole(mirror), sectors }));
      const [plain] = compareRiders(madeSession({ runs: whole(untouched), sectors }));
      if (rider?.df !== 5) continue;
      found += 1;
      const [pair] = rider.parts[0]?.pairs ?? [];
      const [wanted] = plain?.parts[0]?.pairs ?? [];
      expect(rider.counted_runs).toBe(9);
      expect(pair?.difference_s).toBeCloseTo(wanted?.difference_s ?? Number.NaN, 9);
      expect(pair?.standard_error_s).toBeCloseTo(wanted?.standard_error_s ?? Number.NaN, 9);
      expect([pair?.runs, pair?.baseline_runs]).toEqual([4, 4]);
    }
    expect(found).toBeGreaterThan(0);
  });
});

describe("how many more runs", () => {
  const at = (n: number, effectS: number, made: Partial<MadeSession> = {}): Pair | undefined => {
    const order = mirrored(20);
    return pairs({
      runs: countedRuns(order.slice(0, n), timesOf(order, effectS, 6)),
      ...made,
      settings: { plannedRuns: 20, ...made.settings },
    })[0];
  };

  it("is said from 4 degrees of freedom to the end of the plan, while nothing stands", () => {
    expect(at(6, -0.6)?.chance_within_plan).toBeNull();
    expect(at(8, -0.6)?.chance_within_plan).not.toBeNull();
    expect(at(20, 0)).toMatchObject({ more_runs: null, chance_within_plan: null });
    const called = at(12, -4);
    expect(called).toMatchObject({ verdict: "quicker", more_runs: null, chance_within_plan: null });
  });

  it("is likelier and sooner for a larger difference, and counts in runs", () => {
    const small = at(9, -0.5);
    const large = at(9, -1.9);
    expect(large?.verdict).toBe("cannot-tell");
    expect(large?.chance_within_plan).toBeGreaterThan(small?.chance_within_plan ?? 1);
    expect(large?.chance_within_plan).toBeGreaterThan(0.5);
    expect(large?.more_runs).toBeGreaterThanOrEqual(1);
    expect(large?.more_runs).toBeLessThanOrEqual(11);
  });

  it("counts a margin as one more way to a verdict", () => {
    const without = at(12, 0)?.chance_within_plan ?? 1;
    const generous = at(12, 0, { settings: { marginS: 1.6 } });
    expect(generous?.verdict).toBe("cannot-tell");
    expect(generous?.chance_within_plan).toBeGreaterThan(without);
    // A margin that will be met whatever happens.
    expect(at(9, 0, { settings: { marginS: 6 } })).toMatchObject({ verdict: "no-difference" });
  });

  it("works with a spread for each set-up, several set-ups and struck-out sectors", () => {
    const order = ["A", "B", "C", "C", "B", "A", "A", "B", "C", "C", "B", "A"];
    const normal = normals(2);
    const runs = order.map((setup, i): MadeRun => {
      const sectorS = [50 + normal(), 40 + normal()];
      return { setup, sectorS, timeS: 90, voidSectors: i === 4 ? [1] : [] };
    });
    const [b, c] = pairs({
      runs,
      setups: ["A", "B", "C"],
      sectors: ["Roots", "Gully"],
      settings: { plannedRuns: 24, spreads: "each" },
    });
    expect(b?.chance_within_plan).toBeGreaterThan(0);
    expect(c?.chance_within_plan).toBeGreaterThan(0);
  });
});
