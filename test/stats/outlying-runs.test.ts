// Runs that stand out as slow: against published data, against leaving the run out, and by simulation.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/domain/seeded.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { type OutlyingRun, outlyingRuns } from "../../src/stats/outlying-runs.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import {
  countedRuns,
  type MadeRun,
  type MadeSession,
  madeSession,
  normals,
} from "./made-session.ts";
import { mirrored, timesOf } from "./mirrored-day.ts";

const outlying = (made: MadeSession): readonly OutlyingRun[] =>
  outlyingRuns(madeSession(made), "R1");

/**
 * A column of its own for one run: its coefficient is how far the run is off a fit of the others,
 * and its t is the externally studentised residual (Belsley, Kuh & Welsch 1980, 2.1).
 */
function withOwnColumn(
  order: readonly string[],
  times: readonly number[],
  run: number,
): { readonly slowerS: number; readonly studentised: number; readonly df: number } {
  const fit = leastSquares(
    [
      ...[...new Set(order)].map((setup) => order.map((s) => (s === setup ? 1 : 0))),
      order.map((_, i) => i),
      order.map((_, i) => (i === run ? 1 : 0)),
    ],
    times,
  );
  const slowerS = fit.coefficients.at(-1) ?? Number.NaN;
  const variance = ((fit.inverse.at(-1)?.at(-1) ?? Number.NaN) * fit.rss) / fit.df;
  return { slowerS, studentised: slowerS / Math.sqrt(variance), df: fit.df };
}

/** A day on A and B with some scatter, and one run slower by so many seconds. */
function spoilt(n: number, run: number, byS: number, seed = 1): MadeRun[] {
  const times = timesOf(mirrored(n), -1, seed);
  return countedRuns(
    mirrored(n),
    times.map((timeS, i) => timeS + (i === run ? byS : 0)),
  );
}

describe("a run that stands out", () => {
  it("is found in Anscombe's third set, as R's rstudent has it", () => {
    // Anscombe (1973), American Statistician 27, 17-21: ten points on a line and one off it.
    const y = [5.39, 5.73, 6.08, 6.42, 6.77, 7.11, 7.46, 7.81, 8.15, 12.74, 8.84];
    const runs = y.map((timeS, i) => ({ setup: "A", timeS, k: i + 4 }));
    const [found, ...more] = outlying({ runs });
    expect(more).toEqual([]);
    expect(found).toMatchObject({ runId: "10", sector: null });
    // Both recomputed in exact fractions; the well-known figure is 1203.54.
    expect(found?.studentised).toBeCloseTo(1203.5394638, 6);
    expect(found?.slowerS).toBeCloseTo(4.2442857143, 8);
  });

  it("is as far off as a fit without it says", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 7, max: 30 }),
        fc.nat({ max: 29 }),
        fc.integer({ min: 4, max: 60 }),
        fc.nat({ max: 1e6 }),
        (n, at, byS, seed) => {
          const run = at % n;
          const runs = spoilt(n, run, byS, seed);
          const times = runs.map(({ timeS }) => timeS ?? Number.NaN);
          const found = outlying({ runs });
          mirrored(n).forEach((_, i) => {
            const own = withOwnColumn(mirrored(n), times, i);
            const flag = found.find(({ runId }) => runId === String(i + 1));
            expect(flag !== undefined).toBe(own.studentised > studentQuantile(0.01, own.df));
            if (flag === undefined) return;
            expect(flag.slowerS).toBeCloseTo(own.slowerS, 6);
            expect(Math.abs(flag.studentised / own.studentised - 1)).toBeLessThan(1e-7);
          });
          expect(found.map((each) => each.studentised)).toEqual(
            found.map((each) => each.studentised).toSorted((a, b) => b - a),
          );
        },
      ),
      { seed: 11, numRuns: 60 },
    );
  });

  it("is only asked about on the slow side", () => {
    expect(outlying({ runs: spoilt(12, 5, 30) }).map((each) => each.runId)).toEqual(["6"]);
    expect(outlying({ runs: spoilt(12, 5, -30) })).toEqual([]);
  });

  it("needs four degrees of freedom, and three runs on its set-up", () => {
    expect(outlying({ runs: spoilt(6, 4, 90) })).toEqual([]);
    expect(outlying({ runs: spoilt(7, 4, 90) })).toHaveLength(1);
    const rare = (onC: number): readonly OutlyingRun[] => {
      const order = mirrored(12).map((s, i) => ([3, 7, 10].slice(0, onC).includes(i) ? "C" : s));
      const times = timesOf(order, 0, 4).map((timeS, i) => timeS + (i === 3 ? 60 : 0));
      return outlying({ runs: countedRuns(order, times), setups: ["A", "B", "C"] });
    };
    expect(rare(1)).toEqual([]);
    expect(rare(2)).toEqual([]);
    expect(rare(3).map((each) => each.runId)).toContain("4");
  });

  it("is not one that alone decides its own fit: two runs on a day of their own", () => {
    const first = spoilt(10, -1, 0);
    const second = [
      { setup: "A", timeS: 180, day: 1 },
      { setup: "B", timeS: 240, day: 1 },
    ];
    expect(outlying({ runs: [...first, ...second] })).toEqual([]);
  });

  it("stands out beyond all measure where the others do not scatter at all", () => {
    const even = Array.from({ length: 12 }, (_, i) => (i === 6 ? 75 : 60));
    const [found, ...more] = outlying({ runs: countedRuns(mirrored(12), even) });
    expect(more).toEqual([]);
    expect(found).toMatchObject({ runId: "7", studentised: Number.POSITIVE_INFINITY });
    expect(found?.slowerS).toBeCloseTo(15, 9);
    const quick = even.map((timeS) => (timeS === 75 ? 45 : timeS));
    expect(outlying({ runs: countedRuns(mirrored(12), quick) })).toEqual([]);
    const same = even.map(() => 60);
    expect(outlying({ runs: countedRuns(mirrored(12), same) })).toEqual([]);
  });

  it("is no warm-up, no struck-out run, and another rider's runs say nothing", () => {
    const runs = spoilt(12, 5, 30);
    const void6 = runs.map((run, i) => (i === 5 ? { ...run, status: "void" as const } : run));
    expect(outlying({ runs: void6 })).toEqual([]);
    const warm = { setup: "A", timeS: 300, status: "warm-up" as const };
    const other = spoilt(12, 2, -50).map((run) => ({ ...run, rider: "R2" }));
    const found = outlying({ runs: [warm, ...runs, ...other], riders: ["R1", "R2"] });
    expect(found.map((each) => each.runId)).toEqual(["7"]);
  });
});

describe("a run that stands out in a sector", () => {
  const sectors = ["Roots", "Gully", "Meadow"];
  /** Twelve runs of 40 s a sector; what `lost` says is added, s by run and sector from 0. */
  function day(lost: Readonly<Record<string, number>>, holes: readonly number[] = []): MadeRun[] {
    const normal = normals(9);
    return mirrored(12).map((setup, i): MadeRun => {
      const sectorS = sectors.map(
        (_, s) => 40 + 0.4 * normal() + (lost[`${String(i)}/${String(s)}`] ?? 0),
      );
      const timeS = sectorS.reduce((a, t) => a + t, 0);
      return {
        setup,
        timeS,
        sectorS: holes.includes(i) ? sectorS.map((t, s) => (s === 1 ? null : t)) : sectorS,
      };
    });
  }
  const where = (runs: readonly MadeRun[]): readonly string[] =>
    outlying({ runs, sectors }).map((each) => `${each.runId}/${String(each.sector)}`);

  it("is found there and over the whole run, and not in the other sectors", () => {
    expect(where(day({ "6/1": 8 })).toSorted()).toEqual(["7/2", "7/null"]);
  });

  it("is found in a sector though the whole run says nothing", () => {
    // What it lost in Roots it gained in Meadow.
    expect(where(day({ "6/0": 5, "6/2": -5 }))).toEqual(["7/1"]);
  });

  it("is not asked about once that sector is struck out; the other sectors still are", () => {
    const struck = day({ "6/1": 8, "6/2": 6 }).map((run, i) =>
      i === 6 ? { ...run, voidSectors: [2] } : run,
    );
    expect(where(struck)).toEqual(["7/3"]);
  });

  it("is looked for among the runs with every split only", () => {
    const holed = day({ "6/1": 8 }, [6, 9]);
    expect(where(holed)).toEqual(["7/null"]);
  });

  it("agrees with the sector's own fit", () => {
    const runs = day({ "6/1": 8 });
    const own = withOwnColumn(
      mirrored(12),
      runs.map((run) => run.sectorS?.[1] ?? Number.NaN),
      6,
    );
    const found = outlying({ runs, sectors }).find((each) => each.sector === 2);
    expect(found?.slowerS).toBeCloseTo(own.slowerS, 8);
    expect(found?.studentised).toBeCloseTo(own.studentised, 6);
  });
});

describe("simulated days with mistakes of 3 to 8 spreads", () => {
  /** Shares of mistakes found and of clean runs asked about. */
  function shares(
    n: number,
    mistakes: number,
    days: number,
    seed: number,
  ): { readonly found: number; readonly asked: number } {
    const normal = normals(seed);
    const uniform = seededRandom(seed + 1);
    let [isFound, isMistake, isAsked, isClean] = [0, 0, 0, 0];
    for (let day = 0; day < days; day += 1) {
      const bad = Array.from({ length: n }, () => uniform() < mistakes);
      const times = bad.map((b, i) => 120 + 0.1 * i + normal() + (b ? 3 + 5 * uniform() : 0));
      const found = outlying({ runs: countedRuns(mirrored(n), times) }).map((each) => each.runId);
      bad.forEach((b, i) => {
        const isNamed = found.includes(String(i + 1));
        if (b) [isMistake, isFound] = [isMistake + 1, isFound + (isNamed ? 1 : 0)];
        else [isClean, isAsked] = [isClean + 1, isAsked + (isNamed ? 1 : 0)];
      });
    }
    return { found: isFound / Math.max(1, isMistake), asked: isAsked / isClean };
  }

  it("asks about one clean run in a hundred", () => {
    // 20 000 clean runs: three standard errors are 0.2 %.
    expect(Math.abs(shares(20, 0, 1000, 1).asked - 0.01)).toBeLessThan(0.0025);
  });

  it("asks about one clean run in a hundred for all sectors together", () => {
    const normal = normals(7);
    const sectors = ["Roots", "Gully", "Ramp", "Meadow"];
    let asked = 0;
    for (let day = 0; day < 500; day += 1) {
      const runs = mirrored(16).map((setup): MadeRun => {
        const sectorS = sectors.map(() => 30 + normal());
        return { setup, sectorS, timeS: sectorS.reduce((sum, s) => sum + s, 0) };
      });
      const found = outlying({ runs, sectors }).filter((each) => each.sector !== null);
      asked += found.length;
    }
    // 8 000 clean runs: three standard errors are 0.33 %.
    expect(Math.abs(asked / 8000 - 0.01)).toBeLessThan(0.0035);
  });

  it("finds two mistakes of three where one run in twenty is one, and asks about fewer clean ones", () => {
    const { found, asked } = shares(20, 0.05, 800, 3);
    expect(Math.abs(found - 0.67)).toBeLessThan(0.06);
    expect(asked).toBeLessThan(0.006);
  });

  it("finds nearly half where one run in ten is one: they hide each other", () => {
    expect(Math.abs(shares(12, 0.1, 800, 5).found - 0.42)).toBeLessThan(0.06);
  });
});
