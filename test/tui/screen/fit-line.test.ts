import fc from "fast-check";
import stringWidth from "string-width";
import { describe, expect, it } from "vitest";
import { fitLine } from "../../../src/tui/screen/fit-line.ts";

const ESC = "\u001b";

describe("fitLine", () => {
  it("ends a coloured line so that the colour does not run on", () => {
    expect(fitLine(`${ESC}[1mB`, 3)).toBe(`${ESC}[1mB${ESC}[0m  `);
  });

  it("is exactly as wide as the terminal and free of controls, whatever it is given", () => {
    const text = fc.oneof(
      fc.string({ unit: "grapheme" }),
      fc.string({ unit: "binary" }),
      fc.string({ unit: fc.constantFrom(ESC, "[", "3", "1", "m", "]", "\u0007", "x", "●", "三") }),
    );
    fc.assert(
      fc.property(text, fc.integer({ min: 1, max: 120 }), (line, columns) => {
        const fitted = fitLine(line, columns);
        const printed = fitted.replace(new RegExp(`${ESC}\\[[0-9;:]*m`, "g"), "");
        expect(printed).not.toMatch(/\p{Cc}/u);
        expect(stringWidth(printed)).toBe(columns);
      }),
      { seed: 20260509, numRuns: 2000 },
    );
  });
});
