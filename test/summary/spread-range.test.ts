// The range of a measured spread against the published chi-square tables.
import { describe, expect, it } from "vitest";
import { spreadInterval } from "../../src/advisor/spread-interval.ts";
import { spreadRange } from "../../src/summary/spread-range.ts";
import { readData } from "../reference/cases.ts";

interface Table {
  readonly id: string;
  readonly inputs: { readonly df: readonly number[]; readonly upper_tail: readonly number[] };
  readonly expected: { readonly chisq: readonly (readonly number[])[] };
  readonly tolerance: { readonly abs: number };
}

describe("range of a spread", () => {
  it("is the 80 % chi-square interval", () => {
    // Chi-square, 9 degrees of freedom: 4.168 and 14.684 leave 10 % on either side (NIST/SEMATECH
    // e-Handbook 1.3.6.7.4).
    const range = spreadRange({ setup: "B", runs: 11, df: 9, spread_s: 1.5 });
    expect(range?.lowS).toBeCloseTo(1.5 * Math.sqrt(9 / 14.684), 4);
    expect(range?.highS).toBeCloseTo(1.5 * Math.sqrt(9 / 4.168), 4);
  });

  it("is not there without a spread, nor with less than a degree of freedom", () => {
    expect(spreadRange({ setup: "B", runs: 2, df: 0.9, spread_s: 1 })).toBeUndefined();
    expect(spreadRange({ setup: "B", runs: 1, df: null, spread_s: null })).toBeUndefined();
  });
});

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper and lower tables.
it.each(["crit-chisq-nist-upper", "crit-chisq-nist-lower"])(
  "rests on the quantiles of the handbook's table %s",
  (id) => {
    const { entries } = readData("04_critical_values.json") as { entries: readonly Table[] };
    const table = entries.find((entry) => entry.id === id);
    if (table === undefined) throw new Error(`no table ${id}`);
    let compared = 0;
    table.inputs.df.forEach((df, i) => {
      table.inputs.upper_tail.forEach((tail, j) => {
        const isUpper = tail < 0.5;
        const ends = spreadInterval(df, 1 - 2 * (isUpper ? tail : 1 - tail));
        const quantile = df / ends[isUpper ? 0 : 1] ** 2;
        const off = Math.abs(quantile - (table.expected.chisq[i]?.[j] ?? Number.NaN));
        expect(off, `df ${String(df)}, tail ${String(tail)}`).toBeLessThan(table.tolerance.abs);
        compared += 1;
      });
    });
    expect(compared).toBe(50);
  },
);
