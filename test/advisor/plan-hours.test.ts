// The hours of a planned day, every minute reckoned by hand beside it.
import { describe, expect, it } from "vitest";
import { planDay } from "../../src/advisor/plan-day.ts";
import type { Break, DayHours } from "../../src/domain/day-hours.ts";
import type { Plan } from "../../src/domain/plan.ts";
import type { Settings } from "../../src/domain/session.ts";
import { type SessionGiven, sheetOf } from "./sessions.ts";

const breakAfter = (afterRun: number, minutes: number, name: string | null = null): Break => ({
  afterRun,
  at: null,
  minutes,
  name,
});
const breakAt = (time: string, minutes: number): Break => ({
  afterRun: null,
  at: time,
  minutes,
  name: null,
});

/** Eight runs of 10 min with swaps of 5 at the top: ABBAABBA, 40 + 80 + 4 x 5 = 140 min. */
function planWith(
  hours: Partial<DayHours>,
  settings: Partial<Settings> = {},
  given: SessionGiven = {},
): Plan {
  return planDay(
    sheetOf({
      swaps: [{ from: "A", to: "B", minutes: 5, place: "top" }],
      ...given,
      hours,
      settings: { plannedRuns: 8, lapMinutes: 10, minutes: 300, spreadS: 1, ...settings },
    }),
  );
}

const rows = (plan: Plan): string[] => plan.timetable.map((line) => `${line.at} ${line.what}`);
const said = (plan: Plan): string => plan.warnings.join("\n");

describe("the day round the runs", () => {
  it("starts with the arrival and ends with packing, in times of day", () => {
    const plan = planWith({ arriveAt: "08:30", gatesMinutes: 40, packMinutes: 30 });
    expect(rows(plan)).toEqual([
      "08:30 arrival",
      "08:30 gates up and checked (40 min)",
      "09:10 warm-up, 4 laps",
      "09:50 run 1 on A",
      "10:00 swap (5 min, top), run 2 on B",
      "10:15 run 3 on B",
      "10:25 swap (5 min, top), run 4 on A",
      "10:40 run 5 on A",
      "10:50 swap (5 min, top), run 6 on B",
      "11:05 run 7 on B",
      "11:15 swap (5 min, top), run 8 on A",
      "11:30 last finish",
      "12:00 everything packed",
    ]);
    expect(plan).toMatchObject({ minutes: 100, day_minutes: 140, fits: true });
  });

  it("counts from the first start where no arrival is known", () => {
    const plan = planWith({ gatesMinutes: 40, packMinutes: 30 });
    expect(rows(plan).slice(0, 2)).toEqual([
      "-0:40 gates up and checked (40 min)",
      "0:00 warm-up, 4 laps",
    ]);
    expect(rows(plan).slice(-2)).toEqual(["2:20 last finish", "2:50 everything packed"]);
  });

  it("says so where the gates take no time, and past midnight", () => {
    expect(said(planWith({ arriveAt: "08:30" }))).toContain("gates_minutes is missing");
    const late = planWith({ arriveAt: "22:00", gatesMinutes: 30 });
    expect(said(late)).toContain("the last finish would be after midnight");
    expect(rows(late).at(-1)).toBe("00:50 last finish");
  });
});

describe("breaks", () => {
  it("after a run and at a time of day; a short one needs no warm-up", () => {
    const hours = { arriveAt: "09:00", gatesMinutes: 0 };
    const plan = planWith({ ...hours, breaks: [breakAfter(2, 20, "tea"), breakAt("10:31", 15)] });
    expect(rows(plan).slice(2, 9)).toEqual([
      "09:40 run 1 on A",
      "09:50 swap (5 min, top), run 2 on B",
      "10:05 tea (20 min)",
      "10:25 run 3 on B",
      // Run 3 is back at 10:35, the first moment after 10:31.
      "10:35 break (15 min)",
      "10:50 swap (5 min, top), run 4 on A",
      "11:05 run 5 on A",
    ]);
    expect(plan.day_minutes).toBe(140 + 35);
  });

  it("longer than 20 min end with a warm-up lap on what is ridden next", () => {
    const plan = planWith({ breaks: [breakAfter(3, 21)] });
    expect(rows(plan).slice(4, 8)).toEqual([
      "1:15 break (21 min)",
      "1:36 swap (5 min, top), warm-up lap after the break on A",
      "1:51 run 4 on A",
      "2:01 run 5 on A",
    ]);
    expect(plan.day_minutes).toBe(140 + 21 + 10);
    // Only what is counted is in the plan's own minutes.
    expect(plan.minutes).toBe(100);
  });

  it("that fall before the first start put it off", () => {
    const plan = planWith({ arriveAt: "08:00", gatesMinutes: 30, breaks: [breakAt("08:10", 15)] });
    expect(rows(plan)[3]).toBe("08:45 warm-up, 4 laps");
    expect(plan.day_minutes).toBe(140);
  });

  it("that never come are left out and said to be", () => {
    const late = planWith({ arriveAt: "09:00", breaks: [breakAfter(8, 15), breakAt("13:00", 30)] });
    expect(late.day_minutes).toBe(140);
    expect(said(late)).toContain("the break after run 8 never comes before a run: it is left out");
    expect(said(late)).toContain("the break at 13:00 never comes");
  });
});

describe("daylight", () => {
  const until = (lightUntil: string, packMinutes = 0): Plan =>
    planWith({ arriveAt: "16:40", gatesMinutes: 30, lightUntil, packMinutes });

  it("that ends before the last finish leaves fewer runs", () => {
    // First start 17:10, last finish 19:30; without run 8, which takes 15, 19:15.
    const plan = until("19:20");
    expect(plan.fits).toBe(false);
    expect(said(plan)).toContain(
      "daylight ends at 19:20, the last finish would be at 19:30: 7 runs would do",
    );
    expect(until("19:30").fits).toBe(true);
    expect(said(until("17:20"))).toContain("not one run would do");
  });

  it("may be enough for the runs and not for packing", () => {
    const plan = until("19:40", 20);
    expect(plan.fits).toBe(true);
    expect(said(plan)).toContain("daylight ends at 19:40, packing would go on until 19:50");
  });

  it("that ends before the first start is said to", () => {
    expect(said(until("17:00"))).toContain("before the first start at 17:10");
  });

  it("fills the day where neither hours nor runs are named", () => {
    const hours = { arriveAt: "16:40", gatesMinutes: 30, lightUntil: "19:20" };
    const open = { plannedRuns: null, minutes: null, bands: "open" } as const;
    expect(planWith(hours, open).runs).toBe(7);
    expect(said(planWith({ lightUntil: "19:20" }))).toContain("light_until needs arrive");
  });
});

describe("rest, mechanics, half days", () => {
  it("least rest makes laps longer where way up and swap are not enough", () => {
    // A run of 2 min and 11 of rest make 13; with a swap the lap of 15 is enough.
    const plan = planWith({ restMinutes: 11 }, { expectedRunS: 120 });
    // Four laps of warm-up at 13; then 13 or 15 from start to start, 10 after the last.
    expect(plan.day_minutes).toBe(4 * 13 + 3 * 13 + 4 * 15 + 10);
    expect(plan.minutes).toBe(3 * 13 + 4 * 15 + 10);
    expect(said(plan)).toContain(
      "rest_minutes = 11 makes a lap without a swap longer: from 10 to 13 min",
    );
    expect(said(planWith({ restMinutes: 8 }, { expectedRunS: 120 }))).not.toContain("rest_minutes");
    expect(said(planWith({ restMinutes: 8 }, { expectedRunS: null }))).toContain(
      "rest_minutes needs expected_run_s",
    );
  });

  it("a lap shorter than the run itself is not believed", () => {
    const plan = planWith({}, { expectedRunS: 720 });
    expect(said(plan)).toContain("lap_minutes = 10 is shorter than expected_run_s");
    expect(plan.day_minutes).toBe(12 * 12 + 4 * 5);
  });

  it("swaps queue for mechanics, the longest first", () => {
    const riders = ["R1", "R2", "R3"].map((id) => ({ id }));
    const swaps = [
      { from: "A", to: "B", minutes: 12, place: "car" },
      { from: "B", to: "A", minutes: 6, place: "top" },
    ];
    const second = (mechanics: number | null): string | undefined =>
      rows(planWith({}, { plannedRuns: 4 }, { riders, swaps, gear: { mechanics } }))[2];
    const ridden = "run 2: R1 on B, R2 on A, R3 on B";
    expect(second(null)).toBe(`0:50 swap (12 min, car and top), ${ridden}`);
    // 12 and 12 at once, then 6; one after another 12, 12, 6.
    expect(second(2)).toBe(`0:50 swap (18 min in 2 rounds, car and top), ${ridden}`);
    expect(second(1)).toBe(`0:50 swap (30 min in 3 rounds, car and top), ${ridden}`);
    expect(second(3)).toBe(second(null));
  });

  it("more starts than a rider may have in five hours", () => {
    // All 12 starts lie within 2:20.
    const most = (mostRunsHalfDay: number, breaks: readonly Break[] = []): string =>
      said(planWith({ mostRunsHalfDay, breaks }));
    expect(most(11)).toContain(
      "R1 would start 12 times in half a day (5 hours), warm-up and practice included: more than most_runs_half_day = 11",
    );
    expect(most(12)).not.toContain("half a day");
    // A lunch of an hour begins anew: 4 + 4 before it, 1 + 4 after it.
    expect(most(8, [breakAfter(4, 60)])).not.toContain("half a day");
    expect(most(7, [breakAfter(4, 60)])).toContain("would start 8 times");
  });

  it("shared bikes are said to make the day longer", () => {
    const bike = { axle: null, rotor: null, freehub: null };
    const bikes = [{ id: "b1", name: "Bike", size: null, riders: null, standards: bike }];
    const plan = planWith({}, {}, { riders: [{ id: "R1" }, { id: "R2" }], gear: { bikes } });
    expect(said(plan)).toContain("2 riders share 1 bike");
  });
});

describe("what cannot be reckoned with", () => {
  it("no lap, no minutes left", () => {
    expect(said(planWith({ breaks: [breakAfter(2, 20)] }, { lapMinutes: null }))).toContain(
      "lap_minutes is missing",
    );
    const open = { plannedRuns: null, bands: "open" } as const;
    const short = planWith({}, { ...open, minutes: 9 });
    expect(short).toMatchObject({ runs: 0, fits: false, timetable: [], order: [] });
    expect(said(short)).toContain("minutes = 9 is shorter than one lap of 10 min: no run fits");
    expect(said(planWith({}, { ...open, minutes: 45 }))).toContain("no run fits in 45 min");
    expect(said(planWith({}, { minutes: 45 }))).toContain("not one run would fit");
  });

  it("a swap that a detour beats, and swaps without minutes", () => {
    const three = (swaps: SessionGiven["swaps"]): string =>
      said(planWith({}, { plannedRuns: 12 }, { setups: ["A", "B", "C"], swaps: swaps ?? [] }));
    const direct = { from: "A", to: "C", minutes: 30 };
    const legs = [
      { from: "A", to: "B", minutes: 5 },
      { from: "B", to: "C", minutes: 6 },
    ];
    expect(three([direct, ...legs])).toContain(
      "the swap from A to C takes 30 min, by way of B only 11: check the minutes in [[swaps]]",
    );
    expect(three([{ ...direct, minutes: 11 }, ...legs])).not.toContain("by way of");
    expect(three([direct])).toContain("no minutes are named for the swaps A-B, B-C: taken as 0");
    expect(three([])).not.toContain("no minutes are named");
  });

  it("a single set-up", () => {
    const plan = planWith({}, {}, { setups: ["A"], swaps: [] });
    expect(said(plan)).toContain("there is one set-up alone: nothing is compared");
    expect(plan.smallest_difference_s).toBeNull();
  });

  it("no text of it shows what is no number", () => {
    const odd: readonly Partial<Settings>[] = [
      { minutes: 1 },
      { lapMinutes: 0.01 },
      { spreadS: 1e-9, spreadDf: 0.5 },
      { plannedRuns: 8, drift: "none", spreads: "each", marginS: 1e-6 },
      { expectedRunS: 86_400 },
      { plannedRuns: null, bands: "open", minutes: null },
    ];
    for (const settings of odd) {
      const plan = planWith({ arriveAt: "00:00", lightUntil: "23:59", restMinutes: 0 }, settings);
      expect(JSON.stringify(plan)).not.toMatch(/NaN|Infinity|undefined/);
    }
  });
});

describe("a session that explores", () => {
  const explored = {
    settings: [{ key: "rear_pressure_bar", low: 1.4, high: 1.8, step: 0.1 }],
    checkRuns: 8,
  };
  const sheet = (settings: Partial<Settings>, setups: readonly string[] = ["A"]) => ({
    ...sheetOf({ setups, settings: { lapMinutes: 10, minutes: 300, spreadS: 1, ...settings } }),
    explored,
  });

  it("tries values, then checks the one found back to back", () => {
    const plan = planDay(sheet({ plannedRuns: 12 }));
    expect(plan).toMatchObject({ runs: 12, order: [], swaps: 0, exploring: { check_runs: 8 } });
    // 4 laps of warm-up, 12 tried, 8 checked.
    expect(plan).toMatchObject({ minutes: 200, day_minutes: 240, fits: true, curve: [] });
    expect(rows(plan).slice(12, 15)).toEqual([
      "2:30 exploring run 12",
      "2:40 closing check, run 1 on the present values",
      "2:50 closing check, run 2 on the values found",
    ]);
  });

  it("promises what its closing check does, whatever has been tried", () => {
    const check = planDay(sheetOf({ settings: { plannedRuns: 8, spreadS: 1 } }));
    const plan = planDay(sheet({ plannedRuns: 12 }));
    expect(plan.smallest_difference_s).toEqual(check.smallest_difference_s);
    expect(planDay(sheet({ plannedRuns: 12 }, ["A", "C", "D", "E"]))).toEqual(plan);
  });

  it("fills the hours with values to try", () => {
    // 300 - 40 - 80.
    expect(planDay(sheet({ plannedRuns: null, bands: "open" })).runs).toBe(18);
  });
});
