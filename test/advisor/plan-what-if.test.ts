// A plan that is changed a little before the day.
import { describe, expect, it } from "vitest";
import { planDay } from "../../src/advisor/plan-day.ts";
import { changedSheet } from "../../src/advisor/plan-what-if.ts";
import { UserError } from "../../src/domain/errors.ts";
import { AS_PLANNED, type WhatIf } from "../../src/domain/plan.ts";
import { swapMinutes } from "../../src/domain/session.ts";
import { type SessionGiven, sheetOf } from "./sessions.ts";

const given: SessionGiven = {
  setups: ["A", "B", "C"],
  riders: [
    { id: "R1", newTo: ["C"] },
    { id: "R2", setups: ["A", "C"], plannedRuns: 9 },
  ],
  swaps: [
    { from: "A", to: "B", minutes: 12, place: "car" },
    { from: "A", to: "C", minutes: 4 },
  ],
  settings: { plannedRuns: 12, mainSetup: "C", lapMinutes: 9, minutes: 240 },
};
const changed = (whatIf: Partial<WhatIf>, of: SessionGiven = given) =>
  changedSheet(sheetOf(of), { ...AS_PLANNED, ...whatIf });

describe("a changed plan", () => {
  it("is the declared one where nothing is changed", () => {
    expect(changed({})).toEqual(sheetOf(given));
  });

  it("has runs more or fewer of every rider", () => {
    const more = changed({ runs: 2 });
    expect(more.settings.plannedRuns).toBe(14);
    expect(more.riders.map((rider) => rider.plannedRuns)).toEqual([null, 11]);
    expect(planDay(more).runs).toBe(14);
    expect(changed({ runs: -3 }).settings.plannedRuns).toBe(9);
    expect(() => changed({ runs: -12 })).toThrow("no run would be left");
  });

  it("counts from the runs that fill the hours where none are planned", () => {
    const open = { ...given, settings: { ...given.settings, plannedRuns: null, bands: "open" } };
    const filled = planDay(sheetOf(open as SessionGiven)).runs ?? 0;
    expect(planDay(changed({ runs: -2 }, open as SessionGiven)).runs).toBe(filled - 2);
    const nothing = { settings: { plannedRuns: null, bands: "open" as const } };
    expect(() => changed({ runs: 1 }, nothing)).toThrow("no number of runs is planned");
  });

  it("leaves a set-up out of everything", () => {
    const sheet = changed({ without: ["C"] });
    expect(sheet.setups.map(({ id }) => id)).toEqual(["A", "B"]);
    expect(sheet.settings.mainSetup).toBeNull();
    expect(sheet.riders.map(({ newTo, setups }) => [newTo, setups])).toEqual([
      [[], null],
      [[], ["A"]],
    ]);
    const order = planDay({ ...sheet, riders: sheet.riders.slice(0, 1) }).order;
    expect(order.join("")).toBe("ABBAABBAABBA");
  });

  it("is refused without the baseline, or with it alone", () => {
    expect(() => changed({ without: ["A"] })).toThrow(UserError);
    expect(() => changed({ without: ["A"] })).toThrow("A is the baseline");
    expect(() => changed({ without: ["B", "C"] })).toThrow("A alone is left");
    // Too short is what the plan itself says.
    expect(() => planDay(changed({ runs: -8 }))).toThrow("too few runs");
  });

  it("swaps quicker or slower, those without minutes too, never below none", () => {
    const { swaps } = changed({ swapMinutes: -5 });
    expect(swapMinutes(swaps, "A", "B")).toBe(7);
    expect(swapMinutes(swaps, "C", "A")).toBe(0);
    expect(swaps.find(({ from, to }) => from === "B" && to === "A")?.place).toBe("car");
    expect(swapMinutes(changed({ swapMinutes: 3 }).swaps, "B", "C")).toBe(3);
  });
});
