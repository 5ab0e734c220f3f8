import { describe, expect, it } from "vitest";
import { type LastPress, pressCounts } from "../../../src/tui/keys/debounce.ts";

/** Which of the presses count, each remembered as the console does. */
function counting(presses: readonly LastPress[]): readonly boolean[] {
  return presses.map((press, i) => pressCounts(presses[i - 1], press));
}

describe("pressCounts", () => {
  it("counts a bounce once and a second press after 300 ms again", () => {
    const at = (atMs: number): LastPress => ({ key: "space", atMs });
    expect(counting([at(0), at(40), at(339), at(639)])).toEqual([true, false, false, true]);
  });

  it("never holds back another key", () => {
    expect(
      counting([
        { key: "s", atMs: 0 },
        { key: "f", atMs: 5 },
        { key: "s", atMs: 10 },
      ]),
    ).toEqual([true, true, true]);
  });

  it("counts a held key at most once more than it was pressed", () => {
    const repeats = Array.from({ length: 60 }, (_, i) => ({ key: "space", atMs: 500 + 33 * i }));
    const counted = counting([{ key: "space", atMs: 0 }, ...repeats]).filter(Boolean);
    expect(counted).toHaveLength(2);
  });

  it("counts if the clock went back", () => {
    expect(pressCounts({ key: "s", atMs: 1000 }, { key: "s", atMs: 900 })).toBe(true);
  });
});
