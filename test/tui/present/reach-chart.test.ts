// The curve of reach against runs, drawn.
import { describe, expect, it } from "vitest";
import type { ReachPoint } from "../../../src/domain/plan.ts";
import { ASCII_GLYPHS, UNICODE_GLYPHS } from "../../../src/tui/present/glyphs.ts";
import { reachChart, reachLegend } from "../../../src/tui/present/reach-chart.ts";
import { textWidth } from "../../../src/tui/present/safe-text.ts";

/** 4 s at 8 runs, falling as one over the runs: 2 s at 16, 1 s at 32. */
const points = (ends: boolean): readonly ReachPoint[] =>
  [8, 12, 16, 24, 32].map((runs) => {
    const s = 32 / runs;
    return {
      runs,
      smallest_difference_s: s,
      low_s: ends ? s / 2 : null,
      high_s: ends ? 1.5 * s : null,
    };
  });

describe("the chart", () => {
  it("has the curve, this plan, the margin, and both ends", () => {
    // A row is half a second: 4 s at 8 runs on top, 2 s at 16, 1 s and the margin two rows lower.
    const rows = reachChart(points(true), { runs: 16, marginS: 1 }, 33, 11, ASCII_GLYPHS);
    expect(rows.map((row) => row.trimEnd())).toEqual([
      " 4.0 s |o   .   :",
      "       | oo  .. :",
      "       |   o   .:.",
      "       |    ooo : ....",
      " 2.0 s |..     o@oo   ......",
      "       |  ...   :  ooooooo  .....",
      "       |-----...:.....----ooooooo",
      "       |        :     ...........",
      "   0 s |        :",
      "       |+-------+---------------+",
      "        8      16         32 runs",
    ]);
  });

  it("keeps to its size, whatever it is given", () => {
    for (const width of [20, 33, 72, 120]) {
      for (const height of [4, 9, 14]) {
        for (const runs of [null, 8, 16, 32, 99]) {
          for (const marginS of [null, 0.2, 3, 50]) {
            const rows = reachChart(points(true), { runs, marginS }, width, height, UNICODE_GLYPHS);
            expect(rows).toHaveLength(height);
            for (const row of rows) expect(textWidth(row)).toBe(width);
          }
        }
      }
    }
    const nothing = reachChart([], { runs: 8, marginS: 1 }, 30, 6, ASCII_GLYPHS);
    expect(nothing).toEqual(Array.from({ length: 6 }, () => " ".repeat(30)));
    const [one] = points(false);
    const single = reachChart(one ? [one] : [], { runs: 8, marginS: null }, 30, 6, ASCII_GLYPHS);
    expect(single.join("\n")).toContain("@");
  });

  it("says what its marks stand for, and leaves out what is not drawn", () => {
    expect(reachLegend(points(true), { runs: 16, marginS: 1 }, ASCII_GLYPHS)).toBe(
      "o seen on 4 days in 5; @ this plan; . as far as the spread is known; - worth having",
    );
    expect(reachLegend(points(false), { runs: null, marginS: 50 }, UNICODE_GLYPHS)).toBe(
      "● seen on 4 days in 5",
    );
  });
});
