// What a percentage is taken of.
import { expect, it } from "vitest";
import { usualTimeS } from "../../src/summary/usual-time.ts";
import { countedRuns, madeSession } from "../stats/made-session.ts";

it("is the middle one of the rider's counted times on a set-up, up to so many runs", () => {
  const { runs } = madeSession({
    riders: ["R1", "R2"],
    runs: [
      { setup: "A", timeS: 99, status: "warm-up" },
      ...countedRuns(["A", "B", "A", "A", "A"], [60, 50, 80, 61, 62]),
      { setup: "A", timeS: 10, status: "void" },
      { setup: "A", timeS: 20, rider: "R2" },
    ],
  });
  expect(usualTimeS(runs, "R1", "A")).toBe(62);
  expect(usualTimeS(runs, "R1", "A", 4)).toBe(61);
  expect(usualTimeS(runs, "R1", "B")).toBe(50);
  expect(usualTimeS(runs, "R1", "C")).toBeUndefined();
  expect(usualTimeS(runs, "R1", "A", 0)).toBeUndefined();
});
