// A day on which riders share bikes: reckoned by hand for the simplest case.
import { describe, expect, it } from "vitest";
import { planDay } from "../../src/advisor/plan-day.ts";
import { sharedDay } from "../../src/advisor/plan-shared.ts";
import { sheetOf } from "./sessions.ts";

const none = { axle: null, rotor: null, freehub: null };
const bike = { id: "bike-1", name: "bike-1", size: null, riders: null, standards: none };

/** Two riders, one bike, laps of ten minutes of which a run takes five, swaps at once. */
const oneBike = (minutes: number) =>
  sheetOf({
    riders: [{ id: "R1" }, { id: "R2" }],
    settings: { plannedRuns: 8, minutes, lapMinutes: 10, expectedRunS: 300 },
    gear: { bikes: [bike] },
    hours: { breaks: [{ afterRun: 4, at: null, minutes: 30, name: null }] },
  });

describe("a bike for two", () => {
  it("is out 16 times, after a warm-up for each and with the break", () => {
    // 15 laps and the last run, 8 warm-up laps, the break: 155 + 80 + 30.
    expect(sharedDay(oneBike(300))?.minutes).toBeCloseTo(265, 6);
  });

  it("fits or not by those hours", () => {
    expect(planDay(oneBike(265)).fits).toBe(true);
    const late = planDay(oneBike(264));
    expect(late.fits).toBe(false);
    expect(late.warnings.join("\n")).toMatch(/the day takes 265 of 264 min.*does not fit/);
  });

  it("is nobody's concern where nothing is shared", () => {
    expect(sharedDay(sheetOf({ settings: { plannedRuns: 8, lapMinutes: 10 } }))).toBeNull();
  });
});
