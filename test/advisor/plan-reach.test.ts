// What a plan says that it can show: both ends of what is known of the spread, the curve against the
// number of runs, and the last look by itself against the noncentral t distribution.
import { describe, expect, it } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { planDay } from "../../src/advisor/plan-day.ts";
import { FEWEST_PLANNED_DF } from "../../src/stats/thresholds.ts";
import { noncentralTail } from "../reference/noncentral-t.ts";
import { type SessionGiven, sheetOf } from "./sessions.ts";

describe("the smallest difference", () => {
  // Lenth's noncentral t (see noncentral-t.ts): the last look alone finds it on nearly 80 % of days,
  // looks before it add the rest.
  it.each([
    ["two", 8, 0.77],
    ["two", 14, 0.785],
    ["two", 20, 0.79],
    ["two", 40, 0.795],
    ["three", 9, 0.755],
    ["three", 24, 0.79],
  ] as const)(
    "of %s set-ups and %i runs is found by the last look alone",
    (how, plannedRuns, least) => {
      const setups = how === "two" ? ["A", "B"] : ["A", "B", "C"];
      const plan = planDay(sheetOf({ setups, settings: { plannedRuns, spreadS: 1 } }));
      const [own] = fixPlan(sheetOf({ setups, settings: { plannedRuns } })).riders;
      // Of the pair with the widest band.
      const z2 = Math.min(...Object.values(own?.z2N ?? {}).map(Number));
      const multiplier = (plan.end_half_width_s ?? 0) * Math.sqrt(z2);
      const shift = (plan.smallest_difference_s?.at_spread ?? 0) * Math.sqrt(z2);
      const power = noncentralTail(multiplier, own?.nuN ?? 0, shift);
      expect(power).toBeGreaterThan(least);
      expect(power).toBeLessThan(0.8);
    },
  );
});

const given: SessionGiven = {
  settings: { plannedRuns: 14, spreadS: 1.6, spreadDf: 4, marginS: 2, spreads: "each" },
};
const withSettings = (settings: SessionGiven["settings"]) =>
  planDay(sheetOf({ settings: { ...given.settings, ...settings } }));

describe("both ends of what is known of the spread", () => {
  // 80 % interval of a standard deviation on 4 degrees of freedom, R 4.2: sqrt(4 / qchisq(p, 4)).
  const LOW = 0.7170605309955;
  const HIGH = 1.939260231225;

  it("come from the sheet's degrees of freedom as from measured ones", () => {
    const plan = withSettings({});
    const { at_spread: at = 0, low, high } = plan.smallest_difference_s ?? {};
    expect(low).toBeCloseTo(at * LOW, 9);
    expect(high).toBeCloseTo(at * HIGH, 9);
    const width = plan.end_half_width_s ?? 0;
    expect(plan.end_half_width_ends_s?.low).toBeCloseTo(width * LOW, 9);
    expect(plan.end_half_width_ends_s?.high).toBeCloseTo(width * HIGH, 9);
    expect(plan.spread).toEqual({ spread_s: 1.6, df: 4 });
    const told = withSettings({ spreadDf: null });
    expect(told.end_half_width_ends_s).toBeNull();
    expect(told.no_difference_reachable_ends).toBeNull();
  });

  it.each([
    [1.5, false, { low: true, high: false }, /out of reach .* unless the spread is at the low end/],
    [2.5, true, { low: true, high: false }, /out of reach .* if the spread is at the high end/],
    [
      0.5,
      false,
      { low: false, high: false },
      /the band never gets narrower than about \+-\d\.\d s/,
    ],
    [9, true, { low: true, high: true }, /^(?!.*out of reach)/],
  ] as const)("say whether %f s worth having can be ruled out", (marginS, is, ends, words) => {
    const plan = withSettings({ marginS });
    expect(plan.no_difference_reachable).toBe(is);
    expect(plan.no_difference_reachable_ends).toEqual(ends);
    expect(plan.warnings.join(" ")).toMatch(words);
  });

  it("without a spread everything else is still told, in spreads", () => {
    const plan = withSettings({ spreadS: null, spreadDf: null, lapMinutes: 9, minutes: 300 });
    expect(plan).toMatchObject({
      spread: null,
      smallest_difference_s: null,
      curve: [],
      fits: true,
    });
    const known = withSettings({ spreadS: 1 }).smallest_difference_s?.at_spread;
    expect(plan.smallest_difference_spreads).toBeCloseTo(known ?? 0, 12);
  });
});

describe("the curve", () => {
  it("goes from the fewest runs that carry a plan to twice the plan, through the plan", () => {
    const plan = withSettings({});
    // 8 runs less level, trend and a set-up.
    expect(8 - 3).toBe(FEWEST_PLANNED_DF);
    expect(plan.curve[0]?.runs).toBe(8);
    expect(plan.curve.at(-1)?.runs).toBe(28);
    const own = plan.curve.find(({ runs }) => runs === 14);
    expect(own?.smallest_difference_s).toBe(plan.smallest_difference_s?.at_spread);
    expect(own?.low_s).toBeCloseTo(plan.smallest_difference_s?.low ?? 0, 12);
    for (const { runs, smallest_difference_s: s } of plan.curve) {
      const alone = withSettings({ plannedRuns: runs });
      expect(s).toBe(alone.smallest_difference_s?.at_spread);
    }
  });

  it("falls with every whole cycle, and about as one over the root of the runs", () => {
    const curve = withSettings({ plannedRuns: 40 }).curve.filter(({ runs }) => runs % 4 === 0);
    const at = curve.map((point) => point.smallest_difference_s);
    expect(at).toEqual(at.toSorted((a, b) => b - a));
    const of = (n: number) => curve.find(({ runs }) => runs === n)?.smallest_difference_s ?? 0;
    expect(of(40) / of(80)).toBeGreaterThan(Math.SQRT2);
    expect(of(40) / of(80)).toBeLessThan(1.05 * Math.SQRT2);
  });

  it("of riders whose plan is theirs together is that plan's throughout", () => {
    const riders = ["R1", "R2", "R3", "R4", "R5", "R6"].map((id) => ({ id }));
    const plan = planDay(sheetOf({ riders, settings: { plannedRuns: 6, spreadS: 1 } }));
    const at = plan.curve.map((point) => point.smallest_difference_s);
    expect(plan.curve.map(({ runs }) => runs)).toContain(12);
    // Each rider alone would need 8 runs, and see less with them.
    expect(plan.curve[0]?.runs).toBeLessThan(6);
    for (const [i, s] of at.entries()) expect(s).toBeLessThanOrEqual((at[i - 2] ?? s) + 1e-12);
  });

  it("of several days has the same number on each, and a long one stays drawable", () => {
    const days = planDay(sheetOf({ settings: { plannedRuns: 20, days: 2, spreadS: 1 } }));
    for (const { runs } of days.curve) expect(runs % 2).toBe(0);
    const long = planDay(sheetOf({ settings: { plannedRuns: 199, spreadS: 1 } })).curve;
    expect(long.length).toBeLessThan(65);
    expect(long.map(({ runs }) => runs)).toContain(199);
  });
});
