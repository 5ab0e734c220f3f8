// What is known of the run-to-run spread before and during a day.
import { describe, expect, it } from "vitest";
import {
  countedSpread,
  pooledSpread,
  sheetSpread,
  warmUpsSpread,
} from "../../src/advisor/plan-spread.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { warmUpSpread } from "../../src/stats/warm-up-spread.ts";
import { runsOf, sessionOf, sheetOf } from "./sessions.ts";

describe("the spread of warm-up laps", () => {
  it("is what a straight line leaves", () => {
    // By hand: slope -0.55, residuals 0.05, -0.40, 0.65, -0.30; sqrt(0.675 / 2).
    const spread = warmUpSpread([10, 9, 9.5, 8]);
    expect(spread?.df).toBe(2);
    expect(spread?.spreadS).toBeCloseTo(Math.sqrt(0.3375), 12);
  });

  it("needs three laps", () => {
    expect(warmUpSpread([])).toBeUndefined();
    expect(warmUpSpread([10, 9])).toBeUndefined();
    expect(warmUpSpread([10, 9, 9.5])?.df).toBe(1);
    expect(() => warmUpSpread([10, 9], ["A"])).toThrow(RangeError);
  });

  it("has a level for each set-up, and a single lap on one says nothing", () => {
    const times = [10, 9, 9.5, 8, 8.2, 7.9, 8.4];
    const setups = Array.from("AAAABBB");
    const spread = warmUpSpread(times, setups);
    expect(spread?.df).toBe(4);
    const slower = times.map((time, i) => (setups[i] === "B" ? time + 20 : time));
    expect(warmUpSpread(slower, setups)?.spreadS).toBeCloseTo(spread?.spreadS ?? 0, 12);
    const once = warmUpSpread([...times, 55], [...setups, "C"]);
    expect(once?.df).toBe(4);
    expect(once?.spreadS).toBeCloseTo(spread?.spreadS ?? 0, 12);
    expect(warmUpSpread([10, 9, 9.5], Array.from("ABC"))).toBeUndefined();
  });
});

describe("spreads together", () => {
  it("weigh by their degrees of freedom", () => {
    const known = pooledSpread([{ spreadS: 1, df: 2 }, null, { spreadS: 2, df: 6 }]);
    // sqrt((2 x 1 + 6 x 4) / 8).
    expect(known).toEqual({ spreadS: Math.sqrt(26 / 8), df: 8 });
    expect(pooledSpread([])).toBeNull();
    expect(pooledSpread([{ spreadS: 3, df: 0 }])).toBeNull();
  });

  it("take a sheet's only where it says how well it is known", () => {
    const of = (spreadDf: number | null) =>
      sheetSpread(sheetOf({ settings: { spreadS: 1.5, spreadDf } }).settings);
    expect(of(9)).toEqual({ spreadS: 1.5, df: 9 });
    expect(of(null)).toBeNull();
  });

  it("have each rider's warm-up laps before run 1, and no later ones", () => {
    const lap = (rider: string, timeS: number) =>
      ({ setup: "A", rider, timeS, status: "warm-up" }) as const;
    const first = [10, 9, 9.5, 8].map((timeS) => lap("R1", timeS));
    const second = [80, 79, 79.5, 78].map((timeS) => lap("R2", timeS));
    const riders = [{ id: "R1" }, { id: "R2" }];
    const { runs } = sessionOf({ riders, runs: [...first, ...second, lap("R2", 78.2)] });
    const own = warmUpsSpread(runs.slice(0, 8));
    expect(own?.df).toBe(4);
    expect(own?.spreadS).toBeCloseTo(Math.sqrt(0.3375), 12);
    expect(warmUpsSpread(runs)?.df).toBe(5);
    const voided = runs.map((run, i) => (i === 0 ? { ...run, timeS: null } : run));
    expect(warmUpsSpread(voided)?.df).toBe(4);
  });

  it("have the counted runs of every rider", () => {
    const times = [60, 61, 60.5, 59.8, 60.2, 61.1];
    const riders = [{ id: "R1" }, { id: "R2" }];
    const own = runsOf("ABBAAB", times);
    const runs = [
      ...own,
      ...own.map((run) => ({ ...run, rider: "R2", timeS: (run.timeS ?? 0) * 2 })),
    ];
    const compared = compareRiders(sessionOf({ riders, runs }));
    const spread = countedSpread(compared);
    const [one] = compared;
    // Twice the times are twice the spread: mean of 1 and 4 squares.
    expect(spread?.df).toBe(2 * (one?.df ?? 0));
    expect(spread?.spreadS).toBeCloseTo((one?.spread_s ?? 0) * Math.sqrt(2.5), 12);
  });
});
