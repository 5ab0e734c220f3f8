// The curve of a setting in characters: what is where, and that nothing leaves the chart.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { SettingFound } from "../../../src/domain/exploration.ts";
import { curveChart, curveLegend } from "../../../src/tui/present/curve-chart.ts";
import { ASCII_GLYPHS, UNICODE_GLYPHS } from "../../../src/tui/present/glyphs.ts";
import { textWidth } from "../../../src/tui/present/safe-text.ts";

const setting = { key: "rear_pressure_bar", low: 1.3, high: 1.9, step: 0.1 };

/** A parabola about 1.5 bar against 1.8 bar; bands of `half` seconds either side. */
function found(half: number, given: Partial<SettingFound> = {}): SettingFound {
  const timeS = (value: number): number => 20 * (value - 1.5) ** 2;
  const values = [1.3, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9];
  const curve = values.map((value) => {
    const gainS = timeS(value) - timeS(1.8);
    const isAsGood = value >= 1.4 && value <= 1.6;
    return { value, gainS, bandS: [gainS - half, gainS + half] as const, isAsGood };
  });
  const asGood = [1.4, 1.6] as const;
  return { setting, present: 1.8, best: 1.5, asGood, atLow: false, atHigh: false, curve, ...given };
}

describe("the curve", () => {
  it("has the best lowest, those as good beside it, and the limits at its ends", () => {
    // Seconds against 1.8 bar by hand: -1.0 -1.6 -1.8 -1.6 -1.0 0 +1.4.
    // Rows of 0.425 s from +1.5 down: -1.6 is 7.3 rows below the top, -1.8 7.8, -1.0 5.9.
    const rows = curveChart(found(0.1), 45, 12, ASCII_GLYPHS).map((row) => row.trimEnd());
    expect(rows).toEqual([
      "  +1.5 |                                    o",
      "       |",
      "       |",
      "       |                              |",
      "     0 |::::::::::::::::::::::::::::::o::::::",
      "       |",
      "       |o                       o",
      "       |      @           @",
      "  -1.9 |      |     *     |",
      "        [-----+-----+-----+-----+-----+-----]",
      "        limit     best               now",
      "        1.3        1.5               1.8  1.9",
    ]);
  });

  it("shows a band where it is, and marks where it goes on beyond the chart", () => {
    const rows = curveChart(found(40), 45, 12, ASCII_GLYPHS);
    expect(rows[0]).toContain("^");
    expect(rows[8]).toContain("v");
    const narrow = curveChart(found(0.4), 45, 20, ASCII_GLYPHS).join("\n");
    expect(narrow).not.toMatch(/[v^]/);
    expect(narrow).toContain("|  ");
  });

  it("says once that the present value is the best", () => {
    const rows = curveChart(found(0.3, { present: 1.5 }), 60, 12, UNICODE_GLYPHS);
    expect(rows.at(-2)).toContain("now, best");
  });

  it("is not drawn before there is a curve", () => {
    expect(curveChart(found(1, { curve: [], best: null }), 60, 12, UNICODE_GLYPHS)).toEqual([]);
  });

  it("fits its room whatever the figures are, with the best always on it", () => {
    const gain = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    const half = fc.oneof(
      fc.double({ min: 0, max: 1e9, noNaN: true }),
      fc.constant(Number.POSITIVE_INFINITY),
    );
    const points = fc.array(fc.tuple(gain, half, fc.boolean()), { minLength: 3, maxLength: 90 });
    const room = fc.record({
      width: fc.integer({ min: 30, max: 100 }),
      height: fc.integer({ min: 6, max: 30 }),
    });
    fc.assert(
      fc.property(points, fc.nat(), room, (made, which, { width, height }) => {
        const curve = made.map(([gainS, by, isAsGood], i) => {
          return { value: 10 + i, gainS, bandS: [gainS - by, gainS + by] as const, isAsGood };
        });
        const clicks = { key: "fork_rebound_clicks", low: 10, high: 9 + curve.length, step: 1 };
        const best = 10 + (which % curve.length);
        const of = { ...found(1), setting: clicks, present: 10, best, curve };
        for (const glyphs of [ASCII_GLYPHS, UNICODE_GLYPHS]) {
          const rows = curveChart(of, width, height, glyphs);
          expect(rows).toHaveLength(height);
          for (const row of rows) expect(textWidth(row)).toBe(width);
          expect(rows.join("")).toContain(glyphs.setupMarks[3]);
        }
      }),
      { seed: 15, numRuns: 200 },
    );
  });
});

it("the legend names every mark, in characters that any terminal has", () => {
  expect(curveLegend(ASCII_GLYPHS)).toBe("* best  @ as good  o other  | 95 % band");
});
