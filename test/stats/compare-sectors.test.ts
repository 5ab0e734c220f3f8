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

import { mirrored, NOTHING, pairs, timesOf } from "./mirrored-day.ts";

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

  it("a set-up with one good run in a sector has no error, and takes no run from the others", () => {
    const struck = ["A", "B", "C", "B", "A", "C", "A", "B", "B", "A"].map((setup, i): MadeRun => {
      const sectorS = [40 + 0.5 * normal(), 60 + 0.5 * normal()];
      const timeS = (sectorS[0] ?? 0) + (sectorS[1] ?? 0);
      return { setup, sectorS, timeS, voidSectors: i === 4 ? [1] : i === 5 ? [2] : [] };
    });
    const [rider] = compareRiders(
      madeSession({
        runs: struck,
        sectors,
        setups: ["A", "B", "C"],
        settings: { spreads: "each" },
      }),
    );
    const parts = rider?.parts.map(({ pairs: [b, c] }) => ({ b, c })) ?? [];
    const [whole, first, second] = parts;
    for (const pair of ["b", "c"] as const) {
      expect(whole?.[pair]?.difference_s).toBeCloseTo(
        (first?.[pair]?.difference_s ?? 0) + (second?.[pair]?.difference_s ?? 0),
        9,
      );
    }
    expect(whole?.b).toMatchObject({ runs: 4, baseline_runs: 4 });
    // A single run of C says nothing about A and B.
    expect(whole?.b?.standard_error_s).toBeGreaterThan(0);
    expect(whole?.c).toMatchObject({ runs: 2, baseline_runs: 4 });
    expect(whole?.c).toMatchObject({ standard_error_s: null, df: null, multiplier: null });
    expect([first?.b?.baseline_runs, second?.c?.runs]).toEqual([3, 1]);
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
