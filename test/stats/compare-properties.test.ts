import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ComparisonInput, Pair, RiderComparison } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, type MadeSession, madeSession, normals } from "./made-session.ts";

const SEED = 140_326;

const madeSessions = fc
  .record({
    n: fc.integer({ min: 0, max: 26 }),
    effectS: fc.constantFrom(0.7, 3),
    seed: fc.nat(),
    drift: fc.constantFrom("none" as const, "linear" as const, "learning" as const),
    spreads: fc.constantFrom("each" as const, "common" as const),
    sectors: fc.constantFrom(1, 2, 3),
    hasStruckOut: fc.boolean(),
    isNew: fc.boolean(),
    riders: fc.constantFrom(["R1"], ["R1", "R2"], ["R1", "R2", "R3"]),
    days: fc.constantFrom(1, 2),
  })
  .map((s): MadeSession => {
    const normal = normals(s.seed);
    const pick = (n: number): number => Math.floor(Math.abs(normal()) * 97) % n;
    const runs = Array.from({ length: s.n }, (_, i): MadeRun => {
      const setup = ["A", "B", "B", "A"][normal() > 1 ? pick(4) : i % 4] ?? "A";
      const slow = setup === "B" ? -s.effectS : 0;
      const sectorS =
        s.sectors === 1 ? [] : Array.from({ length: s.sectors }, () => 40 + slow + 0.5 * normal());
      const timeS = s.sectors === 1 ? 120 + slow + normal() : sectorS.reduce((a, b) => a + b, 0);
      return {
        setup,
        timeS,
        sectorS,
        rider: s.riders[i % s.riders.length] ?? "R1",
        day: s.days === 2 && i * 2 > s.n ? 1 : 0,
        status: normal() > 1.6 ? "void" : "ok",
        voidSectors: s.hasStruckOut && normal() > 1.2 ? [1 + pick(Math.max(1, s.sectors))] : [],
      };
    });
    return {
      runs,
      riders: s.riders,
      sectors: Array.from({ length: s.sectors }, (_, i) => `Sector ${String(i + 1)}`),
      newTo: s.isNew ? { R1: ["B"] } : {},
      isClosed: true,
      settings: { plannedRuns: 14, drift: s.drift, spreads: s.spreads, marginS: 1.5 },
    };
  });

function pairsOf(input: ComparisonInput): readonly Pair[] {
  const riders = compareRiders(input);
  return [
    ...riders.flatMap((rider) => rider.parts.flatMap((part) => part.pairs)),
    ...(compareTogether(input)?.pairs ?? []),
  ];
}

const OPPOSITE = {
  quicker: "slower",
  slower: "quicker",
  "no-difference": "no-difference",
  "cannot-tell": "cannot-tell",
} as const;

function expectClose(found: number | null, wanted: number | null, tolerance = 1e-7): void {
  if (wanted === null || found === null) expect(found).toBe(wanted);
  else expect(Math.abs(found - wanted)).toBeLessThan(tolerance * Math.max(1, Math.abs(wanted)));
}

describe("whatever the session", () => {
  it("naming the set-ups the other way round flips the difference and mirrors the band", () => {
    let calls = 0;
    fc.assert(
      fc.property(madeSessions, (made) => {
        const there = pairsOf(madeSession(made));
        const back = pairsOf(madeSession({ ...made, baseline: "B" }));
        expect(back).toHaveLength(there.length);
        there.forEach((pair, i) => {
          const other = back[i];
          expectClose(
            other?.difference_s ?? null,
            pair.difference_s === null ? null : -pair.difference_s,
          );
          expectClose(other?.standard_error_s ?? null, pair.standard_error_s);
          expectClose(other?.df ?? null, pair.df);
          expectClose(other?.multiplier ?? null, pair.multiplier);
          expectClose(other?.band_s?.[0] ?? null, pair.band_s === null ? null : -pair.band_s[1]);
          expectClose(other?.band_s?.[1] ?? null, pair.band_s === null ? null : -pair.band_s[0]);
          expect([other?.runs, other?.baseline_runs]).toEqual([pair.baseline_runs, pair.runs]);
          const { verdict } = pair;
          if (verdict !== null && verdict !== "cannot-tell") calls += 1;
          expect(other?.verdict).toBe(verdict === null ? null : OPPOSITE[verdict]);
          expect(other?.called_at_run).toBe(pair.called_at_run);
          // The places still to be ridden start with the baseline: only that there is a forecast
          // is the same both ways.
          expect(other?.chance_within_plan === null).toBe(pair.chance_within_plan === null);
        });
      }),
      { seed: SEED, numRuns: 150 },
    );
    expect(calls).toBeGreaterThan(50);
  });

  it("adding a constant to every run moves nothing", () => {
    fc.assert(
      fc.property(madeSessions, (made) => {
        const parts = Math.max(1, made.sectors?.length ?? 1);
        const runs = made.runs.map((run) => ({
          ...run,
          timeS: run.timeS === null ? null : run.timeS + 17,
          sectorS: (run.sectorS ?? []).map((t) => (t === null ? null : t + 17 / parts)),
        }));
        const before = pairsOf(madeSession(made));
        const after = pairsOf(madeSession({ ...made, runs }));
        before.forEach((pair, i) => {
          expectClose(after[i]?.difference_s ?? null, pair.difference_s);
          expectClose(after[i]?.band_s?.[0] ?? null, pair.band_s?.[0] ?? null);
          expect(after[i]?.verdict).toBe(pair.verdict);
          expect(after[i]?.called_at_run).toBe(pair.called_at_run);
        });
      }),
      { seed: SEED + 1, numRuns: 100 },
    );
  });

  it("voiding a run and taking it back changes nothing; the run's number stays taken", () => {
    fc.assert(
      fc.property(madeSessions, fc.nat(), (made, at) => {
        const before = compareRiders(madeSession(made));
        const index = at % Math.max(1, made.runs.length);
        const withStatus = (status: "ok" | "void") => ({
          ...made,
          runs: made.runs.map((run, i) => (i === index ? { ...run, status } : run)),
        });
        const voided = madeSession(withStatus("void"));
        const status = made.runs[index]?.status === "void" ? "void" : "ok";
        expect(compareRiders(madeSession(withStatus(status)))).toEqual(before);
        expect(voided.runs.map((run) => run.k)).toEqual(madeSession(made).runs.map((run) => run.k));
      }),
      { seed: SEED + 2, numRuns: 60 },
    );
  });

  it("gives numbers or null, and what goes together", () => {
    fc.assert(
      fc.property(madeSessions, (made) => {
        const input = madeSession(made);
        const riders = compareRiders(input);
        const together = compareTogether(input);
        JSON.stringify({ riders, together }, (_, value: unknown) => {
          if (typeof value === "number") expect(Number.isFinite(value)).toBe(true);
          expect(value).not.toBeUndefined();
          return value;
        });
        for (const pair of pairsOf(input)) {
          if (pair.band_s !== null) expect(pair.multiplier).not.toBeNull();
          if (pair.multiplier !== null) expect(pair.standard_error_s).not.toBeNull();
          if (pair.standard_error_s !== null) expect(pair.difference_s).not.toBeNull();
          const isCalled = pair.verdict !== null && pair.verdict !== "cannot-tell";
          if (isCalled) {
            expect(pair.band_s).not.toBeNull();
            expect(pair.called_at_run).not.toBeNull();
            expect(pair.chance_within_plan).toBeNull();
          }
          if (pair.inner_band_s !== null && pair.band_s !== null) {
            expect(pair.inner_band_s[0]).toBeGreaterThanOrEqual(pair.band_s[0]);
            expect(pair.inner_band_s[1]).toBeLessThanOrEqual(pair.band_s[1]);
          }
          const chance = pair.chance_within_plan;
          if (chance !== null) {
            expect(chance).toBeGreaterThanOrEqual(0);
            expect(chance).toBeLessThanOrEqual(1);
            expect(pair.more_runs !== null).toBe(chance >= 0.5);
          }
        }
      }),
      { seed: SEED + 3, numRuns: 200 },
    );
  });

  it("adds the sectors up to the whole exactly, struck-out sectors and all", () => {
    let sums = 0;
    fc.assert(
      fc.property(madeSessions, (made) => {
        for (const rider of compareRiders(madeSession(made))) {
          sums += expectSectorsAddUp(rider);
        }
      }),
      { seed: SEED + 4, numRuns: 150 },
    );
    expect(sums).toBeGreaterThan(60);
  });
});

function expectSectorsAddUp(rider: RiderComparison): number {
  const [whole, ...sectors] = rider.parts.map((part) => part.pairs[0]);
  const differences = sectors.map((sector) => sector?.difference_s ?? null);
  if (whole?.difference_s == null || sectors.length === 0) return 0;
  // A sector alone may say nothing yet (no degree of freedom left) where the whole does.
  if (differences.some((d) => d === null)) return 0;
  const sum = differences.reduce<number>((a, d) => a + (d ?? 0), 0);
  expect(Math.abs(sum - whole.difference_s)).toBeLessThan(1e-9);
  return 1;
}
