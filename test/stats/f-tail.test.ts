import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fUpperTail } from "../../src/stats/f-tail.ts";
import { studentUpperTail } from "../../src/stats/student-t.ts";
import { readData } from "../reference/cases.ts";

interface Table {
  readonly id: string;
  readonly inputs: { readonly cells: readonly { upper_tail: number; df1: number; df2: number }[] };
  readonly expected: { readonly F: readonly number[] };
  readonly checked_with: { readonly values: { readonly F: readonly number[] } };
}

const close = (a: number, b: number, rel: number): void => {
  expect(Math.abs(a - b)).toBeLessThanOrEqual(rel * Math.abs(b));
};

describe("the F distribution's tail", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3 (to three decimals), and R 4.2.2's qf
  // (to 15 digits).
  it("is that of the handbook's table, and of R", () => {
    const { entries } = readData("04_critical_values.json") as { entries: readonly Table[] };
    const table = entries.find((entry) => entry.id === "crit-f");
    expect(table?.inputs.cells).toHaveLength(20);
    table?.inputs.cells.forEach(({ upper_tail, df1, df2 }, i) => {
      close(fUpperTail(table.checked_with.values.F[i] ?? 0, df1, df2), upper_tail, 1e-13);
      const printed = table.expected.F[i] ?? 0;
      expect(fUpperTail(printed - 0.0006, df1, df2)).toBeGreaterThan(upper_tail);
      expect(fUpperTail(printed + 0.0006, df1, df2)).toBeLessThan(upper_tail);
    });
  });

  // Abramowitz & Stegun 26.6.4 (a numerator of two), 26.6.9 (the two tails), and t squared.
  it("has its closed form, its mirror and Student's t", () => {
    const dfs = fc.integer({ min: 1, max: 60 });
    fc.assert(
      fc.property(fc.double({ min: 1e-3, max: 200, noNaN: true }), dfs, dfs, (f, m, n) => {
        close(fUpperTail(f, 2, n), (1 + (2 * f) / n) ** (-n / 2), 1e-12);
        close(fUpperTail(f, 1, n), 2 * studentUpperTail(Math.sqrt(f), n), 1e-12);
        expect(fUpperTail(f, m, n) + fUpperTail(1 / f, n, m)).toBeCloseTo(1, 12);
      }),
      { seed: 20260510 },
    );
  });

  it("ends at its ends and refuses what is no F", () => {
    expect(fUpperTail(0, 3, 4)).toBe(1);
    expect(fUpperTail(Number.POSITIVE_INFINITY, 3, 4)).toBe(0);
    for (const [f, df1, df2] of [
      [-1, 2, 3],
      [Number.NaN, 2, 3],
      [1, 0, 3],
      [1, 1.5, 3],
      [1, 2, 0],
    ] as const) {
      expect(() => fUpperTail(f, df1, df2)).toThrow(RangeError);
    }
  });
});
