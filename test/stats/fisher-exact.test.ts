// Fisher's exact test: published tables, a count of every table in whole numbers, and its symmetries.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fisherExact } from "../../src/stats/fisher-exact.ts";

/** Ways to choose k of n, in whole numbers. */
function choose(n: number, k: number): bigint {
  let ways = 1n;
  for (let i = 0; i < k; i += 1) ways = (ways * BigInt(n - i)) / BigInt(i + 1);
  return ways;
}

/** Every table with the same totals written out; equally probable ones are equal whole numbers. */
function enumerated(a: number, m: number, b: number, n: number): number {
  const ways = (k: number): bigint => choose(m, k) * choose(n, a + b - k);
  let [sum, asUneven] = [0n, 0n];
  for (let k = Math.max(0, a + b - n); k <= Math.min(a + b, m); k += 1) {
    sum += ways(k);
    if (ways(k) <= ways(a)) asUneven += ways(k);
  }
  return Number((asUneven * 10n ** 18n) / sum) / 1e18;
}

const p = (a: number, m: number, b: number, n: number): number =>
  fisherExact({ count: a, of: m }, { count: b, of: n });

describe("Fisher's exact test", () => {
  it("gives Fisher's tea cups 34 in 70 (Agresti 2002, p. 91; R's fisher.test prints 0.4857)", () => {
    expect(p(3, 4, 1, 4)).toBeCloseTo(34 / 70, 14);
  });

  it("gives the convictions of twins 0.0005367 (example of R's fisher.test)", () => {
    // Fisher (1970): 2 of 17 dizygotic and 10 of 13 monozygotic twins of criminals convicted.
    expect(p(2, 17, 10, 13)).toBeCloseTo(0.0005367, 7);
  });

  it("calls four of eight against none of eight chance, five against none hardly", () => {
    expect(p(4, 8, 0, 8)).toBeCloseTo(0.0769, 4);
    expect(p(5, 8, 0, 8)).toBeCloseTo(0.0256, 4);
  });

  it("is what counting every table in whole numbers gives", () => {
    const total = fc.integer({ min: 0, max: 40 });
    fc.assert(
      fc.property(total, total, fc.nat(), fc.nat(), (m, n, i, j) => {
        const [a, b] = [i % (m + 1), j % (n + 1)];
        expect(p(a, m, b, n)).toBeCloseTo(enumerated(a, m, b, n), 12);
      }),
      { seed: 3, numRuns: 400 },
    );
  });

  it("is the same whichever way round, and for marked and unmarked exchanged", () => {
    const total = fc.integer({ min: 0, max: 400 });
    fc.assert(
      fc.property(total, total, fc.nat(), fc.nat(), (m, n, i, j) => {
        const [a, b] = [i % (m + 1), j % (n + 1)];
        const one = p(a, m, b, n);
        expect(one).toBeGreaterThan(0);
        expect(one).toBeLessThanOrEqual(1);
        expect(Math.abs(p(b, n, a, m) / one - 1)).toBeLessThan(1e-9);
        expect(Math.abs(p(m - a, m, n - b, n) / one - 1)).toBeLessThan(1e-9);
      }),
      { seed: 4, numRuns: 300 },
    );
  });

  it("says nothing about nothing, and stays a number for ten thousand runs", () => {
    expect(p(0, 0, 3, 8)).toBe(1);
    expect(p(0, 8, 0, 8)).toBe(1);
    expect(p(8, 8, 8, 8)).toBe(1);
    expect(p(10_000, 10_000, 0, 10_000)).toBe(0);
    expect(p(5100, 10_000, 4900, 10_000)).toBeGreaterThan(0.004);
  });

  it("refuses shares that are none", () => {
    expect(() => p(9, 8, 0, 8)).toThrow(RangeError);
    expect(() => p(-1, 8, 0, 8)).toThrow(RangeError);
    expect(() => p(0.5, 8, 0, 8)).toThrow(RangeError);
    expect(() => p(1, Number.NaN, 0, 8)).toThrow("whole counts");
  });
});
