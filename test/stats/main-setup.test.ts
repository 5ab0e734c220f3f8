// A day that is about one set-up: who has which share of the level.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { pairLevels, riderPlan, setupsOf } from "../../src/stats/rider-plan.ts";
import { planThreshold } from "../../src/stats/thresholds.ts";
import { mainQuestion } from "../../src/summary/remarks/main-question.ts";
import { basisOf } from "../summary/remarks/basis-of.ts";
import { countedRuns, madeSession } from "./made-session.ts";

const IDS = ["A", "B", "C", "D", "E"];
const session = (setups: number, mainSetup: string | null) =>
  madeSession({ runs: [], setups: IDS.slice(0, setups), settings: { plannedRuns: 30, mainSetup } });

describe("the levels of a day about one set-up", () => {
  it("are three fifths for it and the rest alike, in all what was declared", () => {
    const input = session(4, "C");
    const levelOf = pairLevels(input, setupsOf(input));
    expect(["B", "C", "D"].map((id) => levelOf(id, "A"))).toEqual([
      expect.closeTo(0.01, 15),
      expect.closeTo(0.03, 15),
      expect.closeTo(0.01, 15),
    ]);
  });

  it("add up to the same whoever is compared with all the others", () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 5 }), fc.constantFrom(null, ...IDS), (count, main) => {
        const input = session(count, main);
        const levelOf = pairLevels(input, setupsOf(input));
        for (const leader of IDS.slice(0, count)) {
          const others = IDS.slice(0, count).filter((id) => id !== leader);
          const sum = others.reduce((total, id) => total + levelOf(id, leader), 0);
          expect(sum).toBeCloseTo(0.05, 12);
        }
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  it.each([
    [2, "B"],
    [3, "A"],
    [3, "E"],
    [3, null],
  ])("are alike with %i set-ups about %s", (count, main) => {
    const input = session(count, main);
    const levelOf = pairLevels(input, setupsOf(input));
    for (const id of IDS.slice(1, count))
      expect(levelOf(id, "A")).toBeCloseTo(0.05 / (count - 1), 15);
  });

  it("reach the bands: the threshold before the end is that of the pair's own share", () => {
    const input = session(3, "B");
    const plan = riderPlan(input, input.riders[0] ?? { ...NOBODY });
    const nuN = plan.figures?.nuN ?? 0;
    const order = ["A", "B", "C", "C", "B", "A", "A", "B", "C", "C", "B", "A"];
    const times = order.map((id, i) => 120 + 0.3 * ((i * 7) % 5) + (id === "B" ? -2 : 0));
    const ridden = {
      ...input,
      runs: madeSession({ runs: countedRuns(order, times), setups: ["A", "B", "C"] }).runs,
    };
    const [b, c] = compareRiders(ridden)[0]?.parts[0]?.pairs ?? [];
    expect(b?.df).toBeCloseTo(c?.df ?? 0, 12);
    expect(b?.multiplier).toBeLessThan(c?.multiplier ?? 0);
    const alike = compareRiders({ ...ridden, settings: { ...ridden.settings, mainSetup: null } });
    const [plain] = alike[0]?.parts[0]?.pairs ?? [];
    expect(b?.multiplier).toBeLessThan(plain?.multiplier ?? 0);
    expect(b?.difference_s).toBe(plain?.difference_s);
    expect(planThreshold("L1", 0.9 * 0.03, nuN)).toBeLessThan(
      planThreshold("L1", 0.9 * 0.025, nuN),
    );
  });
});

const NOBODY = { id: "R1", name: "R1", tag: null, newTo: [], setups: null, plannedRuns: null };

it("is told beside the comparison", () => {
  const runs = countedRuns(["A", "B", "C"], [100, 101, 102]);
  const about = (mainSetup: string | null, setups: readonly string[]): string[] =>
    mainQuestion(basisOf({ runs, setups, settings: { mainSetup } })).map(({ text }) => text);
  expect(about("B", ["A", "B", "C"])).toEqual([
    "the day is about B, as declared before run 1: its band is narrower for it; C: its band is wider",
  ]);
  expect(about("B", ["A", "B", "C", "D"])[0]).toMatch(/C, D: their bands are wider$/);
  expect(about(null, ["A", "B", "C"])).toEqual([]);
});
