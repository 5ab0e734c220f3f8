import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import { bandPlan, multipliersAt } from "../../src/stats/band-in-force.ts";
import { plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { countedRuns, type MadeSession } from "./made-session.ts";

import { mirrored, NOTHING, pairs, timesOf } from "./mirrored-day.ts";

describe("bands in force", () => {
  const order = mirrored(30);
  const times = timesOf(order, -0.2, 9);
  const at = (n: number, made: Partial<MadeSession> = {}): Pair | undefined =>
    pairs({
      runs: countedRuns(order.slice(0, n), times),
      ...made,
      settings: { plannedRuns: 20, ...made.settings },
    })[0];
  const planned = plannedFigures(["A", "B"], [planningOrder(["A", "B"], 20)], "linear");
  const z2N = planned.pair("B", "A")?.z2N ?? Number.NaN;

  it("plan band, last word, overtime", () => {
    const bands = bandPlan("plan", 0.05, { nuN: planned.nuN, z2N }, 20);
    // Simulated with another program, N = 20 linear: 2.72 a run before the end, 2.36 at it.
    expect(at(19)?.multiplier).toBeCloseTo(2.7219, 4);
    expect(at(20)?.multiplier).toBeCloseTo(2.3579, 4);
    expect(at(21)?.multiplier).toBeGreaterThan(3.7);
    expect(bands.at(21).outerL).toBeCloseTo(-Math.log(0.025), 12);
    expect(bands.at(21).innerL).toBeCloseTo(-Math.log(0.05), 12);
  });

  it("an earlier end counts if announced in time, once, and never a later one", () => {
    const end = (endRun: number, announcedAtRun: number) =>
      at(16, { plannedEnds: [{ rider: "R1", endRun, announcedAtRun }] })?.multiplier;
    const lastWord = end(16, 14);
    expect(lastWord).toBeLessThan(end(16, 15) ?? 0);
    expect(end(16, 15)).toBe(at(16)?.multiplier);
    expect(end(24, 10)).toBe(at(16)?.multiplier);
    const other = at(16, { plannedEnds: [{ rider: "R2", endRun: 16, announcedAtRun: 5 }] });
    expect(other?.multiplier).toBe(at(16)?.multiplier);
  });

  it("the open band spends its whole level before and after N", () => {
    const settings = { bands: "open" as const };
    const bands = bandPlan("open", 0.05, { nuN: planned.nuN, z2N }, 20);
    expect(bands.at(5)).toEqual(bands.at(25));
    expect(bands.at(5).outerL).toBeCloseTo(-Math.log(0.05), 12);
    expect(at(20, { settings })?.multiplier).toBeCloseTo(3.435, 3);
    expect(at(25, { settings })?.multiplier).toBeLessThan(3.435);
  });

  it("without planned runs the open band takes phi = 0.5, and nothing is forecast", () => {
    const pair = at(20, { settings: { bands: "open", plannedRuns: null } });
    const limits = { phi: 0.5, outerL: -Math.log(0.05), innerL: -Math.log(0.1) };
    expect(pair?.multiplier).toBeCloseTo(multipliersAt(limits, 17, 5).multiplier, 12);
    expect(pair).toMatchObject({ more_runs: null, chance_within_plan: null });
  });

  it("a plan too short for the plan band uses the open band with phi = 0.5", () => {
    const pair = at(12, { settings: { plannedRuns: 7 } });
    const limits = { phi: 0.5, outerL: -Math.log(0.05), innerL: -Math.log(0.1) };
    expect(pair?.multiplier).toBeCloseTo(multipliersAt(limits, 9, 3).multiplier, 12);
  });

  it("a set-up declared later raises the level's share for all and is read at the open band", () => {
    const runs = countedRuns([...mirrored(14), "C", "C", "C"], timesOf(mirrored(17), 0, 5));
    const late = { runs, setups: ["A", "B", "C"], plannedSetups: ["A", "B"] };
    const settings = { plannedRuns: 20 };
    const [b, c] = pairs({ ...late, settings });
    const df = 17 - 4;
    const z2 = (pair: Pair | undefined): number =>
      (0.5 * (pair?.cautious_s ?? 0)) / ((pair?.difference_s ?? 0) - (pair?.cautious_s ?? 0));
    const ofB = bandPlan("plan", 0.025, { nuN: planned.nuN, z2N }, 20);
    expect(b?.multiplier).toBeCloseTo(multipliersAt(ofB.at(17), df, z2(b)).multiplier, 9);
    const ofC = { phi: 0.5, outerL: -Math.log(0.025), innerL: -Math.log(0.05) };
    const wanted = multipliersAt(ofC, df, z2(c)).multiplier;
    if (Number.isFinite(wanted)) expect(c?.multiplier).toBeCloseTo(wanted, 9);
    else expect(c?.multiplier).toBeNull();
    expect(c?.runs).toBe(3);
  });

  it("planned but never ridden, a set-up still counts in the plan", () => {
    const runs = countedRuns(mirrored(12), times);
    const [b, c] = pairs({ runs, setups: ["A", "B", "C"], settings: { plannedRuns: 18 } });
    expect(c).toEqual({
      setup: "C",
      baseline: "A",
      runs: 0,
      baseline_runs: 6,
      new_to: false,
      ...NOTHING,
    });
    const three = ["A", "B", "C"];
    const plan = plannedFigures(three, [planningOrder(three, 18)], "linear");
    const pair = plan.pair("B", "A")?.z2N ?? Number.NaN;
    const bands = bandPlan("plan", 0.025, { nuN: plan.nuN, z2N: pair }, 18);
    expect([plan.nuN, b?.df]).toEqual([14, 9]);
    expect(b?.multiplier).toBeCloseTo(multipliersAt(bands.at(12), 9, 3).multiplier, 9);
  });
});
