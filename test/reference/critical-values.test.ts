// Published critical values that follow from Student's t or from the interval of a spread, and those
// of procedures that the program does not use but that bound its own: see student-t.test.ts for the
// tables of t itself.
import { describe, expect, it } from "vitest";
import { spreadInterval } from "../../src/advisor/spread-interval.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { countedRuns, madeSession } from "../stats/made-session.ts";
import { expectAbs, expectDigits, expectRel, namedCase } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { normalQuantile, normalTail } from "./normal.ts";

const FILE = "04_critical_values.json";
/** Degrees of freedom at which t is normal to some eight digits. */
const MANY = 1e8;

/** "Inf" in the tables stands for as many as t is normal at. */
function dfOf(text: number | string): number {
  return text === "Inf" ? MANY : Number(text);
}

function cellsOf(rows: readonly (readonly number[])[] | undefined, i: number, j: number): number {
  return rows?.[i]?.[j] ?? Number.NaN;
}

describe("Student's t for very many degrees of freedom", () => {
  // Abramowitz & Stegun (1964), tables 26.5 and 26.6.
  it("has the normal quantiles", () => {
    const { inputs, expected, checked_with } = referenceEntry<{ p: number[] }, { z: number[] }>(
      FILE,
      "crit-normal",
    );
    inputs.p.forEach((p, i) => {
      const z = studentQuantile(1 - p, MANY);
      expectAbs(z, expected.z[i] ?? Number.NaN, 5.1e-5);
      expectDigits(z, checked_with.values.z[i] ?? Number.NaN, 7, `p ${String(p)}`);
      expectDigits(normalQuantile(1 - p), checked_with.values.z[i] ?? Number.NaN, 12);
    });
  });

  // NIST/SEMATECH e-Handbook, 1.3.6.7.2, last row.
  it.each(["crit-t-nist", "crit-t-nist-001"])("has the last row of %s", (id) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { df: (number | string)[]; upper_tail: number[] },
      { t: number[][] }
    >(FILE, id);
    const last = inputs.df.length - 1;
    expect(inputs.df[last]).toBe("Inf");
    inputs.upper_tail.forEach((tail, j) => {
      const t = studentQuantile(tail, MANY);
      expectAbs(t, cellsOf(expected.t, last, j), id === "crit-t-nist" ? 0.00051 : 0.005);
      expectDigits(t, cellsOf(checked_with.values.t, last, j), 7);
    });
  });
});

// JCGM 100:2008 (GUM), table G.2: the columns for exactly 1, 2 and 3 standard deviations.
it("has the coverage factors of the GUM for 68.27, 95.45 and 99.73 %", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { df: (number | string)[]; p: number[] },
    { t: number[][] }
  >(FILE, "crit-t-gum-g2");
  const sigmas = new Map([
    [0.6827, 1],
    [0.9545, 2],
    [0.9973, 3],
  ]);
  inputs.df.forEach((text, i) => {
    const df = dfOf(text);
    inputs.p.forEach((p, j) => {
      const sigma = sigmas.get(p);
      const tail = sigma === undefined ? (1 - p) / 2 : normalTail(sigma);
      const t = studentQuantile(tail, df);
      // 235.8 for one degree of freedom is printed to one place.
      expectAbs(t, cellsOf(expected.t, i, j), 0.0051);
      expectDigits(t, cellsOf(checked_with.values.t, i, j), df === MANY ? 7 : 12);
    });
  });
  // H.1: 2.92 at 99 % and 16 degrees of freedom.
  const gauge = referenceEntry<unknown, { df_eff: number; t99: number }>(
    "10_measurement_uncertainty.json",
    "gum-h1-end-gauge",
  );
  const t99 = studentQuantile(0.005, gauge.expected.df_eff);
  expectAbs(t99, gauge.expected.t99, 0.0051);
  expectDigits(t99, gauge.checked_with.values.t99, 13);
});

describe("other distributions through t", () => {
  // NIST/SEMATECH e-Handbook, 1.3.6.7.3: F with one degree of freedom above is t squared.
  it("F with one degree of freedom above", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { cells: { upper_tail: number; df1: number; df2: number }[] },
      { F: number[] }
    >(FILE, "crit-f");
    let compared = 0;
    inputs.cells.forEach(({ upper_tail, df1, df2 }, i) => {
      if (df1 !== 1) return;
      const f = studentQuantile(upper_tail / 2, df2) ** 2;
      expectAbs(f, expected.F[i] ?? Number.NaN, 0.00051);
      expectDigits(f, checked_with.values.F[i] ?? Number.NaN, 13, `df ${String(df2)}`);
      compared += 1;
    });
    expect(compared).toBe(inputs.cells.filter((cell) => cell.df1 === 1).length);
    expect(compared).toBeGreaterThanOrEqual(5);
  });

  // Grubbs' test as tabulated in ISO 5725-2:1994, table 5: (n-1)/sqrt(n) sqrt(t^2/(n-2+t^2)) with
  // the upper 0.05/2n point of t on n - 2 degrees of freedom.
  it("Grubbs' test for one outlier", () => {
    const { inputs, expected, checked_with } = referenceEntry<{ n: number[] }, { G: number[] }>(
      FILE,
      "crit-grubbs",
    );
    inputs.n.forEach((n, i) => {
      const t = studentQuantile(0.05 / (2 * n), n - 2);
      const g = ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
      expectAbs(g, expected.G[i] ?? Number.NaN, 0.00101, `n ${String(n)}`);
      expectDigits(g, checked_with.values.G[i] ?? Number.NaN, 13, `n ${String(n)}`);
    });
  });

  // NIST/SEMATECH e-Handbook, 1.3.6.7.4: the interval of a spread is made of these.
  it.each([
    ["crit-chisq-nist-upper", 0],
    ["crit-chisq-nist-lower", 1],
  ] as const)("chi-square in the interval of a spread: %s", (id, end) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { df: number[]; upper_tail: number[] },
      { chisq: number[][] }
    >(FILE, id);
    inputs.df.forEach((df, i) => {
      inputs.upper_tail.forEach((upper, j) => {
        const tail = Math.min(upper, 1 - upper);
        const multiple = spreadInterval(df, 1 - 2 * tail)[end];
        const chiSquare = df / (multiple * multiple);
        expectAbs(chiSquare, cellsOf(expected.chisq, i, j), 0.0006);
        // 1 - 2 x 0.001 holds twelve digits of the tail.
        expectDigits(chiSquare, cellsOf(checked_with.values.chisq, i, j), 12, `df ${String(df)}`);
      });
    });
  });
});

/**
 * The program shares its level equally over the pairs (Bonferroni). Procedures that know how the
 * pairs hang together need less, but not much less in the days that the program is for, and never
 * less than a single pair; for a single pair they are a t test.
 *
 * @param tail - of one pair by itself: half the level for a two-sided test
 */
function expectShared(critical: number, tail: number, pairs: number, df: number): void {
  const shared = studentQuantile(tail / pairs, df);
  const what = `${String(pairs)} pairs, df ${String(df)}`;
  if (pairs === 1) {
    expectDigits(shared, critical, 7, what);
    return;
  }
  expect(shared, what).toBeGreaterThan(critical);
  expect(shared, what).toBeLessThan(critical * (pairs <= 6 && df >= 10 ? 1.1 : 1.25));
  expect(studentQuantile(tail, df), what).toBeLessThan(critical);
}

describe("procedures for several set-ups, as bounds of a shared level", () => {
  // Dunnett (1955), JASA 50, table 1a; Dunnett (1964), Biometrics 20, table II.
  it.each(["crit-dunnett-1sided-05", "crit-dunnett-2sided-05"])("all against one: %s", (id) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { df: (number | string)[]; treatments: number[]; sides: 1 | 2 },
      { d: number[][] }
    >(FILE, id);
    inputs.df.forEach((text, i) => {
      const df = dfOf(text);
      inputs.treatments.forEach((pairs, j) => {
        const critical = cellsOf(checked_with.values.d, i, j);
        expectAbs(critical, cellsOf(expected.d, i, j), 0.0101);
        expectShared(critical, 0.05 / inputs.sides, pairs, df);
      });
    });
  });

  it("all against one, worked out in R: dunnett_two_sided_95_rho_half", () => {
    const { inputs, expected } = namedCase<
      { comparisons: number[]; df: number[] },
      { critical: number[] }
    >("statistics.json", "dunnett_two_sided_95_rho_half");
    inputs.comparisons.forEach((pairs, i) => {
      const critical = expected.critical[i] ?? Number.NaN;
      expectShared(critical, 0.025, pairs, inputs.df[i] ?? Number.NaN);
    });
  });

  // Pearson & Hartley (1966), table 29; Harter (1960): the studentized range of k means.
  it.each([
    ["crit-q-05", 0.05],
    ["crit-q-01", 0.01],
  ] as const)("all against all: %s", (id, level) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { df: (number | string)[]; k: number[] },
      { q: number[][] }
    >(FILE, id);
    inputs.df.forEach((text, i) => {
      const df = dfOf(text);
      inputs.k.forEach((k, j) => {
        const q = cellsOf(checked_with.values.q, i, j) / Math.SQRT2;
        expectAbs(q * Math.SQRT2, cellsOf(expected.q, i, j), 0.0051);
        expectShared(q, level / 2, (k * (k - 1)) / 2, df);
      });
    });
  });

  it("all against all, worked out in R: tukey_quantile_95", () => {
    const { inputs, expected } = namedCase<{ K: number[]; df: number[] }, { q: number[] }>(
      "statistics.json",
      "tukey_quantile_95",
    );
    inputs.K.forEach((k, i) => {
      const q = (expected.q[i] ?? Number.NaN) / Math.SQRT2;
      expectShared(q, 0.025, (k * (k - 1)) / 2, inputs.df[i] ?? Number.NaN);
    });
  });

  // Dunnett's intervals by multivariate t; the comparison's own differences and errors.
  it("a day of three set-ups: dunnett_18_three_setups", () => {
    const { inputs, expected, tolerance } = namedCase<
      { setup: string[]; levels: string[]; y: number[] },
      {
        critical: number;
        comparisons: { setup: string; est: number; se: number; lo: number; hi: number }[];
      }
    >("statistics.json", "dunnett_18_three_setups");
    const runs = countedRuns(inputs.setup, inputs.y);
    const settings = { plannedRuns: 18 };
    const [rider] = compareRiders(madeSession({ runs, setups: inputs.levels, settings }));
    for (const { setup, est, se, lo, hi } of expected.comparisons) {
      const pair = rider?.parts[0]?.pairs.find((p) => p.setup === setup);
      expectDigits(pair?.difference_s, est, 11, setup);
      expectDigits(pair?.standard_error_s, se, 12, setup);
      expectRel((hi - lo) / 2 / se, expected.critical, tolerance.value);
      expectShared(expected.critical, 0.025, 2, pair?.df ?? Number.NaN);
      // Read once at the end or after every run: the band may only be wider than Dunnett's.
      const [low, high] = pair?.band_s ?? [Number.NaN, Number.NaN];
      expect(low).toBeLessThan(lo);
      expect(high).toBeGreaterThan(hi);
    }
  });

  // Dobson (1983); intervals as printed by R's TukeyHSD.
  it("three groups of plants: published_tukey_plantgrowth", () => {
    const { inputs, expected } = namedCase<
      { group: string[]; y: number[] },
      { pairs: string[]; est: number[]; lo: number[]; hi: number[] }
    >("statistics.json", "published_tukey_plantgrowth");
    const runs = countedRuns(inputs.group, inputs.y);
    const setups = ["ctrl", "trt1", "trt2"];
    const settings = { drift: "none", plannedRuns: 30 } as const;
    expected.pairs.forEach((name, i) => {
      const [setup, baseline = ""] = name.split("-");
      const [rider] = compareRiders(madeSession({ runs, setups, baseline, settings }));
      const pair = rider?.parts[0]?.pairs.find((p) => p.setup === setup);
      expectAbs(pair?.difference_s ?? null, expected.est[i] ?? Number.NaN, 1e-9);
      const half = ((expected.hi[i] ?? Number.NaN) - (expected.lo[i] ?? Number.NaN)) / 2;
      const critical = half / (pair?.standard_error_s ?? Number.NaN);
      expectShared(critical, 0.025, 3, pair?.df ?? Number.NaN);
    });
  });
});
