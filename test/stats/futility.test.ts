// When hardly any chance of a verdict is left.
import { expect, it } from "vitest";
import { isHardlyAnyChance } from "../../src/stats/futility.ts";

it("is said below a chance of 0.03, from six runs and three degrees of freedom on", () => {
  expect(isHardlyAnyChance(6, 3, 0.0299)).toBe(true);
  expect(isHardlyAnyChance(6, 3, 0.03)).toBe(false);
  expect(isHardlyAnyChance(5, 3, 0.001)).toBe(false);
  expect(isHardlyAnyChance(6, 2.9, 0.001)).toBe(false);
  expect(isHardlyAnyChance(6, null, 0.001)).toBe(false);
  expect(isHardlyAnyChance(6, 3, null)).toBe(false);
});
