// Comparisons of two set-ups without session drift against published t tests: in pairs, in two
// groups of uneven size, with one spread and with a spread each.
import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { equalSpreadDf, separateSpreads } from "../../src/stats/contrast-sums.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, madeSession } from "../stats/made-session.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { type Estimate, withError } from "./textbook-model.ts";

const FILE = "06_paired_crossover_blocks.json";
const SPREADS = ["common", "each"] as const;

/** A pair of the comparison with its t, P and plain 95 % interval. */
function tested(pair: Pair | undefined): Estimate {
  const { difference_s, standard_error_s, df } = pair ?? {};
  return withError(difference_s ?? Number.NaN, standard_error_s ?? Number.NaN, df ?? Number.NaN);
}

/**
 * Pairs of values as riders with two runs each; every rider has a level of its own, so that only
 * the differences within pairs can count.
 */
function inPairs(first: readonly number[], second: readonly number[], spreads: "common" | "each") {
  const riders = first.map((_, i) => `R${String(i)}`);
  const runs = first.flatMap((value, i): MadeRun[] => [
    { rider: riders[i] ?? "", setup: "A", timeS: 200 + 8 * i + value },
    { rider: riders[i] ?? "", setup: "B", timeS: 200 + 8 * i + (second[i] ?? Number.NaN) },
  ]);
  const settings = { drift: "none", plannedRuns: 2, spreads } as const;
  const stacked = compareTogether(madeSession({ runs, riders, settings }))?.pairs[0];
  // The same as one rider's days of two runs.
  const days = runs.map((run, i) => ({ ...run, rider: "R1", day: Math.floor(i / 2) }));
  const ofDays = { ...settings, plannedRuns: runs.length };
  const [rider] = compareRiders(madeSession({ runs: days, settings: ofDays }));
  return [tested(stacked), tested(rider?.parts[0]?.pairs[0])];
}

describe("paired comparisons: blocks of two runs", () => {
  // Student (1908), Biometrika 6, as printed in R's help for t.test.
  it.each(SPREADS)("Student's sleep data, spreads %s", (spreads) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { drug1: number[]; drug2: number[] },
      { mean_diff: number; t: number; df: number; p: number; ci: number[] }
    >(FILE, "student-sleep-paired");
    // drug1 - drug2 there: drug 2 is the baseline here.
    for (const found of inPairs(inputs.drug2, inputs.drug1, spreads)) {
      expectAbs(found.value, expected.mean_diff, 1e-9);
      expectAbs(found.t, expected.t, 6e-5);
      expectAbs(found.df, expected.df, 1e-9);
      expectAbs(found.p, expected.p, 6e-7);
      expectDigits(found.t, checked_with.values.t, 13, "t");
      expectDigits(found.p, checked_with.values.p, 13, "p");
      for (const i of [0, 1] as const) {
        expectAbs(found.interval[i], expected.ci[i] ?? Number.NaN, 6e-8);
        expectDigits(found.interval[i], checked_with.values.ci[i] ?? Number.NaN, 13, "interval");
      }
    }
  });

  // Box, Hunter & Hunter (1978), pp. 97-101.
  it.each(SPREADS)("the boys' shoes, spreads %s", (spreads) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { A: number[]; B: number[] },
      Record<"mean_diff_A_minus_B" | "se" | "t" | "p", number> & { ci: number[] }
    >(FILE, "bhh-shoes-paired");
    for (const found of inPairs(inputs.B, inputs.A, spreads)) {
      expectAbs(found.value, expected.mean_diff_A_minus_B, 1e-9);
      expectAbs(found.se, expected.se, 0.00051);
      expectAbs(found.t, expected.t, 0.00051);
      expectDigits(found.se, checked_with.values.se, 13, "se");
      expectDigits(found.t, checked_with.values.t, 13, "t");
      expectDigits(found.p, checked_with.values.p, 13, "p");
      expectDigits(found.interval[0], checked_with.values.ci[0] ?? 0, 13, "interval");
    }
  });

  // Fisher (1935), The Design of Experiments, chapter III.
  it.each(SPREADS)("Darwin's maize, spreads %s", (spreads) => {
    const { inputs, expected, checked_with } = referenceEntry<
      { difference: number[] },
      Record<"mean" | "t" | "df" | "p", number>,
      Record<"mean" | "t" | "p", number>
    >(FILE, "darwin-maize-paired");
    const zeros = inputs.difference.map(() => 0);
    for (const found of inPairs(zeros, inputs.difference, spreads)) {
      expectAbs(found.value, expected.mean, 0.00051);
      expectAbs(found.t, expected.t, 0.00051);
      expectAbs(found.df, expected.df, 1e-9);
      expectAbs(found.p, expected.p, 5.1e-5);
      expectDigits(found.t, checked_with.values.t, 13, "t");
      expectDigits(found.p, checked_with.values.p, 13, "p");
    }
  });
});

function inGroups(a: readonly number[], b: readonly number[], spreads: "common" | "each") {
  const runs = [
    ...a.map((v): MadeRun => ({ setup: "A", timeS: 100 + v })),
    ...b.map((v): MadeRun => ({ setup: "B", timeS: 100 + v })),
  ];
  const settings = { drift: "none", spreads } as const;
  return compareRiders(madeSession({ runs, settings }))[0];
}

function varianceOf(values: readonly number[]): number {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  return values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1);
}

describe("two groups, each with a spread of its own", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { group1: number[]; group2: number[] },
    { t: number; df: number; p: number; ci: number[] }
  >(FILE, "student-sleep-welch");
  const groups = [inputs.group2, inputs.group1];
  const [b = [], a = []] = groups;

  // Welch (1947), Biometrika 34; figures as printed in R's help for sleep.
  it("has Welch's error and, taken alone, his degrees of freedom", () => {
    const pair = inGroups(b, a, "each")?.parts[0]?.pairs[0];
    const parts = groups.map((values) => {
      const variance = varianceOf(values) / values.length;
      // The pooled part set to the estimated one leaves Satterthwaite's formula alone.
      return {
        weight: 1 / values.length,
        df: values.length - 1,
        variance,
        pooled: variance,
      };
    });
    const alone = separateSpreads(parts, 5, 18);
    expectDigits(pair?.standard_error_s, alone?.standardErrorS ?? Number.NaN, 13, "error");
    const found = withError(
      pair?.difference_s ?? Number.NaN,
      pair?.standard_error_s ?? Number.NaN,
      alone?.df ?? Number.NaN,
    );
    expectAbs(found.t, expected.t, 6e-5);
    expectAbs(found.df, expected.df, 0.0006);
    expectAbs(found.p, expected.p, 6e-6);
    expectDigits(found.t, checked_with.values.t, 13, "t");
    expectDigits(found.df, checked_with.values.df, 15, "df");
    expectDigits(found.p, checked_with.values.p, 13, "p");
    for (const i of [0, 1] as const) {
      expectDigits(found.interval[i], checked_with.values.ci[i] ?? Number.NaN, 13, "interval");
    }
  });

  it("has its own degrees of freedom a little nearer to all runs' than Welch's", () => {
    const [va = Number.NaN, vb = Number.NaN] = groups.map(varianceOf);
    // By hand: each variance steadied by two runs of the pooled one, 9 degrees of freedom each.
    const [xa, xb] = [va, vb].map((v) => (2 * ((va + vb) / 2) + 9 * v) / 11 / 10);
    const byHand = ((xa ?? 0) + (xb ?? 0)) ** 2 / (((xa ?? 0) ** 2 + (xb ?? 0) ** 2) / 9);
    const df = inGroups(b, a, "each")?.parts[0]?.pairs[0]?.df ?? Number.NaN;
    expectDigits(df, byHand, 15, "df");
    expect(df).toBeGreaterThan(checked_with.values.df);
    expect(df).toBeLessThan(18);
  });

  // JCGM 100:2008 (GUM), G.4.1 and H.1: the formula with unequal degrees of freedom.
  it("has the effective degrees of freedom of the GUM's examples", () => {
    const product = referenceEntry<
      { u_rel_percent: number[]; df: number[] },
      Record<"u_c_percent" | "df_eff" | "t95" | "U95_percent", number>
    >("10_measurement_uncertainty.json", "gum-g41-welch");
    const parts = product.inputs.u_rel_percent.map((u, i) => ({
      weight: u * u,
      df: product.inputs.df[i] ?? Number.NaN,
    }));
    const whole = parts.reduce((sum, part) => sum + part.weight, 0);
    const df = equalSpreadDf(parts, 1 / whole) ?? Number.NaN;
    expectAbs(df, product.expected.df_eff, 0.051);
    expectDigits(df, product.checked_with.values.df_eff, 14);
    const same = separateSpreads(
      parts.map((part) => ({ ...part, variance: part.weight, pooled: part.weight })),
      1 / whole,
      27,
    );
    expectDigits(same?.df, df, 15);
    expectAbs(same?.standardErrorS ?? null, product.expected.u_c_percent, 0.0051);

    const gauge = referenceEntry<
      { d: { components: [number, number][] } },
      { df_d: number },
      { df_d: number }
    >("10_measurement_uncertainty.json", "gum-h1-end-gauge");
    const components = gauge.inputs.d.components.map(([u, own]) => ({ weight: u * u, df: own }));
    const d2 = components.reduce((sum, part) => sum + part.weight, 0);
    const dfD = equalSpreadDf(components, 1 / d2);
    expectAbs(dfD ?? null, gauge.expected.df_d, 0.21);
    expectDigits(dfD, gauge.checked_with.values.df_d, 14);
  });
});

// Dunnett (1955), JASA 50, 1096-1121, numerical example: 6, 4 and 5 values.
it("compares two drugs with a control, groups of uneven size, as Dunnett does", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    Record<"control" | "A" | "B", number[]>,
    { means: number[]; s2: number; t: number[] },
    { s2: number; diff: number[]; t: number[] }
  >(FILE, "dunnett-blood-counts");
  const setups = ["control", "A", "B"] as const;
  const runs = setups.flatMap((setup) => inputs[setup].map((timeS): MadeRun => ({ setup, timeS })));
  const settings = { drift: "none", plannedRuns: 15 } as const;
  const [rider] = compareRiders(madeSession({ runs, setups, settings }));
  expect(rider?.df).toBe(12);
  const s2 = (rider?.spread_s ?? Number.NaN) ** 2;
  expectAbs(s2, expected.s2, 5e-5);
  expectDigits(s2, checked_with.values.s2, 14, "s2");
  rider?.parts[0]?.pairs.forEach((pair, i) => {
    const found = tested(pair);
    expectAbs(found.t, expected.t[i] ?? Number.NaN, 0.00051);
    expectDigits(found.value, checked_with.values.diff[i] ?? Number.NaN, 14, "difference");
    expectDigits(found.t, checked_with.values.t[i] ?? Number.NaN, 14, "t");
  });
  // With a spread each the errors are those of the groups alone.
  const [each] = compareRiders(
    madeSession({ runs, setups, settings: { ...settings, spreads: "each" } }),
  );
  each?.parts[0]?.pairs.forEach((pair, i) => {
    const own = inputs[setups[i + 1] ?? "A"];
    const variance = varianceOf(inputs.control) / 6 + varianceOf(own) / own.length;
    expectDigits(pair.standard_error_s, Math.sqrt(variance), 14, "error");
  });
});

// Dahlberg (1940); ISO 5725-2: repeatability from duplicates, sqrt(sum d^2 / 2n).
it("finds the spread of duplicates", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { first: number[]; second: number[] },
    { s_r: number }
  >("10_measurement_uncertainty.json", "pooled-sd");
  const riders = inputs.first.map((_, i) => `R${String(i)}`);
  const runs = [inputs.first, inputs.second].flatMap((times) =>
    times.map((timeS, i): MadeRun => ({ rider: "R1", day: i, setup: "A", timeS })),
  );
  const [rider] = compareRiders(
    madeSession({ runs, setups: ["A"], settings: { drift: "none", plannedRuns: 8 } }),
  );
  expect(rider?.df).toBe(riders.length);
  expectAbs(rider?.spread_s ?? null, expected.s_r, 1e-9);
  expectDigits(rider?.spread_s, checked_with.values.s_r, 14);
});
