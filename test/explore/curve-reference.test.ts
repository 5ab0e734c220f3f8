// The curve against programs and published data.
import { describe, expect, it } from "vitest";
import type { TriedRun } from "../../src/domain/exploration.ts";
import { bestValues } from "../../src/explore/best-values.ts";
import { asGoodT, type CurveFit, fitCurve, fittedDifference } from "../../src/explore/curve-fit.ts";
import { explore } from "../../src/explore/explore.ts";
import { scaleOf } from "../../src/explore/scale.ts";
import { expectRel, readData } from "../reference/cases.ts";
import { referenceEntry } from "../reference/entry.ts";
import { codedAt, exploring, runsAt } from "./explored.ts";

interface Fixture {
  readonly name: string;
  readonly inputs: {
    readonly x: readonly number[];
    readonly y: readonly number[];
    readonly lo: number;
    readonly hi: number;
    readonly step: number;
  };
  readonly expected: {
    readonly b1: number;
    readonly b2: number;
    readonly fiellerA: number;
    readonly s: number;
    readonly df: number;
    readonly optimumStep: number;
    readonly fieller90: readonly [number, number];
    readonly asGoodAs: readonly [number, number];
    readonly asGoodAsCount: number;
  };
  readonly tolerance: number;
}

function fixture(name: string): Fixture {
  const { fixtures } = readData("planning.json") as { readonly fixtures: readonly Fixture[] };
  const found = fixtures.find((each) => each.name === name);
  if (found === undefined) throw new Error(`no fixture ${name}`);
  return found;
}

function settingOf({ lo, hi, step }: Fixture["inputs"]) {
  return { key: "rear_pressure_bar", low: lo, high: hi, step };
}

function fitted({ inputs }: Fixture): CurveFit {
  const scale = scaleOf(settingOf(inputs), inputs.lo);
  const fit = fitCurve([scale], runsAt(inputs.x, inputs.y), "linear", false);
  if (fit === null) throw new Error("no fit");
  return fit;
}

/** Coefficients of Fieller's equation A u^2 + B u + C = 0 for where the slope b1 + 2 b2 u is none. */
function fieller({ coefficients, moments, spreadS, ...fit }: CurveFit, t: number) {
  const [b1 = Number.NaN, b2 = Number.NaN] = coefficients;
  const v = (i: number, j: number): number => spreadS ** 2 * (moments[i]?.[j] ?? Number.NaN);
  expect(fit.scales).toHaveLength(1);
  return [
    4 * (b2 ** 2 - t ** 2 * v(1, 1)),
    4 * (b1 * b2 - t ** 2 * v(0, 1)),
    b1 ** 2 - t ** 2 * v(0, 0),
  ] as const;
}

describe("R's lm and vcov", () => {
  it("a clear best: coefficients, spread, Fieller's interval, values as good", () => {
    const { inputs, expected, tolerance } = fixture("explore-quadratic-12");
    const fit = fitted(fixture("explore-quadratic-12"));
    expectRel(fit.coefficients[0] ?? null, expected.b1, tolerance);
    expectRel(fit.coefficients[1] ?? null, expected.b2, tolerance);
    expectRel(fit.spreadS, expected.s, tolerance);
    expect(fit.df).toBe(expected.df);
    const [a, b, c] = fieller(fit, asGoodT(fit));
    expectRel(a, expected.fiellerA, tolerance);
    const root = Math.sqrt(b * b - 4 * a * c);
    expectRel(1.6 + (0.3 * (-b - root)) / (2 * a), expected.fieller90[0], tolerance);
    expectRel(1.6 + (0.3 * (-b + root)) / (2 * a), expected.fieller90[1], tolerance);

    const { settings } = explore(exploring(settingOf(inputs)), [1.55], runsAt(inputs.x, inputs.y), {
      plannedRuns: 12,
      seed: 1,
      drift: "linear",
    });
    expect(settings[0]?.best).toBe(expected.optimumStep);
    expect(settings[0]?.asGood).toEqual(expected.asGoodAs);
    expect(settings[0]?.curve.filter((point) => point.isAsGood)).toHaveLength(
      expected.asGoodAsCount,
    );
  });

  it("a flat curve: Fieller's interval has no bound, every value is as good", () => {
    const { inputs, expected, tolerance } = fixture("explore-flat-unbounded");
    const fit = fitted(fixture("explore-flat-unbounded"));
    expectRel(fit.coefficients[0] ?? null, expected.b1, tolerance);
    expectRel(fit.coefficients[1] ?? null, expected.b2, tolerance);
    expectRel(fieller(fit, asGoodT(fit))[0], expected.fiellerA, tolerance);
    const said = explore(exploring(settingOf(inputs)), [6], runsAt(inputs.x, inputs.y), {
      plannedRuns: 8,
      seed: 1,
      drift: "linear",
    });
    expect(said.settings[0]?.asGood).toEqual([0, 12]);
    expect(said.words).toEqual(["no sign that rear_pressure_bar matters here; keep 6"]);
  });
});

it("NIST's Pontius: the certified parabola, spread and standard error, in coded units", () => {
  const { inputs, expected } = referenceEntry<
    { readonly x: readonly number[]; readonly y: readonly number[] },
    {
      readonly coef: readonly [number, number, number];
      readonly se: readonly [number, number, number];
      readonly residual_sd: number;
      readonly df_residual: number;
    }
  >("03_nist_strd_linear.json", "nist-lls-pontius");
  // Loads of 150,000 to 3,000,000; u = (load - middle) / half the range.
  const setting = { key: "load", low: 150_000, high: 3_000_000, step: 150_000 };
  const [middle, half] = [1_575_000, 1_425_000];
  const fit = fitCurve([scaleOf(setting, middle)], runsAt(inputs.x, inputs.y), "none", false);
  const [, b1, b2] = expected.coef;
  expectRel(fit?.coefficients[0] ?? null, half * (b1 + 2 * b2 * middle), 1e-11);
  expectRel(fit?.coefficients[1] ?? null, half ** 2 * b2, 1e-9);
  expectRel(fit?.spreadS ?? null, expected.residual_sd, 1e-9);
  expect(fit?.df).toBe(expected.df_residual);
  const error = (fit?.spreadS ?? Number.NaN) * Math.sqrt(fit?.moments[1]?.[1] ?? Number.NaN);
  expectRel(error, half ** 2 * expected.se[2], 1e-9);
});

it("tables of orthogonal polynomials: the same bend at equally spaced values", () => {
  const { expected } = referenceEntry<
    unknown,
    { readonly quadratic: readonly (readonly number[])[] }
  >("12_design_of_experiments.json", "orthogonal-polynomials");
  expect(expected.quadratic).toHaveLength(5);
  for (const row of expected.quadratic) {
    const setting = { key: "bar_width_mm", low: 700, high: 700 + row.length - 1, step: 1 };
    const values = row.map((_, i) => 700 + i);
    // Times with no regularity of their own.
    const times = values.map((value) => 90 + ((value * value) % 17) / 7);
    const scale = scaleOf(setting, 700);
    // A row twice, so that a degree of freedom is left even for three values.
    const fit = fitCurve(
      [scale],
      runsAt([...values, ...values], [...times, ...times]),
      "none",
      false,
    );
    const sum = (of: (i: number) => number): number => row.reduce((s, c, i) => s + c * of(i), 0);
    const bend = sum((i) => times[i] ?? 0) / sum((i) => codedAt(setting, values[i] ?? 0) ** 2);
    expectRel(fit?.coefficients[1] ?? null, bend, 1e-10, `${String(row.length)} values`);
  }
});

/**
 * Yield of a process by time (min) and temperature (deg F), a central composite design; its axial
 * places are printed as 1.414, which are roots of 2.
 *
 * @see Montgomery, Design and Analysis of Experiments (2001), example 11-1
 */
const YIELDS: readonly (readonly [time: number, temperature: number, yielded: number])[] = [
  ...([
    [80, 170, 76.5],
    [80, 180, 77],
    [90, 170, 78],
    [90, 180, 79.5],
  ] as const),
  ...[79.9, 80.3, 80, 79.7, 79.8].map((yielded) => [85, 175, yielded] as const),
  ...(
    [
      [Math.SQRT2, 0, 78.4],
      [-Math.SQRT2, 0, 75.6],
      [0, Math.SQRT2, 78.5],
      [0, -Math.SQRT2, 77],
    ] as const
  ).map(([u, v, yielded]) => [85 + 5 * u, 175 + 5 * v, yielded] as const),
];

it("a published surface of two settings: coefficients, residual, F and the best of it", () => {
  const scales = [
    scaleOf({ key: "time", low: 80, high: 90, step: 1 }, 85),
    scaleOf({ key: "temperature", low: 170, high: 180, step: 0.5 }, 175),
  ];
  // More is better there: times are the yields turned round.
  const runs = YIELDS.map(
    ([time, temperature, yielded], i): TriedRun => ({
      k: i + 1,
      values: [time, temperature],
      timeS: 100 - yielded,
    }),
  );
  const fit = fitCurve(scales, runs, "none", true);
  if (fit === null) throw new Error("no fit");
  // As printed in coded units, and with more digits from the printed equation in actual units.
  const printed = [-0.995, 1.376, -0.515, 1.001, -0.25];
  printed.forEach((b, j) => {
    expect(fit.coefficients[j]).toBeCloseTo(b, 2);
  });
  expect(fit.coefficients[1]).toBeCloseTo(0.05505 * 25, 3);
  expect(fit.coefficients[3]).toBeCloseTo(0.04005 * 25, 3);
  expect(fit.df).toBe(7);
  expect(fit.spreadS ** 2).toBeCloseTo(0.071, 3);
  const f = (j: number): number =>
    (fit.coefficients[j] ?? 0) ** 2 / (fit.spreadS ** 2 * (fit.moments[j]?.[j] ?? 0));
  // F of time, its square, temperature, its square and the product, to the digits of the ANOVA.
  [111.93, 186.22, 30.01, 98.56, 3.53].forEach((printedF, j) => {
    expectRel(f(j), printedF, 2e-3, `F of term ${String(j)}`);
  });
  expect(bestValues(fit)).toEqual([87, 176.5]);
  const { timeS } = fittedDifference(fit, [87, 176.5], [85, 175]);
  expect(79.94 - timeS).toBeCloseTo(80.21, 2);
});
