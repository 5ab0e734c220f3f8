import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bigDigits, bigWidth } from "../../../src/tui/present/big-digits.ts";
import { ASCII_GLYPHS, UNICODE_GLYPHS } from "../../../src/tui/present/glyphs.ts";

describe("big digits", () => {
  it("draws a time five rows tall", () => {
    expect(bigDigits("1:02.7", 5, ASCII_GLYPHS)).toEqual([
      "    ##    ###### ######    ######",
      "    ## ## ##  ##     ##        ##",
      "    ##    ##  ## ######        ##",
      "    ## ## ##  ## ##            ##",
      "    ##    ###### ###### ##     ##",
    ]);
  });

  it("draws seven rows with blocks", () => {
    expect(bigDigits("4-", 7, UNICODE_GLYPHS)).toEqual([
      "██    ██         ",
      "██    ██         ",
      "██    ██         ",
      "████████ ████████",
      "      ██         ",
      "      ██         ",
      "      ██         ",
    ]);
  });

  it("draws each digit unlike every other, in both sizes", () => {
    for (const rows of [5, 7] as const) {
      const drawn = Array.from("0123456789-").map((digit) =>
        bigDigits(digit, rows, ASCII_GLYPHS).join("\n"),
      );
      expect(new Set(drawn).size).toBe(11);
    }
  });

  it("has room for a time of minutes in 80 columns at five rows and in 100 at seven", () => {
    expect(bigWidth("1:02.345", 5)).toBeLessThan(60);
    expect(bigWidth("1:02.345", 7)).toBeLessThan(80);
  });

  it("gives rows of the width it says, for any text", () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), fc.string({ unit: fc.constantFrom("0", "8", ":", ".", "-", " ") })),
        fc.constantFrom(5 as const, 7 as const),
        (text, rows) => {
          const drawn = bigDigits(text, rows, UNICODE_GLYPHS);
          expect(drawn).toHaveLength(rows);
          for (const row of drawn) expect(row.length).toBe(bigWidth(text, rows));
        },
      ),
      { seed: 20260509 },
    );
  });
});
