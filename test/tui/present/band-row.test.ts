import fc from "fast-check";
import stringWidth from "string-width";
import { describe, expect, it } from "vitest";
import { bandRow } from "../../../src/tui/present/band-row.ts";
import { axisFigures, axisLine, bandScale, columnOf } from "../../../src/tui/present/band-scale.ts";
import { ASCII_GLYPHS, UNICODE_GLYPHS } from "../../../src/tui/present/glyphs.ts";

// Bands of the worked example in the manual: B against A, 12 runs, worth having 0.8 s.
const QUICKER = {
  band: [-5.05, -0.15],
  innerBand: [-4.68, -0.52],
  estimateS: -2.6,
  marginS: 0.8,
} as const;
const SCALE = { lowS: -6, highS: 2, stepS: 2 };

describe("band row", () => {
  it("draws thin and thick band, estimate, nought and margin", () => {
    const rows = [
      bandRow(QUICKER, SCALE, 41, UNICODE_GLYPHS),
      axisLine(SCALE, 41, 0.8, UNICODE_GLYPHS),
      axisFigures(SCALE, 41),
    ];
    expect(rows).toEqual([
      "     ├─━━━━━━━━━━█━━━━━━━━━━─┤│   ┊      ",
      "┴─────────┴─────────┴─────┊───┼───┊─────┴",
      "-6       -4        -2         0        +2",
    ]);
  });

  it("draws the same in ASCII", () => {
    expect(bandRow(QUICKER, SCALE, 41, ASCII_GLYPHS)).toBe(
      "     [-==========@==========-]|   :      ",
    );
  });

  it("marks the crossing of the line of no difference", () => {
    const drawing = { band: [-2, 2], innerBand: null, estimateS: 1, marginS: null } as const;
    const scale = { lowS: -2, highS: 2, stepS: 1 };
    expect(bandRow(drawing, scale, 9, UNICODE_GLYPHS)).toBe("├───┼─█─┤");
    const inner = { ...drawing, innerBand: [-1, 1.5] } as const;
    expect(bandRow(inner, scale, 9, UNICODE_GLYPHS)).toBe("├─━━┿━█━┤");
  });

  it("says where a band goes on beyond the scale", () => {
    const scale = { lowS: -1, highS: 1, stepS: 1 };
    const wide = { band: [-9, 9], innerBand: [-8, 0.5], estimateS: -4, marginS: null } as const;
    expect(bandRow(wide, scale, 9, UNICODE_GLYPHS)).toBe("<━━━┿━━─>");
    const away = { band: [3, 9], innerBand: null, estimateS: 5, marginS: null } as const;
    expect(bandRow(away, scale, 9, UNICODE_GLYPHS)).toBe("    │   >");
  });

  it("draws the line alone while nothing is known", () => {
    const nothing = { band: null, innerBand: null, estimateS: null, marginS: null };
    expect(bandRow(nothing, bandScale([]), 9, UNICODE_GLYPHS)).toBe("    │    ");
  });

  const value = fc.double({ min: -1e4, max: 1e4, noNaN: true });
  const band = fc.option(
    fc.tuple(value, value).map(([a, b]): readonly [number, number] => (a < b ? [a, b] : [b, a])),
  );
  const drawing = fc.record({
    band,
    innerBand: band,
    estimateS: fc.option(value),
    marginS: fc.option(fc.double({ min: 0.01, max: 100, noNaN: true })),
  });

  it("is exactly as wide as asked for, whatever is drawn, and so is the axis", () => {
    fc.assert(
      fc.property(
        drawing,
        fc.array(value, { maxLength: 6 }),
        fc.integer({ min: 1, max: 160 }),
        fc.constantFrom(UNICODE_GLYPHS, ASCII_GLYPHS),
        (drawn, values, width, glyphs) => {
          const scale = bandScale(values);
          for (const row of [
            bandRow(drawn, scale, width, glyphs),
            axisLine(scale, width, drawn.marginS, glyphs),
            axisFigures(scale, width),
          ]) {
            expect(stringWidth(row)).toBe(width);
          }
        },
      ),
      { seed: 20260509, numRuns: 2000 },
    );
  });

  it("has a scale that holds nought and every value, with few steps", () => {
    fc.assert(
      fc.property(fc.array(value, { minLength: 1 }), (values) => {
        const scale = bandScale(values);
        const slack = scale.stepS * 1e-6;
        expect(scale.lowS).toBeLessThanOrEqual(Math.min(0, ...values) + slack);
        expect(scale.highS).toBeGreaterThanOrEqual(Math.max(0, ...values) - slack);
        expect((scale.highS - scale.lowS) / scale.stepS).toBeLessThan(9);
        expect(columnOf(scale.lowS, scale, 50)).toBe(0);
        expect(columnOf(scale.highS, scale, 50)).toBe(49);
      }),
      { seed: 20260509, numRuns: 1000 },
    );
  });
});
