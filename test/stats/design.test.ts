import { describe, expect, it } from "vitest";
import {
  columnCount,
  designRow,
  layoutOf,
  plannedFigures,
  planningOrder,
  setupContrast,
} from "../../src/stats/design.ts";
import { addTo, entry, item } from "../../src/stats/entry.ts";

describe("planning order", () => {
  it("is the declared order, mirrored and repeated, cut at n", () => {
    expect(planningOrder(["A", "B"], 10).join("")).toBe("ABBAABBAAB");
    expect(planningOrder(["A", "B", "C"], 8).join("")).toBe("ABCCBAAB");
    expect(planningOrder(["A", "B"], 6, true).join("")).toBe("BAABBA");
    expect(planningOrder(["A"], 3)).toEqual(["A", "A", "A"]);
    expect(planningOrder([], 4)).toEqual([]);
  });
});

describe("a plan's figures", () => {
  // Degrees of freedom of a pair with a spread for each set-up, all spreads equal, to the digit
  // that the derivation gives: two set-ups N - 3; three 5.3, 11.2, 17.3; four 9.5, 13.5.
  it.each([
    [2, 12, 9],
    [2, 20, 17],
    [3, 12, 5.3],
    [3, 20, 11.2],
    [3, 30, 17.3],
    [4, 24, 9.5],
    [4, 32, 13.5],
  ])("for %i set-ups and %i runs", (k, n, df) => {
    const setups = ["A", "B", "C", "D"].slice(0, k);
    const figures = plannedFigures(setups, [planningOrder(setups, n)], "linear");
    expect(figures.nuN).toBe(n - k - 1);
    expect(Math.abs((figures.pair("B", "A")?.df ?? 0) - df)).toBeLessThan(0.05);
  });

  it("promise nothing about a pair that the plan does not hold or determine", () => {
    const setups = ["A", "B", "C"];
    const short = plannedFigures(setups, [planningOrder(setups, 2)], "linear");
    expect(short.nuN).toBe(-2);
    expect(short.pair("C", "A")).toBeUndefined();
    expect(short.pair("B", "A")).toBeUndefined();
    expect(short.pair("A", "A")).toBeUndefined();
    const none = plannedFigures([], [[]], "none");
    expect([none.runs, none.nuN]).toEqual([0, -1]);
  });
});

describe("rows of the design", () => {
  const rows = [
    { block: "0 R1", setup: "B", k: 2 },
    { block: "0 R1", setup: "A", k: 4 },
    { block: "1 R1", setup: "C", k: 1 },
  ];
  const layout = layoutOf(rows, ["A", "B", "C"], "learning");

  it("have a level and centred drift terms for each block, then set-ups but the first", () => {
    expect(columnCount(layout)).toBe(8);
    expect(designRow(layout, rows[0] ?? { block: "", setup: "", k: 0 })).toEqual([
      1,
      -1,
      Math.log(2) - (Math.log(2) + Math.log(4)) / 2,
      0,
      0,
      0,
      1,
      0,
    ]);
    expect(setupContrast(layout, "C", "B")).toEqual([0, 0, 0, 0, 0, 0, -1, 1]);
    expect(setupContrast(layout, "A", "B")).toEqual([0, 0, 0, 0, 0, 0, -1, 0]);
    expect(setupContrast(layout, "D", "A")).toBeUndefined();
  });

  it("exist only for what is in the layout", () => {
    expect(() => designRow(layout, { block: "2 R1", setup: "A", k: 1 })).toThrow(RangeError);
    expect(() => designRow(layout, { block: "0 R1", setup: "D", k: 1 })).toThrow(RangeError);
  });
});

it("a missing entry is a bug, never a number", () => {
  expect(entry(Float64Array.of(3), 0)).toBe(3);
  expect(() => entry(Float64Array.of(3), 1)).toThrow(RangeError);
  expect(() => item([1], -1)).toThrow(RangeError);
  expect(() => {
    addTo([], 0, 1);
  }).toThrow(RangeError);
});
