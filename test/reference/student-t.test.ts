import { describe, expect, it } from "vitest";
import { studentQuantile, studentUpperTail } from "../../src/stats/student-t.ts";
import { expectAbs, expectRel, namedCase, readData } from "./cases.ts";

interface Table {
  readonly id: string;
  readonly inputs: {
    readonly df: readonly (number | string)[];
    readonly upper_tail?: readonly number[];
    readonly p?: readonly number[];
  };
  readonly expected: { readonly t: readonly (readonly number[])[] };
  readonly tolerance: { readonly abs: number };
  readonly checked_with: { readonly values: { readonly t: readonly (readonly number[])[] } };
}

function table(id: string): Table {
  const { entries } = readData("04_critical_values.json") as { entries: readonly Table[] };
  const found = entries.find((entry) => entry.id === id);
  if (found === undefined) throw new Error(`no table ${id}`);
  return found;
}

describe("Student's t against R 4.2", () => {
  it("gives quantiles", () => {
    const { inputs, expected } = namedCase<{ p: number[]; df: number[] }, { q: number[] }>(
      "statistics.json",
      "t_quantile_grid",
    );
    inputs.p.forEach((p, i) => {
      expectRel(studentQuantile(1 - p, inputs.df[i] ?? 0), expected.q[i] ?? 0, 2e-14);
    });
  });

  it("gives quantiles of tails down to 1e-13", () => {
    const { inputs, expected } = namedCase<
      { lower_tail_p: number[]; df: number[] },
      { q: number[] }
    >("statistics.json", "t_quantile_tiny_tail");
    inputs.lower_tail_p.forEach((p, i) => {
      expectRel(-studentQuantile(p, inputs.df[i] ?? 0), expected.q[i] ?? 0, 2e-14);
    });
  });

  it("gives tails", () => {
    const { inputs, expected } = namedCase<
      { t: number[]; df: number[] },
      { two_sided_p: number[] }
    >("statistics.json", "t_cdf_grid");
    inputs.t.forEach((t, i) => {
      const p = 2 * studentUpperTail(t, inputs.df[i] ?? 0);
      expectRel(p, expected.two_sided_p[i] ?? 0, 2e-14);
    });
  });
});

describe("Student's t against published tables", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2; its 0.001 column has slips in the
  // third decimal, hence that tolerance.
  it.each(["crit-t-nist", "crit-t-nist-001"])("agrees with the handbook's table %s", (id) => {
    const { inputs, expected, tolerance, checked_with } = table(id);
    let compared = 0;
    inputs.df.forEach((df, i) => {
      if (typeof df !== "number") return;
      inputs.upper_tail?.forEach((tail, j) => {
        const t = studentQuantile(tail, df);
        expectAbs(t, expected.t[i]?.[j] ?? Number.NaN, tolerance.abs, `df ${String(df)}`);
        expectRel(t, checked_with.values.t[i]?.[j] ?? Number.NaN, 1e-12);
        compared += 1;
      });
    });
    expect(compared).toBe(33 * (inputs.upper_tail?.length ?? 0));
  });

  // JCGM 100:2008, table G.2 (figures from memory, confirmed by computation).
  it("agrees with the coverage factors of the GUM", () => {
    const { inputs, expected, tolerance } = table("crit-t-gum-g2");
    inputs.df.forEach((df, i) => {
      if (typeof df !== "number") return;
      // 0.6827, 0.9545 and 0.9973 stand for the exact 1, 2 and 3 sigma probabilities.
      inputs.p?.forEach((p, j) => {
        if (![0.9, 0.95, 0.99].includes(p)) return;
        expectAbs(
          studentQuantile((1 - p) / 2, df),
          expected.t[i]?.[j] ?? Number.NaN,
          tolerance.abs,
        );
      });
    });
  });
});

describe("Student's t by itself", () => {
  it("is Cauchy for one degree of freedom and algebraic for two", () => {
    for (const t of [1e-8, 0.3, 1, 7, 1e4, 1e12]) {
      // Closed forms: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 2, ch. 28.
      expectRel(studentUpperTail(t, 1), Math.atan(1 / t) / Math.PI, 1e-14);
      const root = Math.sqrt(2 + t * t);
      expectRel(studentUpperTail(t, 2), 1 / (root * (root + t)), 1e-14);
    }
  });

  it("undoes itself for fractional degrees of freedom", () => {
    for (const df of [0.36, 1.58, 4.7, 9.9, 16.3, 371.5, 20000.25]) {
      for (const tail of [0.499, 0.3, 0.05, 0.0125, 1e-4, 1e-9]) {
        // The fraction loses digits as 1/df: 1e-12 at 20 000.
        expectRel(studentUpperTail(studentQuantile(tail, df), df), tail, 1e-13 + 1e-16 * df);
      }
    }
  });

  it("is symmetric", () => {
    expect(studentUpperTail(0, 3.3)).toBe(0.5);
    expect(studentUpperTail(Number.POSITIVE_INFINITY, 3)).toBe(0);
    expect(studentUpperTail(Number.NEGATIVE_INFINITY, 3)).toBe(1);
    expectRel(studentUpperTail(-1.7, 6.5) + studentUpperTail(1.7, 6.5), 1, 1e-15);
    expect(studentQuantile(0.5, 4)).toBe(0);
    expectRel(studentQuantile(0.9, 4), -studentQuantile(0.1, 4), 1e-14);
  });

  it("refuses what is no probability and no degree of freedom", () => {
    expect(() => studentQuantile(0, 5)).toThrow(RangeError);
    expect(() => studentQuantile(1, 5)).toThrow(RangeError);
    expect(() => studentQuantile(Number.NaN, 5)).toThrow(RangeError);
    expect(() => studentQuantile(0.1, 0)).toThrow(RangeError);
    expect(() => studentUpperTail(1, -2)).toThrow(RangeError);
  });
});
