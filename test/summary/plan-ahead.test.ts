// The plan as a session knows it, and with a few things otherwise.
import { describe, expect, it } from "vitest";
import { planDay } from "../../src/advisor/plan-day.ts";
import { AS_PLANNED } from "../../src/domain/plan.ts";
import { planAhead, sessionSpread } from "../../src/summary/plan-ahead.ts";
import { aDay, summaryOf } from "../tui/a-day.ts";

describe("the plan ahead", () => {
  const before = summaryOf(aDay({ runs: 0, given: { lapMinutes: 10, minutes: 300 } }));

  it("is the plan of the session's sheet", () => {
    const ahead = planAhead(before, AS_PLANNED);
    const { settings, riders, setups, hours, gear, swapCosts: swaps } = before;
    const plan = planDay({ settings, riders, setups, hours, gear, swaps });
    expect(ahead.plan).toEqual({
      ...plan,
      warnings: [...plan.warnings, expect.stringMatching(/how a run is started/)],
    });
    expect(ahead).toMatchObject({ refusal: null, setups: ["A", "B"], firstRider: null });
    expect(ahead.plan?.runs).toBe(12);
  });

  it("answers what if, in words where there is no such plan", () => {
    expect(planAhead(before, { ...AS_PLANNED, runs: 3 }).plan?.runs).toBe(15);
    const short = planAhead(before, { ...AS_PLANNED, runs: -5 });
    expect(short.plan).toBeNull();
    expect(short.refusal).toMatch(/planned_runs = 7: too few runs .*plan at least 8 runs/);
    const alone = planAhead(before, { ...AS_PLANNED, without: ["B"] });
    expect(alone.refusal).toContain("A alone is left");
  });

  it("is worked out again only when something has changed", () => {
    const ahead = planAhead(before, AS_PLANNED);
    const again = summaryOf(aDay({ runs: 0, given: { lapMinutes: 10, minutes: 300 } }));
    expect(planAhead(again, AS_PLANNED, ahead)).toBe(ahead);
    expect(planAhead(again, { ...AS_PLANNED, runs: 1 }, ahead)).not.toBe(ahead);
  });

  it("takes the spread of what was ridden, with the sheet's where that was measured", () => {
    expect(sessionSpread(before)).toBeNull();
    const ridden = summaryOf(aDay({ runs: 10 }));
    const [own] = ridden.comparison.riders;
    // Ten runs less level, trend and a set-up.
    expect(sessionSpread(ridden)).toEqual({ spreadS: own?.spread_s, df: 7 });
    const settings = { ...ridden.settings, spreadS: 1.5, spreadDf: 20 };
    const both = sessionSpread({ ...ridden, settings });
    expect(both?.df).toBe(27);
    expect(planAhead({ ...ridden, settings }, AS_PLANNED).plan?.spread).toEqual({
      spread_s: both?.spreadS,
      df: 27,
    });
  });
});
