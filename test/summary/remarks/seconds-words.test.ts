// Differences as the remarks write them.
import { expect, it } from "vitest";
import {
  differenceWords,
  plainSeconds,
  signedFigure,
} from "../../../src/summary/remarks/seconds-words.ts";

it("has two decimals where one would look like nought, and no sign on nought", () => {
  expect([2.14, -2.14, 0.06, 0.04, 0].map(plainSeconds)).toEqual([
    "2.1 s",
    "2.1 s",
    "0.1 s",
    "0.04 s",
    "0.0 s",
  ]);
  expect([2.14, -2.14, -0.04, -0.001].map(signedFigure)).toEqual(["+2.1", "-2.1", "-0.04", "0.00"]);
  expect(differenceWords(-1.04, [-2.36, 0.36])).toBe("-1.0 s, between -2.4 and +0.4 s");
  expect(differenceWords(-1.04, [-2.04, -0.04])).toBe("-1.04 s, between -2.04 and -0.04 s");
  expect(differenceWords(-0.01, [-2, 2])).toBe("0.0 s, between -2.0 and +2.0 s");
});
