// The warning about unequal counts: beyond 3:2, from five runs of the larger on.
import { expect, it } from "vitest";
import { unequalCounts } from "../../../src/summary/remarks/unequal-counts.ts";
import { countedRuns, type MadeSession } from "../../stats/made-session.ts";
import { timesOf } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

function texts(order: string, made: Partial<MadeSession> = {}, effectS = 0): string[] {
  const setups = Array.from(order);
  const runs = countedRuns(setups, timesOf(setups, effectS));
  const settings = { spreads: "each", plannedRuns: 20, ...made.settings } as const;
  return unequalCounts(basisOf({ ...made, runs, settings })).map((remark) => remark.text);
}

it("says both counts, what to ride and why", () => {
  expect(texts("BABBABBABBABB")).toEqual([
    "B 9 runs, A 4: ride A; the scarcer set-up decides the width",
  ]);
  expect(texts("ABBAABAAABAA")).toEqual([
    "A 8 runs, B 4: ride B; the scarcer set-up decides the width",
  ]);
});

it("begins beyond 3:2, and with five runs of the larger", () => {
  expect(texts("ABBABABBAB")).toEqual([]); // 6 and 4
  expect(texts("ABBABABBABB")).toHaveLength(1); // 7 and 4
  expect(texts("ABBBB")).toEqual([]); // 4 and 1
  expect(texts("ABBBBB")).toHaveLength(1); // 5 and 1
  expect(texts("BBBBBB")).toEqual([]); // that is another thing to be said
});

it("is one warning for a set-up that is scarce beside several", () => {
  const setups = ["A", "B", "C"];
  expect(texts("ABCBCBCABCBC", { setups })).toEqual([
    "B 5 runs, C 5, A 2: ride A; the scarcer set-up decides the width",
  ]);
});

it("is silent about a pair that is decided, unless one spread is trusted for all", () => {
  const order = "ABBABBABBABBABB";
  expect(texts(order, {}, -9)).toEqual([]);
  expect(texts(order, { settings: { spreads: "common" } }, -9)).toEqual([
    "B 10 runs, A 5: ride A; with one spread for all set-ups unequal counts can mislead",
  ]);
});

it("sends nobody out once the session is closed", () => {
  expect(texts("BABBABBABBABB", { isClosed: true })).toEqual([
    "B 9 runs, A 4: the scarcer set-up decides the width",
  ]);
});
