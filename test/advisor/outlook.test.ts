// Parts of the advice on their own: the design a run ahead, the chance of a verdict, the standing.
import { describe, expect, it } from "vitest";
import { chanceOfCall } from "../../src/advisor/chance-of-call.ts";
import { rolledForward } from "../../src/advisor/day-outlook.ts";
import { adviseNext, adviseNextBy } from "../../src/advisor/next-setup.ts";
import { pairAhead } from "../../src/advisor/pair-ahead.ts";
import {
  equalDfOf,
  pairInformation,
  riddenDesign,
  withRun,
} from "../../src/advisor/ridden-design.ts";
import { riderStanding } from "../../src/advisor/rider-standing.ts";
import { spreadInterval } from "../../src/advisor/spread-interval.ts";
import { chooseRide } from "../../src/advisor/suggestion-rule.ts";
import { multipliersAt } from "../../src/stats/band-in-force.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { runsOf, sessionOf } from "./sessions.ts";

function designOf(order: string, drift: "none" | "linear" = "linear") {
  const rows = Array.from(order, (setup, i) => ({ block: "R1", setup, k: i + 1 }));
  const setups = [...new Set(Array.from(order))];
  return riddenDesign(rows, setups, drift, { block: "R1", k: order.length + 1 });
}

function mirrored(letters: string, n: number): string {
  const cycle = letters + Array.from(letters).reverse().join("");
  return Array.from({ length: n }, (_, i) => cycle[i % cycle.length] ?? "").join("");
}

describe("the design", () => {
  // Satterthwaite's degrees of freedom of the planning order were all spreads equal; two set-ups:
  // N - 3; the others worked out in R 4.2, one decimal given.
  it.each([
    ["AB", 12, 9],
    ["AB", 20, 17],
    ["ABC", 12, 5.3],
    ["ABC", 20, 11.2],
    ["ABC", 30, 17.3],
    ["ABCD", 24, 9.5],
    ["ABCD", 32, 13.5],
  ])("%s in %i runs has %f degrees of freedom for a pair", (letters, n, df) => {
    expect(Math.abs((equalDfOf(designOf(mirrored(letters, n)), "B", "A") ?? 0) - df)).toBeLessThan(
      0.06,
    );
  });

  it("grown run by run is the design of all runs", () => {
    const order = mirrored("ABC", 40);
    let grown = designOf(order.slice(0, 3));
    for (let i = 3; i < order.length; i += 1) {
      grown = withRun(grown, { block: "R1", setup: order[i] ?? "", k: i + 1 });
    }
    const whole = designOf(order);
    for (const [candidate, baseline] of [
      ["B", "A"],
      ["C", "B"],
    ] as const) {
      const own = pairInformation(grown, candidate, baseline);
      const all = pairInformation(whole, candidate, baseline);
      expect(own.z2).toBeCloseTo(all.z2, 9);
      expect(own.rankDf).toBe(all.rankDf);
      const df = equalDfOf(whole, candidate, baseline) ?? 0;
      expect(equalDfOf(grown, candidate, baseline)).toBeCloseTo(df, 9);
    }
  });

  it("knows nothing of a set-up that was not ridden", () => {
    const rows = [{ block: "R1", setup: "A", k: 1 }];
    const design = riddenDesign(rows, ["A", "B"], "none", { block: "R1", k: 2 });
    expect(pairInformation(design, "B", "A").z2).toBe(0);
    expect(equalDfOf(design, "B", "A")).toBeUndefined();
    const both = withRun(design, { block: "R1", setup: "B", k: 2 });
    expect(pairInformation(both, "B", "A").z2).toBeCloseTo(0.5, 12);
  });
});

describe("a pair ahead", () => {
  const limits = { phi: 1, outerL: 1, innerL: 0.5 };
  const today = designOf("ABBAABBA");
  const then = designOf("ABBAABBAABBA");
  const pair = {
    candidate: "B",
    baseline: "A",
    differenceS: 1,
    standardErrorS: 0.6,
    z2: 2,
    df: 4,
    rankDf: 5,
  };

  it("gains degrees of freedom as if all spreads were equal", () => {
    // By hand: a set-up has runs - 1 - sum((k - mean)^2) / total of them; z2 grows from 2 to 3.
    const equal = (a: number, b: number) => 4 / (1 / a + 1 / b);
    const before = equal(3 - 25 / 42, 3 - 17 / 42);
    const after = equal(5 - 77.5 / 143, 5 - 65.5 / 143);
    const own = pairAhead(pair, "each", today, then, limits);
    const expected = multipliersAt(limits, (4 * after) / before, 3);
    expect(own.z2).toBeCloseTo(3, 12);
    expect(own.multiplier).toBeCloseTo(expected.multiplier, 10);
    expect(own.halfWidthS).toBeCloseTo(expected.multiplier * 0.6 * Math.sqrt(2 / 3), 10);
  });

  it("with one spread takes runs less rank", () => {
    const own = pairAhead(pair, "common", today, then, limits);
    expect(own.multiplier).toBeCloseTo(multipliersAt(limits, 9, 3).multiplier, 10);
  });

  it("never has more degrees of freedom than runs less rank", () => {
    const generous = pairAhead({ ...pair, df: 5.5 }, "each", today, then, limits);
    expect(generous.multiplier).toBeCloseTo(multipliersAt(limits, 9, 3).multiplier, 10);
  });
});

describe("the chance of a verdict", () => {
  const now = { differenceS: 0.4, spreadS: 1.2, v: 0.5, df: 5 };
  const then = { v: 0.25, multiplier: 3, innerMultiplier: 2.4 };

  it("adds the chance of no difference worth having", () => {
    const width = 1.2 * Math.sqrt(0.25);
    const inner = 1.9 - 2.4 * 1.2 * 0.5;
    // P(|0.4 + width T| < inner) by Simpson's rule over the density of t on 5 degrees of freedom.
    const density = (t: number) => (8 / (3 * Math.PI * Math.sqrt(5))) * (1 + (t * t) / 5) ** -3;
    const from = (-inner - 0.4) / width;
    const to = (inner - 0.4) / width;
    const steps = 2000;
    const h = (to - from) / steps;
    let inside = density(from) + density(to);
    for (let i = 1; i < steps; i += 1) inside += (i % 2 === 1 ? 4 : 2) * density(from + i * h);
    const called = chanceOfCall(now, then, null);
    expect(chanceOfCall(now, then, 1.9)).toBeCloseTo(called + (inside * h) / 3, 10);
  });

  it("is certain where the margin is wider than both bands, and unchanged below the inner one", () => {
    expect(chanceOfCall(now, then, 10)).toBe(1);
    expect(chanceOfCall(now, then, 1.4)).toBe(chanceOfCall(now, then, null));
  });

  it("is none without a band, and settled when nothing more is ridden", () => {
    const never = { ...then, multiplier: Number.POSITIVE_INFINITY };
    expect(chanceOfCall(now, never, null)).toBe(0);
    // Rounding may leave the end a hair wider than today.
    const same = { ...then, v: 0.5 + 1e-17 };
    expect(chanceOfCall(now, same, null)).toBe(0);
    expect(chanceOfCall({ ...now, differenceS: 9 }, same, null)).toBe(1);
  });
});

describe("cannot be decided today", () => {
  it("is not said before two runs more than the opening", () => {
    const settings = { plannedRuns: 8, drift: "none" } as const;
    const times = [89, 89.5, 90.5, 91, 90, 90];
    const stopAfter = (order: string) => {
      const input = sessionOf({ settings, runs: runsOf(order, times) });
      return adviseNext(input, compareRiders(input)).next.stop;
    };
    expect(stopAfter("ABBAA")).toBeNull();
    expect(stopAfter("ABBAAB")).toBe("cannot-be-decided-today");
  });
});

describe("the end of the day", () => {
  it("is not known without an end of time or plan, nor beyond many runs", () => {
    const situation = {
      design: designOf("ABBA"),
      leader: "A",
      rival: "B",
      rideable: ["A", "B"],
      alive: ["A", "B"],
      mounted: "A",
      counted: ["A", "B", "B", "A"],
      next: { block: "R1", k: 5 },
      minutesLeft: null,
    };
    const costs = { lapMinutes: 8, swapMinutes: () => 4 };
    const roll = (minutesLeft: number | null, endRun: number | null) =>
      rolledForward(
        { ...situation, minutesLeft },
        costs,
        () => 2,
        () => 0,
        endRun,
      );
    expect(roll(null, null)).toBeUndefined();
    expect(roll(1e6, null)).toBeUndefined();
    expect(roll(null, 10)).toMatchObject({ runs: 10, isShortOfPlan: false });
    // 8 on A, 12 with the swap to B and 8 on B leave 2 of 30 minutes.
    expect(roll(30, 10)).toMatchObject({
      runs: 7,
      order: ["A", "B", "B", "A", "A", "B", "B"],
      isShortOfPlan: true,
    });
  });
});

describe("exact ties", () => {
  const ride = (order: string, coin: number, setups: string) => {
    const situation = {
      design: designOf(order, "none"),
      leader: "A",
      rival: "B",
      rideable: Array.from(setups),
      alive: Array.from(setups),
      mounted: "C",
      counted: Array.from(order),
      next: { block: "R1", k: order.length + 1 },
      minutesLeft: null,
    };
    const costs = { lapMinutes: 8, swapMinutes: () => 4 };
    return chooseRide(
      situation,
      costs,
      () => 2,
      () => coin,
    ).setup;
  };

  it("are settled by the coin", () => {
    expect(ride("AABBCC", 0, "AB")).toBe("A");
    expect(ride("AABBCC", 0.99, "AB")).toBe("B");
  });

  it("go to the mounted set-up among equals", () => {
    // C and D tell nothing about A and B without a trend: both indices are 0.
    expect(ride("AABBCCDD", 0.99, "CD")).toBe("C");
  });

  it("go to the fewest rides before that", () => {
    expect(ride("AABBDCC", 0.99, "CD")).toBe("D");
  });
});

describe("the multiplier of the index", () => {
  const order = "ABBAABBAABBA";
  const times = Array.from(order, (_, i) => 90 + ((i * 7) % 5) / 2);

  it.each([
    ["before the end", 10, (n: number) => n],
    ["at the last run of the plan, without the last word", 11, (n: number) => n - 1],
  ])("%s is that of the looks before the end", (_, n, at) => {
    const settings = { plannedRuns: 12, lapMinutes: 8 };
    const input = sessionOf({ settings, runs: runsOf(order.slice(0, n), times) });
    const comparisons = compareRiders(input);
    const bands = fitRider(input, "R1")?.pairBand("B", "A").bands;
    if (bands === undefined) throw new RangeError("no fit");
    const before = bands.at(at(n));
    const own = adviseNextBy(
      input,
      comparisons,
      (df, z2) => multipliersAt(before, df, z2).multiplier,
    );
    expect(adviseNext(input, comparisons).alternatives).toEqual(own.alternatives);
    const word = adviseNextBy(
      input,
      comparisons,
      (df, z2) => multipliersAt(bands.at(13), df, z2).multiplier,
    );
    expect(adviseNext(input, comparisons).alternatives).not.toEqual(word.alternatives);
  });

  it("is the open band's from the end on", () => {
    const input = sessionOf({ settings: { plannedRuns: 12 }, runs: runsOf(order, times) });
    const comparisons = compareRiders(input);
    const bands = fitRider(input, "R1")?.pairBand("B", "A").bands;
    if (bands === undefined) throw new RangeError("no fit");
    const open = bands.at(13);
    const own = adviseNextBy(
      input,
      comparisons,
      (df, z2) => multipliersAt(open, df, z2).multiplier,
    );
    expect(adviseNext(input, comparisons).alternatives).toEqual(own.alternatives);
  });
});

describe("the standing", () => {
  const settings = { plannedRuns: 16 };
  const setups = ["A", "B", "C"];

  it("takes for rival the set-up closest to the leader for its band, not the least ridden", () => {
    const order = "ABCCBAABCBAB";
    const effect: Readonly<Record<string, number>> = { A: 0, B: 0.2, C: 1.4 };
    const scatter = [0.6, -0.5, 0.4, -0.7, 0.5, -0.3, 0.4, -0.4, 0.3, 0.2, -0.6, 0.3];
    const times = Array.from(order, (s, i) => 90 + (effect[s] ?? 0) + (scatter[i] ?? 0));
    const input = sessionOf({ setups, settings, runs: runsOf(order, times) });
    const [rider] = input.riders;
    const standing = rider && riderStanding(input, rider);
    expect(standing).toMatchObject({ leader: "A", settled: [], isDecided: false });
    expect(standing?.rival.setup).toBe("B");
    expect(Number.isFinite(standing?.rival.band?.halfWidthS)).toBe(true);
  });

  it("puts a set-up without a band first, fewest runs first", () => {
    const input = sessionOf({ setups, settings, runs: runsOf("ABBA") });
    const [rider] = input.riders;
    expect(rider && riderStanding(input, rider)?.rival.setup).toBe("C");
  });

  it("has the baseline lead before anything is ridden", () => {
    const input = sessionOf({ setups, settings });
    const [rider] = input.riders;
    expect(rider && riderStanding(input, rider)).toMatchObject({ leader: "A", isDecided: false });
  });
});

describe("spreadInterval", () => {
  it("refuses what has no interval", () => {
    expect(() => spreadInterval(0)).toThrow(RangeError);
    expect(() => spreadInterval(3, 1)).toThrow(RangeError);
  });
});
