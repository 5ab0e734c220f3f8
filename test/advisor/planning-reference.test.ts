// The advisor against test/reference/data/planning.json, made in R 4.2 by planning.R beside it.
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { chanceOfCall } from "../../src/advisor/chance-of-call.ts";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { adviseNextBy } from "../../src/advisor/next-setup.ts";
import { pairInformation, riddenDesign, withRun } from "../../src/advisor/ridden-design.ts";
import { riderStanding } from "../../src/advisor/rider-standing.ts";
import { spreadInterval } from "../../src/advisor/spread-interval.ts";
import type { IndexMultiplier } from "../../src/advisor/suggestion-rule.ts";
import { minutesUsed } from "../../src/advisor/time-left.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { runsOf, type SessionGiven, sessionOf, sheetOf } from "./sessions.ts";

interface Fixture {
  readonly name: string;
  readonly inputs: Readonly<Record<string, number | string | readonly number[]>>;
  readonly expected: Readonly<Record<string, unknown>>;
  readonly tolerance: number;
}

const file = new URL("../reference/data/planning.json", import.meta.url);
const { fixtures } = JSON.parse(readFileSync(file, "utf8")) as { fixtures: readonly Fixture[] };

function named(start: string): readonly Fixture[] {
  const found = fixtures.filter((fixture) => fixture.name.startsWith(start));
  if (found.length === 0) throw new RangeError(`planning.json has no ${start}`);
  return found;
}

function numberOf(fixture: Fixture, key: string): number {
  const value = fixture.inputs[key] ?? fixture.expected[key];
  if (typeof value !== "number") throw new RangeError(`${fixture.name} has no number ${key}`);
  return value;
}

function textOf(fixture: Fixture, key: string): string {
  const value = fixture.inputs[key] ?? fixture.expected[key];
  if (typeof value !== "string") throw new RangeError(`${fixture.name} has no text ${key}`);
  return value;
}

function recordOf(fixture: Fixture, key: string): Readonly<Record<string, number>> {
  const value = fixture.expected[key];
  if (typeof value !== "object" || value === null) {
    throw new RangeError(`${fixture.name} has no record ${key}`);
  }
  return value as Readonly<Record<string, number>>;
}

function timesOf(fixture: Fixture): readonly number[] {
  const { y } = fixture.inputs;
  if (!Array.isArray(y)) throw new RangeError(`${fixture.name} has no times`);
  return y as readonly number[];
}

function expectClose(value: number, expected: number, tolerance: number): void {
  expect(Math.abs(value / expected - 1)).toBeLessThanOrEqual(Math.max(tolerance, 1e-11));
}

const letters = (order: string): readonly string[] => [...new Set(Array.from(order))].sort();
const tAt =
  (alpha: number): IndexMultiplier =>
  (df) =>
    studentQuantile(alpha / 2, df);

function design(order: string, drift: "none" | "linear") {
  const rows = Array.from(order, (setup, i) => ({ block: "R1", setup, k: i + 1 }));
  const next = { block: "R1", k: order.length + 1 };
  return riddenDesign(rows, letters(order), drift, next);
}

describe("orders", () => {
  const offered = named("order-variance-").filter((f) => numberOf(f, "driftDegree") < 2);

  it.each(offered)("$name", (fixture) => {
    const order = textOf(fixture, "order");
    const [candidate = "", baseline = ""] = textOf(fixture, "contrast").split("-");
    const v = 1 / pairInformation(design(order, "linear"), candidate, baseline).z2;
    const vWithout = 1 / pairInformation(design(order, "none"), candidate, baseline).z2;
    expectClose(v, numberOf(fixture, "v"), fixture.tolerance);
    expectClose(vWithout / v, numberOf(fixture, "efficiency"), fixture.tolerance);
  });

  it("one more run on B after ABBA", () => {
    const [fixture] = named("rank-one-ABBA-plus-B");
    if (fixture === undefined) throw new RangeError("no fixture");
    const before = design("ABBA", "linear");
    const after = withRun(before, { block: "R1", setup: "B", k: 5 });
    expectClose(1 / pairInformation(before, "B", "A").z2, numberOf(fixture, "vBefore"), 1e-9);
    expectClose(1 / pairInformation(after, "B", "A").z2, numberOf(fixture, "vAfter"), 1e-9);
  });

  it.each(named("mirror-order"))("$name", (fixture) => {
    const setups = ["A", "B", "C", "D"].slice(0, numberOf(fixture, "K"));
    const plannedRuns = numberOf(fixture, "n");
    const order = fixPlan(sheetOf({ setups, settings: { plannedRuns, bands: "open" } })).riders[0]
      ?.order;
    expect(order?.join("")).toBe(textOf(fixture, "order"));
  });
});

describe("suggestions with s and t of the fit", () => {
  const sessionFor = (fixture: Fixture): SessionGiven => ({
    setups: letters(textOf(fixture, "order")),
    runs: runsOf(textOf(fixture, "order"), timesOf(fixture)),
    swapMinutes: numberOf(fixture, "swapMin"),
    settings: { lapMinutes: numberOf(fixture, "lapMin"), minutes: 600 },
  });

  it.each(named("suggest-"))("$name", (fixture) => {
    const input = sessionOf(sessionFor(fixture));
    const multiplier = tAt(numberOf(fixture, "alpha"));
    const advice = adviseNextBy(input, compareRiders(input), multiplier);
    expect(advice.next.setup).toBe(textOf(fixture, "pick"));
    expect(advice.alternatives).toHaveLength(input.setups.length);
    for (const option of advice.alternatives) {
      const expected = new Map(Object.entries(recordOf(fixture, `next_${option.setup}`)));
      expect(option.minutes).toBeCloseTo(expected.get("min") ?? Number.NaN, 9);
      const index = expected.get("index") ?? Number.NaN;
      expectClose(option.index ?? Number.NaN, index, fixture.tolerance);
    }
  });

  it("names leader and rival of three", () => {
    const [fixture] = named("suggest-K3");
    if (fixture === undefined) throw new RangeError("no fixture");
    const input = sessionOf(sessionFor(fixture));
    const [rider] = input.riders;
    const standing = rider && riderStanding(input, rider);
    expect(standing?.leader).toBe(textOf(fixture, "leader"));
    expect(standing?.rival.setup).toBe(textOf(fixture, "rival"));
    for (const [setup, z] of Object.entries(recordOf(fixture, "z"))) {
      const pair = fitRider(input, "R1")?.pairBand(setup, textOf(fixture, "leader"));
      const own = (pair?.differenceS ?? 0) / (pair?.standardErrorS ?? 0);
      expectClose(own, z, fixture.tolerance);
    }
  });
});

describe("whole days by the rule", () => {
  /** A seed whose shuffle of two leaves A first. */
  const seed = 1;

  it.each(named("rule-order-"))("$name", (fixture) => {
    const lapMinutes = numberOf(fixture, "lapMin");
    const swapMinutes = numberOf(fixture, "swapMin");
    const settings = { lapMinutes, minutes: numberOf(fixture, "limitMin"), seed };
    let order = "";
    while (order.length < numberOf(fixture, "maxRuns")) {
      const input = sessionOf({ settings, swapMinutes, runs: runsOf(order) });
      const { next } = adviseNextBy(input, compareRiders(input), tAt(numberOf(fixture, "alpha")));
      if (next.setup === null) {
        expect(next.stop).toBe("day-over");
        break;
      }
      order += next.setup;
    }
    expect(order).toBe(textOf(fixture, "order"));
    const ridden = sessionOf({ settings, swapMinutes, runs: runsOf(order) });
    expect(minutesUsed(ridden, lapMinutes)).toBe(numberOf(fixture, "minutes"));
    const v = 1 / pairInformation(design(order, "linear"), "B", "A").z2;
    expectClose(v, numberOf(fixture, "vEnd"), fixture.tolerance);
  });

  it.each(named("minutes-"))("$name", (fixture) => {
    const input = sessionOf({
      runs: runsOf(textOf(fixture, "order")),
      swapMinutes: numberOf(fixture, "swapMin"),
    });
    expect(minutesUsed(input, numberOf(fixture, "lapMin"))).toBe(numberOf(fixture, "minutes"));
  });
});

describe("the rest of the day", () => {
  it.each(named("chance-of-call-"))("$name", (fixture) => {
    const now = {
      differenceS: numberOf(fixture, "estimate"),
      spreadS: numberOf(fixture, "s"),
      v: numberOf(fixture, "vNow"),
      df: numberOf(fixture, "dfNow"),
    };
    const then = {
      v: numberOf(fixture, "vEnd"),
      multiplier: numberOf(fixture, "critEnd"),
      innerMultiplier: 0,
    };
    expectClose(chanceOfCall(now, then, null), numberOf(fixture, "p"), fixture.tolerance);
  });
});

describe("plans", () => {
  it.each(named("mdd-linear-n"))("standard error and degrees of freedom of $name", (fixture) => {
    const order = textOf(fixture, "order");
    const plannedRuns = order.length;
    const [own] = fixPlan(sheetOf({ settings: { plannedRuns, bands: "open" } })).riders;
    expect(own?.nuN).toBe(numberOf(fixture, "df"));
    const z2 = own?.z2N["B"] ?? 0;
    expectClose(1 / Math.sqrt(z2), numberOf(fixture, "se"), 1e-9);
  });

  it("standard error and degrees of freedom of three set-ups", () => {
    const [fixture] = named("mdd-K3-n12");
    if (fixture === undefined) throw new RangeError("no fixture");
    const settings = { plannedRuns: 12 };
    const [own] = fixPlan(sheetOf({ setups: ["A", "B", "C"], settings })).riders;
    expect(own?.nuN).toBe(numberOf(fixture, "df"));
    for (const setup of ["B", "C"]) {
      const z2 = own?.z2N[setup] ?? 0;
      expectClose(1 / Math.sqrt(z2), numberOf(fixture, "se"), 1e-9);
    }
  });

  it.each(named("sigma-interval-"))("$name", (fixture) => {
    const [low, high] = spreadInterval(numberOf(fixture, "laps") - 2, numberOf(fixture, "level"));
    expectClose(low, numberOf(fixture, "lowMultiplier"), fixture.tolerance);
    expectClose(high, numberOf(fixture, "highMultiplier"), fixture.tolerance);
  });
});
