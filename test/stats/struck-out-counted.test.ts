// What the runs would say with everything counted that was struck out.
import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { type PairAnswer, struckOutCounted } from "../../src/stats/struck-out-counted.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, type MadeSession, madeSession, normals } from "./made-session.ts";
import { mirrored, timesOf } from "./mirrored-day.ts";

const answer = ({ setup, baseline, difference_s, band_s, verdict }: Pair) => ({
  setup,
  baseline,
  difference_s,
  band_s,
  verdict,
});

function day(n: number, rider = "R1", seed = 1): MadeRun[] {
  const times = timesOf(mirrored(n), -2, seed);
  return mirrored(n).map((setup, i) => ({ rider, setup, timeS: times[i] ?? 0 }));
}

function struck(runs: readonly MadeRun[], at: readonly number[], reason?: string): MadeRun[] {
  return runs.map((run, i) =>
    at.includes(i) ? { ...run, status: "void", ...(reason === undefined ? {} : { reason }) } : run,
  );
}

describe("the comparison with what was struck out counted", () => {
  it("is that of the same day with nothing struck out, at the same bands", () => {
    for (const settings of [
      { plannedRuns: 12, marginS: 1.5 },
      { plannedRuns: 10 },
      { bands: "open", spreads: "each" },
    ] as const satisfies readonly MadeSession["settings"][]) {
      const runs = day(12);
      const [counted, ...more] = struckOutCounted(
        madeSession({ runs: struck(runs, [2, 5]), settings }),
      );
      expect(more).toEqual([]);
      expect(counted).toMatchObject({ rider: "R1", runs: 2, sectors: 0 });
      const clean = compareRiders(madeSession({ runs, settings }))[0]?.parts[0]?.pairs ?? [];
      expect(counted?.pairs).toEqual(clean.map(answer));
      expect(counted?.pairs[0]?.band_s).not.toBeNull();
    }
  });

  it("is nothing where nothing was struck out, or nothing that has a time of its own", () => {
    const runs = day(12);
    expect(struckOutCounted(madeSession({ runs }))).toEqual([]);
    expect(struckOutCounted(madeSession({ runs: struck(runs, [3], "timing fault") }))).toEqual([]);
    const untimed = struck(runs, [3]).map((run, i) => (i === 3 ? { ...run, timeS: null } : run));
    expect(struckOutCounted(madeSession({ runs: untimed }))).toEqual([]);
    const warm = [{ setup: "A", timeS: 130, status: "warm-up" as const }, ...runs];
    expect(struckOutCounted(madeSession({ runs: warm }))).toEqual([]);
  });

  it("brings struck-out sectors back too", () => {
    const normal = normals(3);
    const runs = mirrored(12).map((setup): MadeRun => {
      const sectorS = [30 + normal(), 40 + normal(), 50 + normal()];
      return { setup, sectorS, timeS: sectorS.reduce((a, b) => a + b, 0) };
    });
    const sectors = ["Roots", "Gully", "Meadow"];
    const part = runs.map((run, i) => (i === 4 ? { ...run, voidSectors: [1, 3] } : run));
    const [counted] = struckOutCounted(madeSession({ runs: struck(part, [7]), sectors }));
    expect(counted).toMatchObject({ runs: 1, sectors: 2 });
    const [clean] = compareRiders(madeSession({ runs, sectors }));
    expect(counted?.pairs).toEqual(clean?.parts[0]?.pairs.map(answer));
    // Without splits a struck-out sector is the whole run.
    const unsplit = runs.map(({ setup, timeS }, i) => ({
      setup,
      timeS,
      voidSectors: i === 4 ? [1] : [],
    }));
    expect(struckOutCounted(madeSession({ runs: unsplit }))[0]).toMatchObject({
      runs: 1,
      sectors: 0,
    });
  });

  it("is told of riders with something struck out, and of three together", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = riders.flatMap((rider, i) => day(8, rider, i + 1));
    const given = { riders, settings: { plannedRuns: 8 } };
    const found = struckOutCounted(madeSession({ runs: struck(runs, [9, 10]), ...given }));
    expect(found.map((each) => [each.rider, each.runs])).toEqual([
      ["R2", 2],
      [null, 2],
    ]);
    const together = compareTogether(madeSession({ runs, ...given }));
    expect(found[1]?.pairs).toEqual(together?.pairs.map(answer));
    const two = madeSession({
      runs: struck(runs.slice(0, 16), [9]),
      ...given,
      riders: ["R1", "R2"],
    });
    expect(struckOutCounted(two).map((each) => each.rider)).toEqual(["R2"]);
  });

  it("says where it is too early, and never gives what is no number", () => {
    const runs = struck(day(3), [2]);
    const pairs: readonly PairAnswer[] = struckOutCounted(madeSession({ runs }))[0]?.pairs ?? [];
    expect(pairs).toEqual([
      { setup: "B", baseline: "A", difference_s: null, band_s: null, verdict: "cannot-tell" },
    ]);
  });
});
