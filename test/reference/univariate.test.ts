// Means and standard deviations against certified and published figures: those borrowed from a
// package, those of least squares, and the spread that a comparison prints.
import { mean, median, sampleStandardDeviation } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { plainMean } from "../../src/stats/riders-mean.ts";
import { madeSession } from "../stats/made-session.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntries, referenceEntry } from "./entry.ts";

interface Values {
  readonly y: readonly number[];
}
interface Certified {
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
}

/**
 * Digits reached of the certified mean and standard deviation, rounded down: the package's mean and
 * standard deviation, those of least squares on a constant, the spread of a comparison. Leading
 * digits that never change cost least squares as many: seven of NumAcc1, and of NumAcc3, NumAcc4
 * and Mavro the data themselves hold no more in double precision.
 */
const REACHED: Readonly<Record<string, readonly [number, number, number, number, number]>> = {
  "nist-univ-numacc1": [16, 16, 16, 9, 11],
  "nist-univ-numacc2": [16, 14, 14, 14, 15],
  "nist-univ-numacc3": [15, 9, 13, 9, 9],
  "nist-univ-numacc4": [15, 8, 13, 8, 8],
  "nist-univ-pidigits": [15, 14, 13, 15, 15],
  "nist-univ-lew": [15, 15, 14, 15, 14],
  "nist-univ-mavro": [15, 13, 14, 12, 12],
  "nist-univ-michelso": [15, 13, 14, 13, 12],
  "nist-univ-lottery": [15, 15, 14, 14, 14],
};

// NIST Statistical Reference Datasets, univariate summary statistics, certified to 15 digits.
describe("NIST StRD univariate certificates", () => {
  const entries = referenceEntries<Values, Certified>("01_nist_strd_univariate.json");

  it("covers all nine sets", () => {
    expect(entries.map(({ id }) => id)).toEqual(Object.keys(REACHED));
  });

  it.each(entries.map((entry) => [entry.id, entry] as const))("agrees on %s", (id, entry) => {
    const { y } = entry.inputs;
    const wanted = entry.expected;
    const [meanDigits, sdDigits, fitMean, fitSd, spread] = REACHED[id] ?? [16, 16, 16, 16, 16];
    expect(y).toHaveLength(wanted.n);
    expectDigits(mean([...y]), wanted.mean, meanDigits, "mean");
    expectDigits(sampleStandardDeviation([...y]), wanted.sd, sdDigits, "sd");
    const fit = leastSquares([y.map(() => 1)], y);
    expectDigits(fit.coefficients[0], wanted.mean, fitMean, "fitted mean");
    expectDigits(Math.sqrt(fit.rss / fit.df), wanted.sd, fitSd, "residual sd");
    // One set-up without session drift: its level is the mean, its spread the standard deviation.
    const [rider] = compareRiders(
      madeSession({
        runs: y.map((timeS) => ({ setup: "A", timeS })),
        setups: ["A"],
        settings: { drift: "none" },
      }),
    );
    expect(rider?.df).toBe(wanted.n - 1);
    expectDigits(rider?.spread_s, wanted.sd, spread, "spread");
    expectDigits(rider?.setup_spreads[0]?.spread_s, wanted.sd, spread, "spread of the set-up");
  });

  it("finds the middle value of odd and even counts", () => {
    for (const { inputs, expected } of entries) {
      const sorted = [...inputs.y].sort((a, b) => a - b);
      const below = sorted[Math.ceil(expected.n / 2) - 1] ?? Number.NaN;
      const above = sorted[Math.floor(expected.n / 2)] ?? Number.NaN;
      expect(median([...inputs.y])).toBe((below + above) / 2);
    }
  });
});

// JCGM 100:2008 (GUM), 4.4.3, Table 1, and H.2, Table H.2: means and their standard uncertainty.
describe("means of the GUM's examples", () => {
  const asRiders = (values: readonly number[]) => values.map((differenceS) => ({ differenceS }));

  it("twenty temperatures", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { t_celsius: number[] },
      { mean: number; s: number; s_mean: number }
    >("10_measurement_uncertainty.json", "gum-table1-type-a");
    const { centreS, errorS } = plainMean(asRiders(inputs.t_celsius));
    expectAbs(centreS, expected.mean, 0.00051);
    expectAbs(errorS, expected.s_mean, 0.00051);
    expectDigits(centreS, checked_with.values.mean, 15);
    expectDigits(errorS, checked_with.values.s_mean, 14);
  });

  it("voltage, current and phase", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      Record<"V" | "I_mA" | "phi", number[]>,
      Record<"V_mean" | "u_V" | "I_mean_mA" | "u_I_mA" | "phi_mean" | "u_phi", number>
    >("10_measurement_uncertainty.json", "gum-h2-correlated");
    const rows = [
      [inputs.V, "V_mean", "u_V", 6e-5],
      [inputs.I_mA, "I_mean_mA", "u_I_mA", 6e-5],
      [inputs.phi, "phi_mean", "u_phi", 6e-6],
    ] as const;
    for (const [values, meanKey, errorKey, tolerance] of rows) {
      const { centreS, errorS } = plainMean(asRiders(values));
      expectAbs(centreS, expected[meanKey], tolerance, meanKey);
      expectAbs(errorS, expected[errorKey], tolerance, errorKey);
      expectDigits(errorS, checked_with.values[errorKey], 12, errorKey);
    }
  });
});
