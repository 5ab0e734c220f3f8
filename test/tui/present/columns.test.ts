import fc from "fast-check";
import stringWidth from "string-width";
import { describe, expect, it } from "vitest";
import { listWindow, tableRow, tableWidth } from "../../../src/tui/present/columns.ts";
import { ASCII_GLYPHS, UNICODE_GLYPHS } from "../../../src/tui/present/glyphs.ts";
import { safeText } from "../../../src/tui/present/safe-text.ts";
import { setupLabel, setupMark } from "../../../src/tui/present/setup-mark.ts";

const COLUMNS = [
  { width: 3, align: "right" },
  { width: 8, align: "left" },
  { width: 9, align: "right" },
] as const;

describe("table", () => {
  it("sets cells in fixed columns", () => {
    expect(tableRow(["7", "B ▲ Insert", "1:02.345"], COLUMNS, "…")).toBe("  7 B ▲ Ins…  1:02.345");
    expect(tableWidth(COLUMNS)).toBe(22);
  });

  it("is exactly as wide as its columns, whatever the names", () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: "grapheme" }), { maxLength: 4 }), (names) => {
        expect(stringWidth(tableRow(names.map(safeText), COLUMNS, "~"))).toBe(tableWidth(COLUMNS));
      }),
      { seed: 20260509, numRuns: 1000 },
    );
  });
});

describe("list window", () => {
  it("follows the newest rows", () => {
    expect(listWindow(100, 10, null)).toEqual({ first: 90, end: 100 });
    expect(listWindow(4, 10, null)).toEqual({ first: 0, end: 4 });
    expect(listWindow(0, 10, null)).toEqual({ first: 0, end: 0 });
  });

  it("always holds the selected row and never more than fits", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 500 }),
        fc.integer({ min: 1, max: 60 }),
        fc.nat(499),
        (length, height, wish) => {
          const selected = wish % length;
          const { first, end } = listWindow(length, height, selected);
          expect(end - first).toBe(Math.min(length, height));
          expect(first).toBeLessThanOrEqual(selected);
          expect(end).toBeGreaterThan(selected);
          expect(end).toBeLessThanOrEqual(length);
        },
      ),
      { seed: 20260509, numRuns: 1000 },
    );
  });
});

describe("set-up marks", () => {
  it("are letter, shape and name, in both sets of characters", () => {
    expect([0, 1, 2, 3, 4].map((i) => setupMark("ABCDE"[i] ?? "", i, UNICODE_GLYPHS))).toEqual([
      "A ●",
      "B ▲",
      "C ■",
      "D ◆",
      "E ●",
    ]);
    expect([0, 1, 2, 3].map((i) => setupMark("ABCD"[i] ?? "", i, ASCII_GLYPHS))).toEqual([
      "A o",
      "B ^",
      "C #",
      "D *",
    ]);
    expect(setupLabel("B", "In\u001b[2Jsert", 1, UNICODE_GLYPHS)).toBe("B ▲ Insert");
  });

  it("are one column wide each, all characters of both sets", () => {
    for (const glyphs of [UNICODE_GLYPHS, ASCII_GLYPHS]) {
      const { plusMinus, setupMarks, ...single } = glyphs;
      for (const glyph of [...setupMarks, ...Object.values(single)]) {
        expect(stringWidth(glyph)).toBe(1);
      }
      expect(stringWidth(plusMinus)).toBeLessThanOrEqual(2);
    }
    expect(JSON.stringify(ASCII_GLYPHS)).toMatch(/^[ -~]+$/);
  });
});
