// Which shapes of a broken beam are taken for a bike.
import { expect, it } from "vitest";
import { looksWrong } from "../../src/match/passing-shape.ts";

it("one long block or one single short pulse is not a bike", () => {
  expect(looksWrong(1.6, 1)).toBe(true);
  expect(looksWrong(0.019, 1)).toBe(true);
});

it("a bike breaks the beam more than once, or as one block of its length", () => {
  expect(looksWrong(0.25, 14)).toBe(false);
  expect(looksWrong(1.6, 3)).toBe(false);
  expect(looksWrong(0.25, 1)).toBe(false);
  expect(looksWrong(0.02, 1)).toBe(false);
});

it("nothing is said before the clear line has come", () => {
  expect(looksWrong(null, null)).toBe(false);
});
