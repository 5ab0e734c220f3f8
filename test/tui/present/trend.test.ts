import fc from "fast-check";
import stringWidth from "string-width";
import { describe, expect, it } from "vitest";
import { ASCII_GLYPHS, UNICODE_GLYPHS } from "../../../src/tui/present/glyphs.ts";
import { trendChart } from "../../../src/tui/present/trend.ts";

const run = (timeS: number, setupIndex: number, isCounted = true) => ({
  timeS,
  setupIndex,
  isCounted,
});

describe("trend chart", () => {
  it("shows runs in order, slow ones at the top, by set-up", () => {
    const runs = [run(64, 0), run(62, 1), run(61, 1), run(63, 0), run(90, 0, false)];
    expect(trendChart(runs, 24, 4, UNICODE_GLYPHS)).toEqual([
      "1:04.0 │●           ✗   ",
      "       │         ●      ",
      "       │   ▲            ",
      "1:01.0 │      ▲         ",
    ]);
  });

  it("shows the newest runs where there are more than columns", () => {
    const runs = Array.from({ length: 30 }, (_, i) =>
      run(60 + (i === 29 ? 0 : 1), i === 29 ? 1 : 0),
    );
    const [slow, quick] = trendChart(runs, 20, 2, ASCII_GLYPHS);
    expect(slow).toBe("1:01.0 |ooooooooooo ");
    expect(quick).toBe("1:00.0 |           ^");
  });

  it("colours marks as a second cue without moving anything", () => {
    const paint = (mark: string, setupIndex: number): string => `<${String(setupIndex)}${mark}>`;
    const [row] = trendChart([run(60, 1)], 12, 1, ASCII_GLYPHS, paint);
    expect(row).toBe("1:00.5 |<1^>   ");
  });

  it("is blank before the first run", () => {
    expect(trendChart([], 10, 2, UNICODE_GLYPHS)).toEqual([" ".repeat(10), " ".repeat(10)]);
  });

  it("is exactly as large as asked for, whatever the runs", () => {
    const runs = fc.array(
      fc.record({
        timeS: fc.double({ min: 0, max: 1e4 }),
        setupIndex: fc.nat(9),
        isCounted: fc.boolean(),
      }),
    );
    fc.assert(
      fc.property(
        runs,
        fc.integer({ min: 9, max: 120 }),
        fc.integer({ min: 2, max: 12 }),
        (ridden, width, height) => {
          const rows = trendChart(ridden, width, height, UNICODE_GLYPHS);
          expect(rows).toHaveLength(height);
          for (const row of rows) expect(stringWidth(row)).toBe(width);
        },
      ),
      { seed: 20260509, numRuns: 1000 },
    );
  });
});
