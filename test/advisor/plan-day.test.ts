// What a day can show before it is ridden, and what is fixed of it.
import { describe, expect, it } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { planDay } from "../../src/advisor/plan-day.ts";
import { planRefusal } from "../../src/advisor/plan-refusal.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { Settings, Sheet } from "../../src/domain/session.ts";
import { bodies } from "../../src/journal/content.ts";
import { type SessionGiven, sheetOf } from "./sessions.ts";

const insertTest: SessionGiven = {
  riders: [{ id: "R1", newTo: ["B"] }],
  swapMinutes: 12,
  settings: {
    plannedRuns: 14,
    minutes: 300,
    lapMinutes: 9,
    spreadS: 1.6,
    marginS: 2.5,
    spreads: "each",
  },
};

function sheet(given: SessionGiven, settings: Partial<Settings> = {}): Sheet {
  return sheetOf({ ...given, settings: { ...given.settings, ...settings } });
}

function warningsOf(given: SessionGiven, settings: Partial<Settings> = {}): string {
  return planDay(sheet(given, settings)).warnings.join("\n");
}

describe("the order and its hours", () => {
  it("14 runs of 9 min with swaps of 12 min", () => {
    const plan = planDay(sheet(insertTest));
    expect(plan).toMatchObject({ format: "swaplap-plan", version: 1, runs: 14, fits: true });
    expect(plan.order.join("")).toBe("ABBAABBAABBAAB");
    // By hand: 14 x 9 + 7 x 12.
    expect(plan.swaps).toBe(7);
    expect(plan.minutes).toBe(210);
    expect(plan.practice).toEqual([{ rider: "R1", setup: "B", runs: 3 }]);
    expect(plan.timetable[0]).toEqual({ at: "0:00", what: "warm-up, 4 laps" });
    // By hand: 4 x 9 of warm-up, 12 + 27 of practice, 12 back to A.
    expect(plan.timetable[2]).toEqual({ at: "1:15", what: "swap (12 min), run 1 on A" });
    expect(plan.timetable.at(-1)).toEqual({ at: "4:57", what: "last finish" });
  });

  it("fit with warm-up and practice, or do not", () => {
    // By hand: 4 x 9 of warm-up, 12 + 27 + 12 of practice, 210 of the plan; the 14th run takes 21.
    expect(planDay(sheet(insertTest, { minutes: 297 }))).toMatchObject({
      fits: true,
      day_minutes: 297,
    });
    const plan = planDay(sheet(insertTest, { minutes: 296 }));
    expect(plan.fits).toBe(false);
    expect(plan.warnings[0]).toBe(
      "does not fit: 14 runs with warm-up, practice, swaps and breaks take 297 of 296 min; 13 runs would fit",
    );
  });

  it("of two riders go side by side, the slower swap holding both", () => {
    const riders = [{ id: "R1" }, { id: "R2", newTo: ["B"] }];
    const swaps = [
      { from: "A", to: "B", minutes: 12 },
      { from: "B", to: "A", minutes: 6 },
    ];
    const settings = { plannedRuns: 8, lapMinutes: 9 };
    const { timetable } = planDay(sheetOf({ riders, swaps, settings }));
    expect(timetable.slice(0, 4)).toEqual([
      { at: "0:00", what: "warm-up, 4 laps" },
      { at: "0:36", what: "practice, 3 runs: R2 on B" },
      { at: "1:03", what: "run 1: R1 on A, R2 on B" },
      { at: "1:12", what: "swap (12 min), run 2: R1 on B, R2 on A" },
    ]);
  });

  it("are not known without a lap", () => {
    const plan = planDay(sheet(insertTest, { lapMinutes: null }));
    expect(plan).toMatchObject({ minutes: null, fits: null, timetable: [] });
  });

  it("are filled where no number of runs is planned", () => {
    const open = { plannedRuns: null, bands: "open", minutes: 180, lapMinutes: 8 } as const;
    const plan = planDay(sheetOf({ settings: open, swapMinutes: 10 }));
    // ABBAABBAABB: 4 x 8 + 11 x 8 + 5 x 10 = 170; a 12th run needs a swap: 188.
    expect(plan.runs).toBe(11);
    const unknown = planDay(sheetOf({ settings: { ...open, minutes: null } }));
    expect(unknown).toMatchObject({ runs: null, order: [], minutes: null, end_half_width_s: null });
  });
});

describe("what it can show", () => {
  // Multipliers at the last look, one spread, linear drift, 95 %: the published table of the plan
  // band's calibration (two set-ups, ABBA ...), rounded to two decimals.
  it.each([
    [8, 2.91],
    [10, 2.63],
    [12, 2.52],
    [16, 2.44],
    [20, 2.36],
    [24, 2.31],
    [30, 2.27],
    [40, 2.23],
  ])("%i runs end with a multiplier of %f", (plannedRuns, multiplier) => {
    const plan = planDay(sheetOf({ settings: { plannedRuns, spreadS: 1 } }));
    const fixed = fixPlan(sheetOf({ settings: { plannedRuns } }));
    const [z2 = Number.NaN] = Object.values(fixed.riders[0]?.z2N ?? {}).map(Number);
    const width = plan.end_half_width_s ?? Number.NaN;
    expect(Math.abs(width * Math.sqrt(z2) - multiplier)).toBeLessThan(0.006);
    const smallest = plan.smallest_difference_s?.at_spread ?? Number.NaN;
    expect(smallest).toBeCloseTo(width + 0.85 / Math.sqrt(z2), 12);
  });

  it("grows with the spread, and is unknown without one", () => {
    const at = (spreadS: number) => planDay(sheet(insertTest, { spreadS })).end_half_width_s ?? 0;
    expect(at(3.2) / at(1.6)).toBeCloseTo(2, 12);
    const plan = planDay(sheet(insertTest, { spreadS: null }));
    expect(plan).toMatchObject({ smallest_difference_s: null, end_half_width_s: null });
    expect(plan.no_difference_reachable).toBe(false);
  });

  it("says both ends of a measured spread, and nothing of a typed one", () => {
    expect(planDay(sheet(insertTest)).smallest_difference_s).toMatchObject({
      low: null,
      high: null,
    });
    const measured = planDay(sheet(insertTest), { spreadS: 1.6, df: 4 }).smallest_difference_s;
    const typed = planDay(sheet(insertTest)).smallest_difference_s;
    expect(measured?.at_spread).toBe(typed?.at_spread);
    // 80 % interval of a standard deviation on 4 degrees of freedom, R: sqrt(4 / qchisq(p, 4)).
    expect((measured?.low ?? 0) / (measured?.at_spread ?? 1)).toBeCloseTo(0.7170605309955, 9);
    expect((measured?.high ?? 0) / (measured?.at_spread ?? 1)).toBeCloseTo(1.939260231225, 9);
  });

  it("a margin in reach or out of it", () => {
    expect(planDay(sheet(insertTest)).no_difference_reachable).toBe(true);
    expect(planDay(sheet(insertTest, { marginS: 1 })).no_difference_reachable).toBe(false);
    expect(warningsOf(insertTest, { marginS: 1 })).toContain(
      "out of reach with 1.0 s worth having",
    );
  });

  it("the open band needs no refusal and is wider", () => {
    const open = planDay(sheet(insertTest, { bands: "open" })).end_half_width_s ?? 0;
    expect(open).toBeGreaterThan(planDay(sheet(insertTest)).end_half_width_s ?? 0);
  });
});

describe("a plan too short", () => {
  const refusal = (given: SessionGiven) => planRefusal(sheetOf(given));

  it.each([
    // Five degrees of freedom: runs less level, trend and set-ups - 1.
    [["A", "B"], "linear", 8],
    [["A", "B"], "none", 7],
    [["A", "B"], "learning", 9],
    [["A", "B", "C", "D"], "linear", 10],
  ] as const)("%j with drift %s needs %i runs", (setups, drift, smallest) => {
    const found = refusal({ setups, settings: { drift, plannedRuns: smallest - 1 } });
    expect(found).toBeInstanceOf(UserError);
    expect(found?.hint).toContain(`plan at least ${String(smallest)} runs`);
    expect(found?.hint).toContain('bands = "open"');
    expect(refusal({ setups, settings: { drift, plannedRuns: smallest } })).toBeNull();
    expect(refusal({ setups, settings: { drift, plannedRuns: 2, bands: "open" } })).toBeNull();
  });

  it("stops the plan and what would be fixed of it", () => {
    const short = sheetOf({ settings: { plannedRuns: 7 } });
    expect(() => planDay(short)).toThrow(UserError);
    expect(() => fixPlan(short)).toThrow(UserError);
  });

  it("of several riders counts together", () => {
    const riders = ["R1", "R2", "R3"].map((id) => ({ id }));
    // 3 x 4 runs - 3 levels - 3 slopes - 1 = 5.
    expect(refusal({ riders, settings: { plannedRuns: 4 } })).toBeNull();
    const found = refusal({ riders, settings: { plannedRuns: 3 } });
    expect(found?.hint).toContain("plan at least 4 runs");
    const plan = planDay(sheetOf({ riders, settings: { plannedRuns: 6, spreadS: 1 } }));
    expect(plan.warnings.join("\n")).toContain("together they have a plan");
    expect(plan.end_half_width_s).not.toBeNull();
  });
});

describe("warnings", () => {
  const differing = (values: Sheet["setups"][number]["values"]): Sheet => {
    const made = sheetOf(insertTest);
    const base = { rear_insert: "none", rear_pressure_bar: 1.6 };
    return {
      ...made,
      setups: made.setups.map((s) => ({
        ...s,
        values: s.baseline ? base : { ...base, ...values },
      })),
    };
  };

  it("two set-ups that differ in more than one thing", () => {
    const one = planDay(differing({ rear_insert: "foam" })).warnings.join("\n");
    expect(one).not.toContain("differs from");
    const two = planDay(differing({ rear_insert: "foam", rear_pressure_bar: 1.5 }));
    expect(two.warnings.join("\n")).toContain(
      "B differs from A in 2 things (rear_insert, rear_pressure_bar)",
    );
  });

  it("never repeat text that a sheet could hide something in", () => {
    const warnings = planDay(differing({ "\u001b[2Jred": 1, "=cmd": 2, rear_insert: "foam" }));
    expect(warnings.warnings.join("\n")).toContain("in 3 things (rear_insert, 2 more)");
    expect(warnings.warnings.join("")).not.toContain("\u001b");
  });

  it("two set-ups that are the same", () => {
    expect(planDay(differing({})).warnings.join("\n")).toContain(
      "B and A are the same on the sheet",
    );
  });

  it("too many set-ups for the hours", () => {
    const setups = ["A", "B", "C", "D"];
    const four = { setups, settings: { plannedRuns: 16, lapMinutes: 8, minutes: 180 } };
    const warnings = warningsOf({ ...four, swapMinutes: 10 });
    // By hand: 4 x 8 + 16 x 8 + 12 x 10; of nine runs 32 + 72 + 60, a tenth takes 18 more.
    expect(warnings).toContain("take 280 of 180 min; 9 runs would fit");
    expect(warnings).toContain(
      "4 set-ups cannot be sorted out in 180 min: the 9 runs that would fit are too few to promise anything; plan more time, or compare fewer",
    );
    expect(warnings).toContain("too many for so few runs");
    const more = warningsOf({ ...four, swapMinutes: 10 }, { minutes: 240 });
    expect(more).toMatch(
      /4 set-ups cannot be sorted out in 240 min: 13 runs show only differences of \d\.\d spreads/,
    );
    const two = warningsOf({ ...four, setups: ["A", "B"], swapMinutes: 10 });
    expect(two).not.toContain("sorted out");
  });

  it("nothing marked as new, and a trend that does not suit the runs", () => {
    expect(warningsOf({ settings: { plannedRuns: 12 } })).toContain("new_to");
    expect(warningsOf(insertTest)).not.toContain("new_to");
    expect(warningsOf(insertTest, { plannedRuns: 16 })).toContain('drift = "learning" may serve');
    expect(warningsOf(insertTest, { plannedRuns: 10, drift: "learning" })).toContain(
      'use "linear"',
    );
  });

  it("two riders whose own plans are too short for any band", () => {
    const riders = [{ id: "R1" }, { id: "R2" }];
    const plan = planDay(sheetOf({ riders, settings: { plannedRuns: 5, spreadS: 1, marginS: 1 } }));
    expect(plan.end_half_width_s).toBeNull();
    expect(plan.smallest_difference_s).toBeNull();
    expect(plan.warnings.join("\n")).toContain("too few for any band");
  });

  it("two riders get no pooled claim", () => {
    const riders = [{ id: "R1" }, { id: "R2" }];
    expect(warningsOf({ riders })).toContain("nothing is claimed for them together");
  });
});

describe("fixPlan", () => {
  it("is what the journal can hold, every second rider the other way round", () => {
    const riders = ["R1", "R2", "R3", "R4"].map((id) => ({ id }));
    const fixed = fixPlan(
      sheetOf({ riders, setups: ["A", "B", "C"], settings: { plannedRuns: 12, seed: 7 } }),
    );
    expect(bodies["plan-fixed"].parse(fixed)).toEqual(fixed);
    expect(fixed.riders.map((r) => r.order.join(""))).toEqual([
      "ABCCBAABCCBA",
      "CBAABCCBAABC",
      "ABCCBAABCCBA",
      "CBAABCCBAABC",
    ]);
    // 12 - level - trend - 2; z2 of a whole number of mirrored passes is n / (2 K), no trend left.
    expect(fixed.riders[0]?.nuN).toBe(8);
    for (const z2 of Object.values(fixed.riders[0]?.z2N ?? {})) expect(z2).toBeCloseTo(2, 12);
    expect(fixed).toMatchObject({ setups: ["A", "B", "C"], seed: 7 });
  });

  it("has one cycle and no figures without a number of runs", () => {
    const fixed = fixPlan(sheetOf({ settings: { plannedRuns: null, bands: "open" } }));
    expect(bodies["plan-fixed"].parse(fixed)).toEqual(fixed);
    expect(fixed.riders).toEqual([
      { rider: "R1", plannedRuns: null, order: ["A", "B", "B", "A"], nuN: null, z2N: { B: null } },
    ]);
  });
});
