// What a percentage is taken of, against the fit's own coefficients.
import { expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { afterRuns } from "../../src/stats/counted-runs.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { baselineTimeS } from "../../src/summary/baseline-time.ts";
import { countedRuns, type MadeRun, madeSession } from "../stats/made-session.ts";

const order = ["A", "B", "C", "C", "B", "A", "A", "B", "B", "A"];
const times = [61.2, 59.9, 64.1, 64.6, 60.2, 61.9, 62.3, 60.1, 60.9, 62.4];
const warm: MadeRun = { setup: "A", timeS: 99, status: "warm-up" };
const foreign: MadeRun = { setup: "A", timeS: 20, rider: "R2" };

/** Level of A at the middle of the runs, by a fit written out. */
function levelOfA(n: number): number {
  const k = Array.from({ length: n }, (_, i) => i + 1);
  const middle = (n + 1) / 2;
  const columns = [
    k.map(() => 1),
    k.map((each) => each - middle),
    ...["B", "C"].map((id) => order.slice(0, n).map((setup) => (setup === id ? 1 : 0))),
  ];
  return leastSquares(columns, times.slice(0, n)).coefficients[0] ?? Number.NaN;
}

it.each([10, 8])("is the fitted time on the baseline in the middle of %i runs", (n) => {
  const input = madeSession({
    riders: ["R1", "R2"],
    setups: ["A", "B", "C"],
    runs: [warm, ...countedRuns(order, times), foreign],
  });
  const [rider] = compareRiders(afterRuns(input, n));
  if (rider === undefined) throw new Error("no rider");
  expect(baselineTimeS(input.runs, rider)).toBeCloseTo(levelOfA(n), 10);
});

it("is not known without a run on the baseline, or without runs", () => {
  for (const runs of [countedRuns(["B", "B"], [60, 61]), []]) {
    const input = madeSession({ runs });
    const [rider] = compareRiders(input);
    if (rider === undefined) throw new Error("no rider");
    expect(baselineTimeS(input.runs, rider)).toBeUndefined();
  }
});

it("is the mean of the times while the set-ups cannot be told apart", () => {
  const input = madeSession({ runs: countedRuns(["A", "B"], [60, 62]) });
  const [rider] = compareRiders(input);
  if (rider === undefined) throw new Error("no rider");
  expect(baselineTimeS(input.runs, rider)).toBe(61);
});
