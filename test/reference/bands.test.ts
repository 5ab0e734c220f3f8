import { describe, expect, it } from "vitest";
import { bandMultiplier, logEvidence, openPhi } from "../../src/stats/band.ts";
import { noticeRuns } from "../../src/stats/band-in-force.ts";
import { planThreshold, type ThresholdKind } from "../../src/stats/thresholds.ts";
import { cautiousDifferenceS } from "../../src/stats/verdict.ts";
import { expectAbs, expectRel, namedCase, number, readData } from "./cases.ts";

const KINDS = ["L1", "LN"] as const;

describe("thresholds of the plan band", () => {
  it("are those of the published table, to the digit", () => {
    const table = readData("plan-thresholds.json") as Readonly<
      Record<ThresholdKind, readonly (readonly number[])[]>
    > & { readonly alpha: readonly number[]; readonly nuN: readonly number[] };
    for (const kind of KINDS) {
      table.alpha.forEach((alpha, i) => {
        table.nuN.forEach((nuN, j) => {
          expectAbs(planThreshold(kind, alpha, nuN), table[kind][i]?.[j] ?? Number.NaN, 1e-12);
        });
      });
    }
  });

  it.each(["L_table_nodes", "L_table_edges"])("agree with R on %s", (name) => {
    const { inputs, expected, tolerance } = namedCase<
      { alpha: number[]; nuN: number[] },
      Record<ThresholdKind, number[]>
    >("bands.json", name);
    for (const kind of KINDS) {
      inputs.alpha.forEach((alpha, i) => {
        const l = planThreshold(kind, alpha, inputs.nuN[i] ?? Number.NaN);
        expectAbs(l, expected[kind][i] ?? Number.NaN, tolerance.value);
      });
    }
  });

  it("agree with R between the nodes", () => {
    const { inputs, expected, tolerance } = namedCase<
      { alpha: number[]; nuN: number[] },
      Record<ThresholdKind, number[][]>
    >("bands.json", "L_table_interpolation");
    for (const kind of KINDS) {
      inputs.alpha.forEach((alpha, i) => {
        inputs.nuN.forEach((nuN, j) => {
          const l = planThreshold(kind, alpha, nuN);
          expectAbs(l, expected[kind][i]?.[j] ?? Number.NaN, tolerance.value);
        });
      });
    }
  });

  it("do not exist below 5 degrees of freedom or at no level", () => {
    expect(() => planThreshold("L1", 0.05, 4)).toThrow(RangeError);
    expect(() => planThreshold("LN", 0, 9)).toThrow(RangeError);
    expect(() => planThreshold("LN", 0.05, Number.NaN)).toThrow(RangeError);
  });
});

describe("the one formula", () => {
  it("gives R's multipliers", () => {
    const { inputs, expected, tolerance } = namedCase<
      { nu: number[]; r: number[]; alpha: number[] },
      { multiplier: (number | string)[] }
    >("statistics.json", "av_multiplier_grid");
    inputs.nu.forEach((nu, i) => {
      const l = -Math.log(inputs.alpha[i] ?? Number.NaN);
      const m = bandMultiplier(nu, inputs.r[i] ?? Number.NaN, l);
      expectRel(m, number(expected.multiplier[i] ?? Number.NaN), tolerance.value);
    });
  });

  it("gives R's evidence, and its own multiplier back", () => {
    const { inputs, expected, tolerance } = namedCase<
      { t: number[]; nu: number[]; r: number[] },
      { log_e: number[] }
    >("statistics.json", "av_log_evalue_grid");
    inputs.t.forEach((t, i) => {
      const nu = inputs.nu[i] ?? Number.NaN;
      const r = inputs.r[i] ?? Number.NaN;
      const e = logEvidence(t, nu, r);
      expectAbs(e, expected.log_e[i] ?? Number.NaN, tolerance.value);
      if (t > 0) expectRel(bandMultiplier(nu, r, e), t, 1e-12);
    });
  });

  it("is infinite where it is too early or there is nothing to divide by", () => {
    expect(bandMultiplier(1, 0.6, 1.2)).toBe(Number.POSITIVE_INFINITY);
    expect(bandMultiplier(0, 0.4, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(bandMultiplier(5, 0, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(bandMultiplier(5, 1, 1)).toBe(Number.POSITIVE_INFINITY);
    expect(bandMultiplier(Number.NaN, 0.4, 1)).toBe(Number.POSITIVE_INFINITY);
  });

  it("tends to the normal limit for many degrees of freedom", () => {
    // nu -> infinity: m^2 = (2 L - ln r) / (1 - r), by hand from the formula.
    expectRel(bandMultiplier(1e12, 0.4, 1.3), Math.sqrt((2.6 - Math.log(0.4)) / 0.6), 1e-9);
  });

  // arXiv:2210.08589 and the README of its R package, printed to 4 digits.
  it("agrees with the bands printed for phi = 1", () => {
    const { inputs, expected, tolerance } = namedCase<
      { est: number[]; se: number[]; sigma: number; nu: number; phi: number; alpha: number },
      { lo: number[]; hi: number[] }
    >("statistics.json", "published_avlm_readme_bands_phi1");
    inputs.est.forEach((est, i) => {
      const se = inputs.se[i] ?? Number.NaN;
      const r = inputs.phi / (inputs.phi + (inputs.sigma / se) ** 2);
      const half = bandMultiplier(inputs.nu, r, -Math.log(inputs.alpha)) * se;
      expectAbs(est - half, expected.lo[i] ?? Number.NaN, tolerance.value);
      expectAbs(est + half, expected.hi[i] ?? Number.NaN, tolerance.value);
    });
  });

  it("agrees with the p-values printed for a tuned prior", () => {
    const { inputs, expected, tolerance } = namedCase<
      { t: number[]; nu: number; alpha: number },
      { p: number[]; r_tuned_approx: number }
    >("statistics.json", "published_avlm_readme_tuned_p");
    const phi = openPhi(inputs.nu, 1, inputs.alpha);
    const r = phi / (1 + phi);
    expectRel(r, expected.r_tuned_approx, 1e-6);
    inputs.t.forEach((t, i) => {
      const p = Math.min(1, Math.exp(-logEvidence(t, inputs.nu, r)));
      expectRel(p, expected.p[i] ?? Number.NaN, tolerance.value);
    });
  });

  it("is narrowest at the planned end with the tuned prior", () => {
    const { inputs, expected } = namedCase<
      { nu: number[]; alpha: number },
      { r: number[]; multiplier: number[] }
    >("statistics.json", "av_tuned_r");
    const l = -Math.log(inputs.alpha);
    inputs.nu.forEach((nu, i) => {
      const phi = openPhi(nu, 3.7, inputs.alpha);
      const r = phi / (phi + 3.7);
      // The reference searched for a flat minimum: r to some 1e-7, the multiplier to the last digit.
      expectRel(r, expected.r[i] ?? Number.NaN, 1e-6);
      const m = bandMultiplier(nu, r, l);
      expectRel(m, expected.multiplier[i] ?? Number.NaN, 1e-13);
      for (const off of [1e-5, -1e-5])
        expect(bandMultiplier(nu, r * (1 + off), l)).toBeGreaterThan(m);
    });
  });

  it("takes phi = 0.5 where there is no end to tune to", () => {
    expect(openPhi(0, 3, 0.05)).toBe(0.5);
    expect(openPhi(9, 0, 0.05)).toBe(0.5);
  });
});

it("draws a called difference in", () => {
  const { inputs, expected, tolerance } = namedCase<
    { est: number[]; z2: number[] },
    { cautious: number[] }
  >("bands.json", "cautious_estimate");
  inputs.est.forEach((est, i) => {
    const cautious = cautiousDifferenceS(est, inputs.z2[i] ?? Number.NaN);
    expectRel(cautious, expected.cautious[i] ?? Number.NaN, tolerance.value);
  });
});

it("asks for notice of an earlier end", () => {
  const { inputs, expected } = namedCase<{ N: number[] }, { notice: number[] }>(
    "bands.json",
    "notice",
  );
  expect(inputs.N.map(noticeRuns)).toEqual(expected.notice);
});
