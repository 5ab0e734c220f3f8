// A straight line with everything that is known of it, against the GUM's example: by least squares,
// and by the line that boxes' clocks are fitted with.
import { expect, it } from "vitest";
import { weightedLineAtZero } from "../../src/clock/weighted-line.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { estimateOf } from "./textbook-model.ts";

type Figures = Readonly<
  Record<"y1" | "u_y1" | "y2" | "u_y2" | "r" | "s" | "b_30" | "u_b_30" | "ss_resid", number>
>;

// JCGM 100:2008 (GUM), H.3, table H.6: calibration of a thermometer, eleven points. The errors of the
// clock's line are of another kind (HC3) and are not compared.
it("has the line, its uncertainties, their correlation and a prediction of the GUM's H.3", () => {
  const { inputs, expected, checked_with } = referenceEntry<
    { t: number[]; b: number[]; t0: number; predict_at: number },
    Omit<Figures, "ss_resid">,
    Figures
  >("10_measurement_uncertainty.json", "gum-h3-thermometer");
  const x = inputs.t.map((t) => t - inputs.t0);
  const columns = [x.map(() => 1), x];
  const fit = leastSquares(columns, inputs.b);
  const level = estimateOf(columns, inputs.b, [1, 0]);
  const slope = estimateOf(columns, inputs.b, [0, 1]);
  const ahead = estimateOf(columns, inputs.b, [1, inputs.predict_at - inputs.t0]);
  const m = (i: number, j: number): number => fit.inverse[i]?.[j] ?? Number.NaN;
  const found: Figures = {
    y1: level.value,
    u_y1: level.se,
    y2: slope.value,
    u_y2: slope.se,
    r: m(0, 1) / Math.sqrt(m(0, 0) * m(1, 1)),
    s: Math.sqrt(fit.rss / fit.df),
    b_30: ahead.value,
    u_b_30: ahead.se,
    ss_resid: fit.rss,
  };
  const printed = { y1: 6e-5, u_y1: 6e-5, y2: 6e-6, u_y2: 6e-6, r: 5.1e-4, s: 6e-5 } as const;
  for (const key of Object.keys(printed) as (keyof typeof printed)[]) {
    expectAbs(found[key], expected[key], printed[key], key);
  }
  expectAbs(found.b_30, expected.b_30, 6e-5);
  expectAbs(found.u_b_30, expected.u_b_30, 6e-5);
  for (const key of Object.keys(found) as (keyof Figures)[]) {
    expectDigits(found[key], checked_with.values[key], 14, key);
  }
  const line = weightedLineAtZero(
    x.map((at, i) => ({ x: at, y: inputs.b[i] ?? Number.NaN, sigma: 2, bound: 1 })),
  );
  expectDigits(line.value, checked_with.values.y1, 14, "line");
  expectDigits(line.slope, checked_with.values.y2, 14, "slope");
  expect(line.scatterU).toBeGreaterThan(0);
});
