// The truths of a simulated day, against figures worked out by hand from their definitions.
import { describe, expect, it } from "vitest";
import { DRIFT_TRUTHS, driftTruth } from "../../src/calibrate/drift-truth.ts";
import { normals } from "../../src/calibrate/normal.ts";
import { seededRandom } from "../../src/domain/seeded.ts";

const noNormal = (): number => 0;
const E1 = Math.exp(-1);

describe("the session drift of a simulated day", () => {
  it.each([
    ["none", 7, 0],
    ["tiring", 7, 0.7],
    ["learning", 1, 3],
    ["learning", 4, 3 * E1],
    ["slow-learning", 9, 3 * E1],
    ["ground-step", 10, 0],
    ["ground-step", 11, 1.5],
    ["mixed", 4, 3 * E1],
  ] as const)("%s on place %i of 20 is %f spreads", (truth, k, spreads) => {
    expect(driftTruth(truth, 20, noNormal)(k)).toBeCloseTo(spreads, 12);
  });

  it("walks by 0.3 spreads a run, places passed over included", () => {
    const walk = driftTruth("ground-walk", 20, () => 1);
    expect(walk(1)).toBeCloseTo(0.3, 12);
    expect(walk(4)).toBeCloseTo(1.2, 12);
    expect(walk(4)).toBeCloseTo(1.2, 12);
  });

  it("has the seven names that the JSON promises", () => {
    expect(DRIFT_TRUTHS).toEqual([
      "none",
      "tiring",
      "learning",
      "slow-learning",
      "ground-walk",
      "ground-step",
      "mixed",
    ]);
  });
});

it("normal numbers have the moments and the tails of the normal distribution", () => {
  const normal = normals(seededRandom(3));
  const n = 200_000;
  const x = Array.from({ length: n }, normal);
  const mean = (f: (v: number) => number): number => x.reduce((s, v) => s + f(v), 0) / n;
  // Four standard errors of each mean: variances 1, 2 and 96.
  expect(Math.abs(mean((v) => v))).toBeLessThan(4 / Math.sqrt(n));
  expect(Math.abs(mean((v) => v * v) - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(mean((v) => v ** 4) - 3)).toBeLessThan(4 * Math.sqrt(96 / n));
  const tail = mean((v) => Number(Math.abs(v) > 1.959964));
  expect(Math.abs(tail - 0.05)).toBeLessThan(4 * Math.sqrt((0.05 * 0.95) / n));
});
