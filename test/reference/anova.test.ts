// Analyses of variance by least squares and, where the layout is one that a session can have, by
// the comparison: certified, published and worked examples.
import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { fUpperTail } from "../../src/stats/f-tail.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { madeSession } from "../stats/made-session.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntries, referenceEntry } from "./entry.ts";
import { indicators, residualSquares } from "./textbook-model.ts";

const BLOCKS = "06_paired_crossover_blocks.json";

interface Table {
  readonly betweenSquares: number;
  readonly withinSquares: number;
  readonly f: number;
  readonly residualSd: number;
}

/** One-way table; the squares between groups are those of Q'y beyond the constant. */
function oneWay(groups: readonly (string | number)[], y: readonly number[]): Table {
  const columns = [y.map(() => 1), ...indicators(groups)];
  const fit = leastSquares(columns, y);
  const betweenSquares = fit.rotated.slice(1).reduce((sum, v) => sum + v * v, 0);
  const variance = fit.rss / fit.df;
  return {
    betweenSquares,
    withinSquares: fit.rss,
    f: betweenSquares / (columns.length - 1) / variance,
    residualSd: Math.sqrt(variance),
  };
}

interface Certified {
  readonly df_between: number;
  readonly ss_between: number;
  readonly F: number;
  readonly df_within: number;
  readonly ss_within: number;
  readonly r_squared: number;
  readonly residual_sd: number;
}

/**
 * Digits reached, rounded down: squares within and between groups, F, R squared, residual standard
 * deviation, F from values less the first one, spread of the comparison.
 *
 * SmLs07 has thirteen leading digits that never change; as stored they leave four, and least
 * squares keeps two of them. Its times, 30,000 years a run, are beyond the comparison: scatter of
 * 1e-13 of a time is rounding to it, and the spread is 0 (no verdict), so no digits are claimed.
 */
const REACHED: Readonly<Record<string, readonly number[]>> = {
  "nist-anova-atmwtag": [9, 8, 8, 8, 9, 10, 9],
  "nist-anova-sirstv": [12, 11, 11, 11, 12, 12, 13],
  "nist-anova-smls01": [15, 14, 14, 14, 15, 14, 15],
  "nist-anova-smls04": [10, 10, 10, 10, 10, 10, 9],
  "nist-anova-smls07": [2, 3, 2, 2, 2, 4, 0],
};

// NIST Statistical Reference Datasets, analysis of variance, certified to 15 digits.
describe("NIST StRD one-way certificates", () => {
  const entries = referenceEntries<{ group: number[]; y: number[] }, Certified>(
    "02_nist_strd_anova.json",
  );

  it("covers all five sets", () => {
    expect(entries.map(({ id }) => id)).toEqual(Object.keys(REACHED));
  });

  it.each(entries.map((entry) => [entry.id, entry] as const))("agrees on %s", (id, entry) => {
    const { group, y } = entry.inputs;
    const wanted = entry.expected;
    const [within = 16, between = 16, f = 16, r2 = 16, sd = 16, shifted = 16, spread = 16] =
      REACHED[id] ?? [];
    const table = oneWay(group, y);
    expectDigits(table.withinSquares, wanted.ss_within, within, "within");
    expectDigits(table.betweenSquares, wanted.ss_between, between, "between");
    expectDigits(table.f, wanted.F, f, "F");
    const all = table.betweenSquares + table.withinSquares;
    expectDigits(table.betweenSquares / all, wanted.r_squared, r2, "R squared");
    expectDigits(table.residualSd, wanted.residual_sd, sd, "residual sd");
    const first = y[0] ?? Number.NaN;
    const less = oneWay(
      group,
      y.map((v) => v - first),
    );
    expectDigits(less.f, wanted.F, shifted, "F from differences");

    const setups = [...new Set(group)].map(String);
    const runs = y.map((timeS, i) => ({ setup: String(group[i]), timeS }));
    const settings = { drift: "none", plannedRuns: y.length } as const;
    const [rider] = compareRiders(madeSession({ runs, setups, settings }));
    expect(rider?.df).toBe(wanted.df_within);
    expectDigits(rider?.spread_s, wanted.residual_sd, spread, "spread");
    if (spread === 0) {
      expect(rider?.parts[0]?.pairs.map((pair) => pair.verdict)).toEqual(
        setups.slice(1).map(() => "cannot-tell"),
      );
    }
  });
});

// Dobson (1983), An Introduction to Statistical Modelling; data set PlantGrowth of R.
it("agrees with the printed analysis of the dried plants", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { weight: number[]; group: string[] },
    { F: number; p: number; tukey_diff: Record<string, number> }
  >(BLOCKS, "plantgrowth-tukey");
  const table = oneWay(inputs.group, inputs.weight);
  expectAbs(table.f, expected.F, 0.00051);
  expectDigits(table.f, checked_with.values.F, 13);
  expectAbs(fUpperTail(table.f, 2, 27), expected.p, 6e-6);
  expectDigits(fUpperTail(table.f, 2, 27), checked_with.values.p, 13, "p");
  const runs = inputs.weight.map((timeS, i) => ({ setup: inputs.group[i] ?? "", timeS }));
  const setups = ["ctrl", "trt1", "trt2"];
  const pairs = (baseline: string) =>
    compareRiders(
      madeSession({ runs, setups, baseline, settings: { drift: "none", plannedRuns: 30 } }),
    )[0]?.parts[0]?.pairs ?? [];
  for (const pair of [...pairs("ctrl"), ...pairs("trt1")]) {
    const published = expected.tukey_diff[`${pair.setup}-${pair.baseline}`];
    if (published === undefined) continue;
    expectAbs(pair.difference_s, published, 1e-9);
    expect(pair.df).toBe(27);
    expectDigits(pair.standard_error_s, table.residualSd * Math.sqrt(2 / 10), 13);
  }
});

// Box, Hunter & Hunter (1978), Statistics for Experimenters, pp. 209-228.
it("compares four variants in five blends as the book does", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { y: number[]; treatment: number[]; block: number[] },
    Record<"ss_block" | "ss_treatment" | "ss_resid" | "F_treatment" | "F_block", number> & {
      means: number[];
    },
    Record<"F_treatment" | "p_treatment", number>
  >(BLOCKS, "bhh-penicillin-rcb");
  const { y, treatment, block } = inputs;
  const blocks = [y.map(() => 1), ...indicators(block)];
  const treatments = indicators(treatment);
  const rest = residualSquares([...blocks, ...treatments], y);
  const blockSquares = residualSquares([y.map(() => 1), ...treatments], y) - rest;
  expectAbs(residualSquares(blocks, y) - rest, expected.ss_treatment, 1e-9);
  expectAbs(blockSquares, expected.ss_block, 1e-9);
  expectAbs(rest, expected.ss_resid, 1e-9);
  const f = expected.ss_treatment / 3 / (rest / 12);
  expectAbs(f, expected.F_treatment, 0.0051);
  expectDigits(f, checked_with.values.F_treatment, 13);
  expectDigits(fUpperTail(f, 3, 12), checked_with.values.p_treatment, 13, "p");
  expectAbs(blockSquares / 4 / (rest / 12), expected.F_block, 0.0061);
  // Blends as riders, each with a level of its own; variants as set-ups.
  const riders = [...new Set(block)].map((b) => `R${String(b)}`);
  const runs = y.map((timeS, i) => ({
    rider: `R${String(block[i])}`,
    setup: String(treatment[i]),
    timeS: timeS + 100,
  }));
  const setups = ["1", "2", "3", "4"];
  const settings = { drift: "none", plannedRuns: 4 } as const;
  const pairs = compareTogether(madeSession({ runs, riders, setups, settings }))?.pairs ?? [];
  expect(pairs.map((pair) => pair.df)).toEqual([12, 12, 12]);
  pairs.forEach((pair, i) => {
    const mean = (setup: number): number => expected.means[setup] ?? Number.NaN;
    expectAbs(pair.difference_s, mean(i + 1) - mean(0), 1e-12);
    expectDigits(pair.standard_error_s, Math.sqrt((expected.ss_resid / 12) * (2 / 5)), 13);
  });
});

// Box, Hunter & Hunter (1978), pp. 247-250, and p. 391.
describe("designs that no session has, by least squares", () => {
  it("a Latin square of additives, cars and drivers", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      Record<"y" | "additive" | "car" | "driver", number[]>,
      Record<"ss_car" | "ss_driver" | "ss_additive" | "ss_resid" | "F_additive", number>,
      { p_additive: number }
    >(BLOCKS, "bhh-latin-car-emissions");
    const { y, additive, car, driver } = inputs;
    const constant = y.map(() => 1);
    const factors = { ss_car: car, ss_driver: driver, ss_additive: additive };
    const columns = Object.values(factors).map(indicators);
    const rest = residualSquares([constant, ...columns.flat()], y);
    expectAbs(rest, expected.ss_resid, 1e-9);
    (Object.keys(factors) as (keyof typeof factors)[]).forEach((key, i) => {
      const others = columns.filter((_, j) => j !== i).flat();
      expectAbs(residualSquares([constant, ...others], y) - rest, expected[key], 1e-9, key);
    });
    const f = expected.ss_additive / 3 / (rest / 6);
    expectDigits(f, expected.F_additive, 13);
    expectDigits(fUpperTail(f, 3, 6), checked_with.values.p_additive, 13, "p");
  });

  it("seven factors in eight rides up a hill", () => {
    const { inputs, expected } = referenceEntry<
      { y: number[]; X: number[][] },
      { mean: number; effects: number[] }
    >(BLOCKS, "bhh-bicycle-screening");
    const { y, X } = inputs;
    const factors = expected.effects.map((_, j) => X.map((row) => row[j] ?? Number.NaN));
    const fit = leastSquares([y.map(() => 1), ...factors], y);
    expect([fit.rank, fit.df]).toEqual([8, 0]);
    expectAbs(fit.coefficients[0] ?? null, expected.mean, 1e-12);
    expected.effects.forEach((effect, j) => {
      expectAbs(2 * (fit.coefficients[j + 1] ?? Number.NaN), effect, 1e-12);
    });
  });
});

// JCGM 100:2008 (GUM), H.5, Tables H.9 and H.10. Readings are made that have the printed mean and
// standard deviation of each day, which is all that an analysis of variance sees of them.
it("agrees with the GUM on ten days of five readings", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { day_mean_uV_above_10V: number[]; day_sd_uV: number[]; K: number },
    Record<"pooled_within_uV" | "F" | "mean_uV" | "u_mean_uV", number>
  >("10_measurement_uncertainty.json", "gum-h5-anova");
  const pattern = [-2, -1, 0, 1, 2].map((v) => v / Math.sqrt(2.5));
  const y = inputs.day_mean_uV_above_10V.flatMap((mean, day) =>
    pattern.map((v) => mean + v * (inputs.day_sd_uV[day] ?? Number.NaN)),
  );
  const days = y.map((_, i) => Math.floor(i / inputs.K));
  const table = oneWay(days, y);
  expectAbs(table.f, expected.F, 0.0151);
  expectDigits(table.f, checked_with.values.F, 13);
  expectAbs(table.residualSd, expected.pooled_within_uV, 0.51);
  expectDigits(table.residualSd, checked_with.values.pooled_within_uV, 13);
});
