import { describe, expect, it } from "vitest";
import { bandPlan } from "../../src/stats/band-in-force.ts";
import { chancesOfVerdict, looksAhead } from "../../src/stats/forecast.ts";

const now = { differenceS: -1, spreadS: 1, z2: 3, df: 9 };

describe("chances of a verdict", () => {
  it("never fall, and are 0 while the band is infinite", () => {
    const looks = [Number.POSITIVE_INFINITY, 0.9, 2, 0.5].map((halfWidthS, i) => ({
      z2: 3.2 + i / 4,
      halfWidthS,
      innerHalfWidthS: halfWidthS * 0.8,
    }));
    const chances = chancesOfVerdict(now, looks, null);
    expect(chances[0]).toBe(0);
    expect(chances[2]).toBe(chances[1]);
    expect(chances[3]).toBeGreaterThan(chances[1] ?? 1);
  });

  it("are certain where the margin leaves no gap between the two bands", () => {
    const look = { z2: 5, halfWidthS: 1, innerHalfWidthS: 0.8 };
    expect(chancesOfVerdict(now, [look], 1.8)).toEqual([1]);
    const [gap = 1] = chancesOfVerdict(now, [look], 1.5);
    const [none = 1] = chancesOfVerdict(now, [look], 0.8);
    expect(gap).toBeLessThan(1);
    expect(none).toBeLessThan(gap);
    expect(chancesOfVerdict(now, [look], null)).toEqual([none]);
  });

  it("are plain yes or no where nothing more is learnt", () => {
    const look = (halfWidthS: number) => ({ z2: 3, halfWidthS, innerHalfWidthS: 0.1 });
    expect(chancesOfVerdict(now, [look(0.5)], null)).toEqual([1]);
    expect(chancesOfVerdict(now, [look(1.5)], null)).toEqual([0]);
  });
});

describe("looks to come", () => {
  const bands = bandPlan("plan", 0.05, { nuN: 17, z2N: 5 }, 20);
  const today = { z2: 3, rankDf: 9, equalDf: 9 };

  it("scale information and degrees of freedom with the design", () => {
    const then = { z2: 5, rankDf: 17, equalDf: 17 };
    const [common] = looksAhead(now, 9, 19, [today, then], bands, "common");
    // The last word of a plan of 20 (reference: 2.3579...).
    expect(common?.z2).toBe(5);
    expect(common?.halfWidthS).toBeCloseTo(2.357940192146813 / Math.sqrt(5), 10);
    const scattered = { ...now, df: 4.5 };
    const [each] = looksAhead(scattered, 9, 19, [today, then], bands, "each");
    expect(each?.halfWidthS).toBeGreaterThan(common?.halfWidthS ?? Number.NaN);
  });

  it("have no band where the design says nothing", () => {
    const looks = looksAhead(now, 9, 12, [today, undefined], bands, "common");
    expect(looks[0]?.halfWidthS).toBe(Number.POSITIVE_INFINITY);
    const noDf = { z2: 4, rankDf: 12, equalDf: undefined };
    const each = looksAhead(now, 9, 12, [today, noDf], bands, "each");
    expect(each[0]?.halfWidthS).toBe(Number.POSITIVE_INFINITY);
    expect(looksAhead(now, 9, 12, [undefined, today], bands, "common")).toEqual([]);
  });
});
