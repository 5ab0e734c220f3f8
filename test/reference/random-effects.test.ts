// The mean of riders like these against published random-effects analyses: meta-analyses, and mixed
// models whose balanced layout makes the riders' own estimates carry everything.
import { describe, expect, it } from "vitest";
import { columnCount, designRow, layoutOf, transpose } from "../../src/stats/design.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { modifiedHartungKnapp, plainMean, ridersMean } from "../../src/stats/riders-mean.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntry } from "./entry.ts";

const FILE = "07_mixed_models_meta.json";

interface Studies {
  readonly yi: readonly number[];
  readonly vi: readonly number[];
}
interface Reml {
  readonly mu: number;
  readonly se: number;
  readonly tau2: number;
}
interface Knapp {
  readonly se: number;
  readonly t: number;
  readonly df: number;
  readonly ci: readonly number[];
}

function studies({ yi, vi }: Studies) {
  return yi.map((differenceS, i) => ({ differenceS, varianceS2: vi[i] ?? Number.NaN }));
}

// Viechtbauer (2010), Journal of Statistical Software 36(3) (data: Colditz et al. 1994, JAMA 271);
// Raudenbush & Bryk (1985), J. Educational Statistics 10, as analysed in the manual of metafor.
// Its search stops where a step is below 1e-5: of the variance between studies that leaves seven and
// three digits here. data/reml.py solves the same equation to 16 digits and more.
const SOLVED = {
  "meta-bcg-reml": { tau2: 0.3132432581364806, mu: -0.7145323421581391, se: 0.1797815161052057 },
  "meta-raudenbush": {
    tau2: 0.01881828814022064,
    mu: 0.08370124188259648,
    se: 0.05164067136409071,
  },
} as const;

describe.each([
  ["meta-bcg-reml", 7],
  ["meta-raudenbush", 3],
] as const)("%s", (id, printed) => {
  const { inputs, expected, checked_with } = referenceEntry<
    Studies,
    { REML: Reml },
    { REML: Reml; REML_HKSJ: Knapp }
  >(FILE, id);
  const found = modifiedHartungKnapp(studies(inputs));
  const wald = found.errorS / Math.sqrt(Math.max(1, found.q));

  it("has the printed REML mean, error and variance", () => {
    expectAbs(found.centreS, expected.REML.mu, 6e-5);
    expectAbs(wald, expected.REML.se, 6e-5);
    expectAbs(found.betweenS2, expected.REML.tau2, 6e-5);
    expectDigits(found.centreS, checked_with.values.REML.mu, printed, "mean");
    expectDigits(wald, checked_with.values.REML.se, printed, "error");
    expectDigits(found.betweenS2, checked_with.values.REML.tau2, printed - 1, "variance");
  });

  it("solves the REML equation to the last digits", () => {
    expectDigits(found.betweenS2, SOLVED[id].tau2, 15, "variance");
    expectDigits(found.centreS, SOLVED[id].mu, 15, "mean");
    expectDigits(wald, SOLVED[id].se, 15, "error");
  });

  // Hartung & Knapp (2001), Statistics in Medicine 20; Sidik & Jonkman (2002), same 21.
  it("has the Hartung-Knapp error and interval before it is raised to the plain one", () => {
    const knapp = checked_with.values.REML_HKSJ;
    const error = wald * Math.sqrt(found.q);
    expectDigits(error, knapp.se, printed, "error");
    expectDigits(found.centreS / error, knapp.t, printed, "t");
    const half = studentQuantile(0.025, inputs.yi.length - 1) * error;
    expectDigits(found.centreS - half, knapp.ci[0] ?? Number.NaN, printed, "low");
    expectDigits(found.centreS + half, knapp.ci[1] ?? Number.NaN, printed, "high");
    // q is above 1 in both: raising it to 1 at least changes nothing.
    expect(found.q).toBeGreaterThan(1);
    expectDigits(found.errorS, error, 15, "raised error");
  });
});

it("says the same of the trials when it is told how much each knows", () => {
  const { inputs, expected } = referenceEntry<Studies, { REML_HKSJ: Knapp }>(FILE, "meta-bcg-hksj");
  const riders = studies(inputs).map((s) => ({ ...s, z2: 1 / s.varianceS2 }));
  const { meanS, bandS } = ridersMean(riders, 0.05);
  const knapp = expected.REML_HKSJ;
  expectDigits(meanS, knapp.t * knapp.se, 8, "mean");
  // q is above 1 here, so that raising it changes nothing.
  expectDigits(bandS[0], knapp.ci[0] ?? Number.NaN, 7, "low");
  expectDigits(bandS[1], knapp.ci[1] ?? Number.NaN, 7, "high");
});

/** A level for each group, and what is left. */
function groupMeans(groups: readonly (string | number)[], y: readonly number[]) {
  const names = [...new Set(groups)];
  const columns = names.map((name) => groups.map((g) => (g === name ? 1 : 0)));
  const fit = leastSquares(columns, y);
  const variance = fit.rss / fit.df;
  const means = names.map((_, j) => ({
    differenceS: fit.coefficients[j] ?? Number.NaN,
    varianceS2: variance * (fit.inverse[j]?.[j] ?? Number.NaN),
  }));
  return { means, residualSd: Math.sqrt(variance) };
}

// In a balanced layout REML equals the analysis of variance, and the groups' means with their
// variances within carry it all.
describe("one-way random effects", () => {
  // Pinheiro & Bates (2000), Mixed-Effects Models in S and S-PLUS, 1.1.
  it("six rails, three travel times each", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { rail: string[]; travel: number[] },
      Record<"mean" | "se" | "sd_rail" | "sd_resid", number>
    >(FILE, "lmm-rail");
    const { means, residualSd } = groupMeans(inputs.rail, inputs.travel);
    const found = modifiedHartungKnapp(means);
    expectAbs(residualSd, expected.sd_resid, 6e-7);
    expectAbs(found.centreS, expected.mean, 1e-6);
    expectAbs(found.errorS, expected.se, 6e-6);
    expectAbs(Math.sqrt(found.betweenS2), expected.sd_rail, 6e-6);
    expectDigits(found.errorS, checked_with.values.se, 8, "error");
    // The plain mean of the rails has the same error: it needs no weights in a balanced layout.
    expectDigits(plainMean(means).errorS, found.errorS, 14, "plain error");
  });

  // Davies (1954), Table 6.3; Bates et al. (2015), Journal of Statistical Software 67(1).
  it("six batches of dyestuff, five yields each", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { batch: number[]; yield: number[] },
      Record<"mean" | "se_reml" | "sd_batch_reml" | "sd_resid_reml", number>
    >(FILE, "lmm-dyestuff");
    const { means, residualSd } = groupMeans(inputs.batch, inputs.yield);
    const found = modifiedHartungKnapp(means);
    expectAbs(residualSd, expected.sd_resid_reml, 0.00051);
    expectAbs(found.centreS, expected.mean, 1e-6);
    expectAbs(found.errorS, expected.se_reml, 0.0051);
    expectAbs(Math.sqrt(found.betweenS2), expected.sd_batch_reml, 0.00051);
    // The reference searches for a flat maximum and has half of the digits.
    expectDigits(found.errorS, checked_with.values.se_reml, 8, "error");
    expectDigits(Math.sqrt(found.betweenS2), checked_with.values.sd_batch_reml, 8, "sd");
    expectDigits(plainMean(means).errorS, found.errorS, 14, "plain error");
  });
});

// Bates et al. (2015), Journal of Statistical Software 67(1), 1.1 and 5.2 (data: Belenky et al.
// 2003): a level and a slope for each of 18 sleepers. Balanced, so the mean of the sleepers' own
// lines is the fixed effect and its plain t has 17 degrees of freedom, which is what Satterthwaite's
// and Kenward & Roger's methods give there.
describe("lines of eighteen sleepers", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    Record<"subject" | "days" | "reaction", number[]>,
    { fixef: number[]; se: number[]; sd_slope: number; sd_resid: number },
    { fixef: number[]; se: number[]; t: number[]; sd_slope: number; sd_resid: number }
  >(FILE, "lmm-sleepstudy");
  // Sleepers as riders with a level and a session drift of their own; one set-up.
  const rows = inputs.subject.map((subject, i) => ({
    block: String(subject),
    setup: "A",
    k: (inputs.days[i] ?? Number.NaN) + 1,
  }));
  const layout = layoutOf(rows, ["A"], "linear");
  const columns = transpose(
    rows.map((row) => designRow(layout, row)),
    columnCount(layout),
  );
  const fit = leastSquares(columns, inputs.reaction);
  const variance = fit.rss / fit.df;
  const slopes = layout.blocks.map((_, b) => ({
    differenceS: fit.coefficients[2 * b + 1] ?? Number.NaN,
    varianceS2: variance * (fit.inverse[2 * b + 1]?.[2 * b + 1] ?? Number.NaN),
  }));

  // Its search has some six digits of the spreads, and so have the errors made from them.
  it("the spread left over is that of the mixed model", () => {
    expectAbs(Math.sqrt(variance), expected.sd_resid, 0.00051);
    expectDigits(Math.sqrt(variance), checked_with.values.sd_resid, 6, "residual sd");
  });

  it("the mean slope, its error and its t are the fixed effect's", () => {
    const { centreS, errorS } = plainMean(slopes);
    expectAbs(centreS, expected.fixef[1] ?? Number.NaN, 0.00051);
    expectAbs(errorS, expected.se[1] ?? Number.NaN, 0.00051);
    expectDigits(centreS, checked_with.values.fixef[1] ?? Number.NaN, 14, "slope");
    expectDigits(errorS, checked_with.values.se[1] ?? Number.NaN, 6, "its error");
    expectDigits(centreS / errorS, checked_with.values.t[1] ?? Number.NaN, 6, "its t");
    const { bandS } = ridersMean(
      slopes.map((s) => ({ ...s, z2: 1 })),
      0.05,
    );
    expectDigits(bandS[1] - centreS, studentQuantile(0.025, 17) * errorS, 14, "half-width");
  });

  it("the mean level on day 0, likewise", () => {
    const levels = slopes.map(({ differenceS }, b) => ({
      // k is centred in each block: day 0 is 4.5 runs before the middle.
      differenceS: (fit.coefficients[2 * b] ?? Number.NaN) - 4.5 * differenceS,
    }));
    const { centreS, errorS } = plainMean(levels);
    expectAbs(centreS, expected.fixef[0] ?? Number.NaN, 0.00051);
    expectAbs(errorS, expected.se[0] ?? Number.NaN, 0.00051);
    expectDigits(errorS, checked_with.values.se[0] ?? Number.NaN, 5, "its error");
  });

  it("the slopes differ between sleepers as much as the mixed model says", () => {
    const found = modifiedHartungKnapp(slopes);
    expectAbs(Math.sqrt(found.betweenS2), expected.sd_slope, 0.00051);
    expectDigits(Math.sqrt(found.betweenS2), checked_with.values.sd_slope, 6, "sd");
  });
});
