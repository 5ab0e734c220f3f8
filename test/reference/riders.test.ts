import { describe, expect, it } from "vitest";
import {
  blockColumn,
  columnCount,
  designRow,
  layoutOf,
  transpose,
} from "../../src/stats/design.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { modifiedHartungKnapp, plainMean, ridersMean } from "../../src/stats/riders-mean.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { madeSession } from "../stats/made-session.ts";
import { expectAbs, expectRel, namedCase } from "./cases.ts";

interface Estimates {
  readonly est: readonly number[];
  readonly var: readonly number[];
  readonly alpha?: number;
}
interface Random {
  readonly tau2: number;
  readonly est: number;
  readonly se_wald: number;
  readonly q: number;
  readonly lo_mhk: number;
  readonly hi_mhk: number;
  readonly plain_mean: number;
  readonly plain_lo: number;
  readonly plain_hi: number;
}

const differences = ({ est, var: variances }: Estimates) =>
  est.map((differenceS, i) => ({ differenceS, varianceS2: variances[i] ?? Number.NaN }));

describe("riders like these, against metafor of R", () => {
  it.each(["riders_3", "riders_4_no_spread", "riders_2", "riders_13_bcg_hk"])("%s", (name) => {
    const { inputs, expected } = namedCase<Estimates, Random>("statistics.json", name);
    const riders = differences(inputs);
    const t = studentQuantile((inputs.alpha ?? 0.05) / 2, riders.length - 1);
    const random = modifiedHartungKnapp(riders);
    expectAbs(random.betweenS2, expected.tau2, 1e-5);
    expectAbs(random.centreS, expected.est, 1e-4);
    expectAbs(random.q, expected.q, 1e-4);
    expectAbs(random.errorS / Math.sqrt(Math.max(1, random.q)), expected.se_wald, 1e-4);
    expectAbs(random.centreS - t * random.errorS, expected.lo_mhk, 1e-4);
    expectAbs(random.centreS + t * random.errorS, expected.hi_mhk, 1e-4);
    const plain = plainMean(riders);
    expectRel(plain.centreS, expected.plain_mean, 1e-12);
    expectRel(plain.centreS - t * plain.errorS, expected.plain_lo, 1e-12);
    expectRel(plain.centreS + t * plain.errorS, expected.plain_hi, 1e-12);
  });

  // Viechtbauer (2010), Journal of Statistical Software 36(3), printed output.
  it("agrees with the printed REML analysis of the BCG trials", () => {
    const { inputs, expected, tolerance } = namedCase<
      Estimates,
      { tau2: number; est: number; se_wald: number }
    >("statistics.json", "published_reml_bcg");
    const random = modifiedHartungKnapp(differences(inputs));
    expectAbs(random.betweenS2, expected.tau2, tolerance.value);
    expectAbs(random.centreS, expected.est, tolerance.value);
    expectAbs(random.errorS / Math.sqrt(Math.max(1, random.q)), expected.se_wald, tolerance.value);
  });

  // Viechtbauer (2005), the equation that REML solves (from memory): at its solution the variance is
  // reproduced to the last digits; a maximum searched for by height has half of them.
  it.each(["riders_3", "riders_13_bcg_hk"])("solves the REML equation of %s", (name) => {
    const riders = differences(namedCase<Estimates, Random>("statistics.json", name).inputs);
    const { betweenS2, centreS } = modifiedHartungKnapp(riders);
    expect(betweenS2).toBeGreaterThan(0);
    const rows = riders.map((r) => ({ ...r, w: 1 / (r.varianceS2 + betweenS2) }));
    const sum = (of: (row: (typeof rows)[number]) => number): number =>
      rows.reduce((total, row) => total + of(row), 0);
    const moved = sum((r) => r.w ** 2 * ((r.differenceS - centreS) ** 2 - r.varianceS2));
    expectRel(moved / sum((r) => r.w ** 2) + 1 / sum((r) => r.w), betweenS2, 1e-11);
  });

  it("weighs the riders only where one knows over three times as much as another", () => {
    const { inputs } = namedCase<Estimates, Random>("statistics.json", "riders_3");
    const riders = differences(inputs);
    const equal = ridersMean(
      riders.map((r) => ({ ...r, z2: 2 })),
      0.05,
    );
    const unequal = ridersMean(
      riders.map((r, i) => ({ ...r, z2: i === 0 ? 6.001 : 2 })),
      0.05,
    );
    expectRel(equal.meanS, plainMean(riders).centreS, 1e-14);
    expectRel(unequal.meanS, modifiedHartungKnapp(riders).centreS, 1e-14);
    expect(unequal.bandS[1] - unequal.bandS[0]).not.toBeCloseTo(equal.bandS[1] - equal.bandS[0], 3);
  });

  it("makes no claim from two riders", () => {
    expect(() => ridersMean([], 0.05)).toThrow(RangeError);
  });

  it("finds no variance between riders that agree to the digit", () => {
    const same = [1, 2, 3].map((v) => ({ differenceS: -1.25, varianceS2: v }));
    expect(modifiedHartungKnapp(same)).toMatchObject({ centreS: -1.25, betweenS2: 0, q: 0 });
  });
});

// The case names its figures after the set-up effect, but what lm() printed there is the slope of
// the third rider: information 42 is the sum of (k - 4.5)^2 over k = 1..8, and 24 runs can't carry
// more than 6 on a set-up. Spread, degrees of freedom and that slope are checked.
it("stacks riders as lm() of R does: own level and slope, one effect", () => {
  const { inputs, expected, tolerance } = namedCase<
    { rider: number[]; setup: string[]; k: number[]; y: number[] },
    { est: number; se: number; nu: number; sigma: number; z2: number }
  >("statistics.json", "riders_common_effect_ols");
  const runs = inputs.rider.map((rider, i) => ({
    rider: `R${String(rider)}`,
    setup: inputs.setup[i] ?? "",
    k: inputs.k[i] ?? 0,
    timeS: inputs.y[i] ?? Number.NaN,
  }));
  const rows = runs.map(({ rider, setup, k }) => ({ block: rider, setup, k }));
  const layout = layoutOf(rows, ["A", "B"], "linear");
  const columns = transpose(
    rows.map((row) => designRow(layout, row)),
    columnCount(layout),
  );
  const fit = leastSquares(columns, inputs.y);
  const sigma = Math.sqrt(fit.rss / fit.df);
  const slope = blockColumn(layout, 2) + 1;
  expectRel(sigma, expected.sigma, tolerance.value);
  expect(fit.df).toBe(expected.nu);
  expectRel(fit.coefficients[slope] ?? null, expected.est, tolerance.value);
  expectRel(1 / (fit.inverse[slope]?.[slope] ?? Number.NaN), expected.z2, tolerance.value);
  expectRel(
    sigma * Math.sqrt(fit.inverse[slope]?.[slope] ?? Number.NaN),
    expected.se,
    tolerance.value,
  );

  const together = compareTogether(
    madeSession({ runs, riders: ["R1", "R2", "R3"], settings: { plannedRuns: 8 } }),
  );
  const [pair] = together?.pairs ?? [];
  const effect = columns.length - 1;
  expectRel(pair?.difference_s ?? null, fit.coefficients[effect] ?? Number.NaN, 1e-11);
  expectRel(
    pair?.standard_error_s ?? null,
    sigma * Math.sqrt(fit.inverse[effect]?.[effect] ?? Number.NaN),
    1e-11,
  );
  expect(pair?.df).toBe(expected.nu);
});
