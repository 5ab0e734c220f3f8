// The known word nearest to a mistyped one.
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { nearestWord, wordDistance } from "../../src/sheet/nearest.ts";

describe("wordDistance", () => {
  // Counted by hand: insert, delete, replace, swap of neighbours (Damerau 1964).
  test.each([
    ["", "", 0],
    ["", "abc", 3],
    ["kitten", "sitting", 3],
    ["margni", "margin", 1],
    ["ab", "ba", 1],
    ["lap_minuts", "lap_minutes", 1],
  ])("%j to %j takes %i", (a, b, distance) => {
    expect(wordDistance(a, b)).toBe(distance);
  });

  test("it is the same both ways, and 0 only for the same word", () => {
    const word = fc.stringMatching(/^[ab_]{0,6}$/);
    fc.assert(
      fc.property(word, word, (a, b) => {
        expect(wordDistance(a, b)).toBe(wordDistance(b, a));
        expect(wordDistance(a, b) === 0).toBe(a === b);
        expect(wordDistance(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length));
      }),
      { seed: 64 },
    );
  });
});

describe("nearestWord", () => {
  test("finds slips of the hand, not far-fetched words", () => {
    const known = ["margin_s", "minutes", "lap_minutes", "seed"];
    expect(nearestWord("Margin_S", known)).toBe("margin_s");
    expect(nearestWord("lapminutes", known)).toBe("lap_minutes");
    expect(nearestWord("minute", known)).toBe("minutes");
    expect(nearestWord("weather", known)).toBeNull();
    expect(nearestWord("x", known)).toBeNull();
    expect(nearestWord("x".repeat(65), known)).toBeNull();
    expect(nearestWord("a", [])).toBeNull();
    expect(nearestWord("C", ["A", "B"])).toBeNull();
  });
});
