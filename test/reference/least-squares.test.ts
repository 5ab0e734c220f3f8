import { describe, expect, it } from "vitest";
import { contrastWeights, type LeastSquares, leastSquares } from "../../src/stats/least-squares.ts";
import { studentQuantile, studentUpperTail } from "../../src/stats/student-t.ts";
import { digits, expectAbs, expectDigits, expectRel, namedCase, readData } from "./cases.ts";

interface Certificate {
  readonly id: string;
  readonly inputs: {
    readonly y: readonly number[];
    readonly x?: readonly number[];
    readonly degree?: number;
    readonly intercept?: boolean;
    readonly X?: readonly (readonly number[])[];
  };
  readonly expected: {
    readonly coef: readonly number[];
    readonly se: readonly number[];
    readonly residual_sd: number;
    readonly df_residual: number;
    readonly df_regression: number;
    readonly ss_residual: number;
    readonly ss_regression: number;
    readonly r_squared: number;
    readonly F: number | string;
  };
  readonly tolerance: { readonly rel: number };
}

function designColumns({ X, x = [], y, degree = 1, intercept = true }: Certificate["inputs"]) {
  if (X !== undefined) {
    return [y.map(() => 1), ...(X[0] ?? []).map((_, j) => X.map((row) => row[j] ?? 0))];
  }
  const powers = Array.from({ length: degree + 1 }, (_, d) => d).slice(intercept ? 0 : 1);
  return powers.map((power) => x.map((value) => value ** power));
}

/**
 * Correct digits of coefficients, standard errors, residual sum of squares (and so F), R squared,
 * with double precision and reflections, as measured here, rounded down. A change that loses one
 * shows. Longley, Filip and Wampler 1 to 5 are the ill-conditioned sets: columns as they are given,
 * neither centred nor scaled.
 */
const REACHED: Readonly<Record<string, readonly [number, number, number, number]>> = {
  "nist-lls-norris": [11, 13, 12, 15],
  "nist-lls-pontius": [11, 12, 12, 15],
  "nist-lls-noint1": [14, 14, 14, 15],
  "nist-lls-noint2": [14, 14, 14, 15],
  "nist-lls-longley": [10, 11, 11, 14],
  "nist-lls-filip": [7, 7, 8, 11],
  "nist-lls-wampler1": [9, 9, 16, 15],
  "nist-lls-wampler2": [12, 14, 16, 15],
  "nist-lls-wampler3": [9, 13, 13, 15],
  "nist-lls-wampler4": [8, 13, 15, 15],
  "nist-lls-wampler5": [6, 13, 14, 14],
};

describe("NIST StRD linear certificates", () => {
  const { entries } = readData("03_nist_strd_linear.json") as { entries: readonly Certificate[] };

  it("covers all eleven sets", () => {
    expect(entries.map((entry) => entry.id).sort()).toEqual(Object.keys(REACHED).sort());
  });

  it.each(entries.map((entry) => [entry.id, entry] as const))("agrees on %s", (id, entry) => {
    const { expected, tolerance, inputs } = entry;
    const fit = leastSquares(designColumns(inputs), inputs.y);
    const sd = Math.sqrt(fit.rss / fit.df);
    expect(fit.df).toBe(expected.df_residual);
    const errors = expected.se.map((_, j) => sd * Math.sqrt(fit.inverse[j]?.[j] ?? Number.NaN));
    const isExact = expected.residual_sd === 0;
    expected.coef.forEach((coef, j) => {
      expectRel(fit.coefficients[j] ?? null, coef, tolerance.rel, `coefficient ${String(j)}`);
    });
    expected.se.forEach((se, j) => {
      // Wampler 1 and 2 fit exactly: their errors are certified as 0.
      if (isExact) expectAbs(errors[j] ?? null, 0, 1e-8);
      else expectRel(errors[j] ?? null, se, tolerance.rel, `error ${String(j)}`);
    });
    if (isExact) expectAbs(sd, 0, 1e-8);
    else expectRel(sd, expected.residual_sd, tolerance.rel, "spread");
    const [coefDigits, errorDigits, restDigits, shareDigits] = REACHED[id] ?? [16, 16, 16, 16];
    const lost = (actual: readonly number[], certified: readonly number[]): number =>
      Math.min(...certified.map((c, j) => digits(actual[j] ?? Number.NaN, c)));
    expect(lost(fit.coefficients, expected.coef)).toBeGreaterThanOrEqual(coefDigits);
    expect(lost(errors, expected.se)).toBeGreaterThanOrEqual(errorDigits);
    // Squares explained are those of Q'y beyond the constant, if there is one.
    const explained = fit.rotated
      .slice(fit.rank - expected.df_regression)
      .reduce((sum, v) => sum + v * v, 0);
    expectDigits(explained, expected.ss_regression, 11, "squares explained");
    expectDigits(fit.rss, expected.ss_residual, restDigits, "squares left");
    expectDigits(explained / (explained + fit.rss), expected.r_squared, shareDigits, "R squared");
    if (isExact) expect(expected.F).toBe("Infinity");
    else {
      const f = explained / expected.df_regression / (fit.rss / fit.df);
      expectDigits(f, Number(expected.F), restDigits, "F");
    }
  });

  // The same set as printed in textbooks, the constant among the columns.
  it("agrees on published_nist_strd_longley", () => {
    const { inputs, expected, tolerance } = namedCase<
      { X: number[][]; y: number[] },
      { coef: number[]; se: number[]; sigma: number; nu: number }
    >("statistics.json", "published_nist_strd_longley");
    const columns = expected.coef.map((_, j) => inputs.X.map((row) => row[j] ?? Number.NaN));
    const fit = leastSquares(columns, inputs.y);
    const sigma = Math.sqrt(fit.rss / fit.df);
    expect(fit.df).toBe(expected.nu);
    expectRel(sigma, expected.sigma, tolerance.value);
    expected.coef.forEach((coef, j) => {
      expectDigits(fit.coefficients[j], coef, 10, `coefficient ${String(j)}`);
      const error = sigma * Math.sqrt(fit.inverse[j]?.[j] ?? Number.NaN);
      expectDigits(error, expected.se[j] ?? Number.NaN, 11, `error ${String(j)}`);
    });
  });
});

interface OlsInputs {
  readonly setup: readonly string[];
  readonly levels: readonly string[];
  readonly k: readonly number[];
  readonly y: readonly number[];
  readonly drift: string;
  readonly alpha: number;
  readonly contrast: readonly [string, string];
}
interface OlsExpected {
  readonly coef?: Readonly<Record<string, number>>;
  readonly sigma?: number;
  readonly nu?: number;
  readonly est: number;
  readonly se: number;
  readonly z2: number;
  readonly t?: number;
  readonly p?: number;
  readonly lo: number;
  readonly hi: number;
}

/** The textbook design with k as it is: intercept, set-ups but the first, drift terms. */
function setupDesign(inputs: OlsInputs): { names: string[]; columns: number[][] } {
  const { setup, levels, k, drift } = inputs;
  const names = ["(Intercept)", ...levels.slice(1)];
  const columns = [
    k.map(() => 1),
    ...levels.slice(1).map((level) => setup.map((s) => (s === level ? 1 : 0))),
  ];
  if (drift !== "none") {
    names.push("k");
    columns.push([...k]);
  }
  if (drift === "linlog") {
    names.push("logk");
    columns.push(k.map(Math.log));
  }
  if (drift === "quadratic") {
    names.push("k2");
    columns.push(k.map((v) => v * v));
  }
  return { names, columns };
}

describe("ordinary least squares against lm() of R 4.2", () => {
  it.each([
    "ols_12_none",
    "ols_12_linear",
    "ols_12_linlog",
    "ols_12_quadratic",
    "ols_12_linear_runs3and8_void_k_kept",
    "ols_20_linear",
    "ols_20_linear_99band",
    "ols_18_three_setups_linear",
    "ols_18_contrast_C_minus_B",
  ])("agrees on %s", (name) => {
    const { inputs, expected, tolerance } = namedCase<OlsInputs, OlsExpected>(
      "statistics.json",
      name,
    );
    const { names, columns } = setupDesign(inputs);
    const fit: LeastSquares = leastSquares(columns, inputs.y);
    const sigma = Math.sqrt(fit.rss / fit.df);
    for (const [key, value] of Object.entries(expected.coef ?? {})) {
      expectRel(fit.coefficients[names.indexOf(key)] ?? null, value, tolerance.value, key);
    }
    if (expected.sigma !== undefined) expectRel(sigma, expected.sigma, tolerance.value);
    if (expected.nu !== undefined) expect(fit.df).toBe(expected.nu);
    const [from, to] = inputs.contrast;
    const contrast = names.map((n): number => (n === to ? 1 : n === from ? -1 : 0));
    const pair = contrastWeights(fit.factor, contrast);
    const est = contrast.reduce((sum, c, j) => sum + c * (fit.coefficients[j] ?? 0), 0);
    const se = sigma / Math.sqrt(pair?.z2 ?? Number.NaN);
    expectRel(est, expected.est, tolerance.value);
    expectRel(pair?.z2 ?? null, expected.z2, tolerance.value);
    expectRel(se, expected.se, tolerance.value);
    if (expected.p !== undefined) {
      expectRel(2 * studentUpperTail(Math.abs(est / se), fit.df), expected.p, tolerance.value);
    }
    const half = studentQuantile(inputs.alpha / 2, fit.df) * se;
    expectRel(est - half, expected.lo, tolerance.value);
    expectRel(est + half, expected.hi, tolerance.value);
    // The weights give the same estimate, the leverages add up to the rank.
    const weighed = inputs.y.reduce((sum, y, i) => sum + y * (pair?.weights[i] ?? 0), 0);
    expectRel(weighed, est, 1e-9);
    expectRel(
      fit.leverages.reduce((a, b) => a + b, 0),
      fit.rank,
      1e-12,
    );
  });

  it("agrees with Student's sleep pairs as printed in R's help", () => {
    const { inputs, expected, tolerance } = namedCase<
      { first: number[]; second: number[]; alpha: number },
      { est: number; t: number; nu: number; p: number; lo: number; hi: number }
    >("statistics.json", "published_student_sleep_pairs");
    // A column a pair and one for which of the two it is.
    const y = [...inputs.first, ...inputs.second];
    const pairs = inputs.first.map((_, p) => y.map((__, i) => (i % 10 === p ? 1 : 0)));
    const fit = leastSquares([...pairs, y.map((_, i) => (i < 10 ? 1 : 0))], y);
    const est = fit.coefficients[10] ?? Number.NaN;
    const se = Math.sqrt((fit.rss / fit.df) * (fit.inverse[10]?.[10] ?? Number.NaN));
    const half = studentQuantile(inputs.alpha / 2, fit.df) * se;
    expectAbs(est, expected.est, tolerance.value);
    expectAbs(est / se, expected.t, tolerance.value);
    expect(fit.df).toBe(expected.nu);
    expectAbs(2 * studentUpperTail(Math.abs(est / se), fit.df), expected.p, tolerance.value);
    expectAbs(est - half, expected.lo, tolerance.value);
    expectAbs(est + half, expected.hi, tolerance.value);
  });

  it("leaves the residuals that the mistake score of Iglewicz & Hoaglin is made of", () => {
    const { inputs, expected, tolerance } = namedCase<
      OlsInputs & { threshold: number },
      { score: number[]; flagged: number[] }
    >("statistics.json", "mistake_flag_mad");
    const { columns } = setupDesign({ ...inputs, levels: ["A", "B"] });
    const fit = leastSquares(columns, inputs.y);
    const sizes = [...fit.residuals].map(Math.abs).sort((a, b) => a - b);
    const median = ((sizes[9] ?? 0) + (sizes[10] ?? 0)) / 2;
    const scale = 1.4826 * median * Math.sqrt(inputs.y.length / fit.df);
    expected.score.forEach((score, i) => {
      expectRel((fit.residuals[i] ?? Number.NaN) / scale, score, tolerance.value);
    });
  });
});

describe("rank", () => {
  it("passes over a column that depends on earlier ones and refuses contrasts through it", () => {
    const ones = [1, 1, 1, 1];
    const b = [0, 1, 1, 0];
    const a = [1, 0, 0, 1];
    const fit = leastSquares([ones, b, a], [10, 12, 13, 11]);
    expect(fit.rank).toBe(2);
    expect(fit.factor.dropped).toEqual([2]);
    expect(contrastWeights(fit.factor, [0, 1, 0])).toBeUndefined();
    expect(contrastWeights(fit.factor, [0, 1, -1])?.z2).toBeCloseTo(1, 12);
    expect(contrastWeights(fit.factor, [1, 1, 0])?.z2).toBeCloseTo(2, 12);
  });

  it("fits fewer rows than columns, no rows and no columns", () => {
    const short = leastSquares([[1], [5], [2]], [3]);
    expect([short.rank, short.df]).toEqual([1, 0]);
    expect(leastSquares([[], []], []).rank).toBe(0);
    expect(leastSquares([], [1, 2]).rss).toBeCloseTo(5, 12);
    expect(contrastWeights(short.factor, [0, 0, 0])).toBeUndefined();
  });

  it("refuses columns of another length", () => {
    expect(() => leastSquares([[1, 2]], [1])).toThrow(RangeError);
  });
});
