// Two equal set-ups are a check of the method.
import { expect, it } from "vitest";
import type { Setup } from "../../../src/domain/session.ts";
import { sameBikes } from "../../../src/summary/remarks/same-bike.ts";
import { countedRuns, type MadeSession } from "../../stats/made-session.ts";
import { mirrored, timesOf } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

const SHEET = { rear_insert: "none", rear_pressure_bar: 1.6 };
const EQUAL = { A: { values: SHEET }, B: { values: { ...SHEET } } };

function texts(
  setups: Readonly<Record<string, Partial<Setup>>>,
  effectS = 0,
  made: Partial<MadeSession> = {},
): string[] {
  const order = mirrored(12);
  const runs = countedRuns(order, timesOf(order, effectS));
  return sameBikes(basisOf({ runs, ...made }, setups)).map((remark) => remark.text);
}

const TESTS =
  "A and B are the same set-up: this tests the method; a difference called here would be a false one";

it("are told from their sheets", () => {
  expect(texts(EQUAL)).toEqual([TESTS]);
  expect(texts(EQUAL, 0, { runs: [] })).toEqual([TESTS]);
  expect(texts({ ...EQUAL, B: { values: { ...SHEET, rear_insert: "foam" } } })).toEqual([]);
  expect(texts({ ...EQUAL, B: { values: { rear_insert: "none" } } })).toEqual([]);
  expect(texts({ A: { values: SHEET, weightKg: 14 }, B: { values: SHEET, weightKg: 15 } })).toEqual(
    [],
  );
});

it("are not told from sheets without a value: nothing was declared", () => {
  expect(texts({})).toEqual([]);
});

it("say how often a difference is called between them, by the confidence of the session", () => {
  expect(texts(EQUAL, -6)).toEqual([
    "a difference was called between two equal set-ups, A and B: 1 day in 20 does that; look for what else changed",
  ]);
  expect(texts(EQUAL, 9, { settings: { confidence: 0.9 } })[0]).toMatch(/1 day in 10 does that/);
  expect(texts(EQUAL, 0, { settings: { marginS: 60 } })).toEqual([TESTS]);
});

it("are found among the others too", () => {
  const setups = ["A", "B", "C"];
  const others = { B: { values: SHEET }, C: { values: SHEET } };
  expect(texts(others, -6, { setups })).toEqual([TESTS.replace("A and B", "B and C")]);
});
