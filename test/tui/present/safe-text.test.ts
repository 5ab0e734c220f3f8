import fc from "fast-check";
import stringWidth from "string-width";
import { describe, expect, it } from "vitest";
import {
  cutText,
  fitText,
  safeText,
  textWidth,
  wrapText,
} from "../../../src/tui/present/safe-text.ts";

const ESC = "\u001b";
const text = fc.oneof(
  fc.string({ unit: "grapheme" }),
  fc.string({ unit: "binary" }),
  fc.string({
    unit: fc.constantFrom(
      ESC,
      "[",
      "3",
      "m",
      "]",
      "\u0007",
      "\u202e",
      "\u0301",
      "é",
      "三",
      " ",
      "a",
    ),
  }),
);
const seeded = { seed: 20260509, numRuns: 2000 };

describe("safeText", () => {
  it.each([
    ["a colour", `${ESC}[31mred${ESC}[0m`, "red"],
    ["a window title", `${ESC}]0;owned\u0007name`, "name"],
    ["a link", `${ESC}]8;;http://example.org${ESC}\\text${ESC}]8;;${ESC}\\`, "text"],
    ["a cleared screen", `a${ESC}[2J${ESC}cb`, "ab"],
    ["a C1 control", "a\u009b31mb", "a31mb"],
    ["a turned direction", "abc\u202etxt.exe\u2066", "abctxt.exe"],
    ["line ends and tabs", "one\r\n\ttwo\u2028three", "one two three"],
    ["invisible characters", "a\u200b\u00ad\ufeffb", "ab"],
    ["emoji", "go 🚵🏽‍♀️ now 🇦🇹 1️⃣", "go ?♀ now ?? 1"],
    ["a tower of marks", "a\u0300\u0301\u0302\u0303\u0304", "a\u0300\u0301"],
    ["private use", "a\ue000b", "ab"],
  ])("makes %s harmless", (_name, given, safe) => {
    expect(safeText(given)).toBe(safe);
  });

  it("leaves names of every script alone", () => {
    for (const name of ["José Müller", "Łukasz", "李小龍", "Ярослава", "עדי", "= 1+1", "A ● B"]) {
      expect(safeText(name)).toBe(name);
    }
  });

  it("never lets a control, a format character or half a character through", () => {
    fc.assert(
      fc.property(text, (given) => {
        const safe = safeText(given);
        expect(safe).not.toMatch(/[\p{C}\p{Zl}\p{Zp}]/u);
        expect(safeText(safe)).toBe(safe);
      }),
      seeded,
    );
  });
});

describe("widths", () => {
  it("cuts by columns, not by characters, and never in the middle of one", () => {
    expect(cutText("Insert", 6, "…")).toBe("Insert");
    expect(cutText("Insert, foam", 6, "…")).toBe("Inser…");
    expect(cutText("李小龍", 4, "…")).toBe("李…");
    expect(cutText("abc", 0, "…")).toBe("");
    expect(fitText("李小龍", 5, "~", "right")).toBe("李小~");
    expect(fitText("ab", 4, "~", "right")).toBe("  ab");
  });

  it("fits any safe text to exactly the width asked for", () => {
    fc.assert(
      fc.property(text, fc.integer({ min: 0, max: 40 }), (given, width) => {
        const fitted = fitText(safeText(given), width, "…");
        expect(textWidth(fitted)).toBe(width);
        expect(stringWidth(fitted)).toBe(width);
      }),
      seeded,
    );
  });

  it("breaks text at blanks, and words that are too long where they must be", () => {
    expect(wrapText("more runs today can hardly decide it", 14)).toEqual([
      "more runs",
      "today can",
      "hardly decide",
      "it",
    ]);
    expect(wrapText("abcdefgh ij", 3)).toEqual(["abc", "def", "gh", "ij"]);
    expect(wrapText("", 10)).toEqual([]);
  });

  it("loses nothing but blanks in breaking, and keeps to the width", () => {
    fc.assert(
      fc.property(text, fc.integer({ min: 2, max: 30 }), (given, width) => {
        const safe = safeText(given);
        const lines = wrapText(safe, width);
        expect(lines.join("").replaceAll(" ", "")).toBe(safe.replaceAll(" ", ""));
        for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(width);
      }),
      seeded,
    );
  });
});
