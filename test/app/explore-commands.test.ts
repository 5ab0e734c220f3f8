// The operator's commands while settings are explored: values on the bike, the closing check, imports.
import { describe, expect, test } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { closeSession, redo, setDrift, undo } from "../../src/app/day-commands.ts";
import { beginCheck, rideValues } from "../../src/app/explore-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import { requireMergeable } from "../../src/app/merge-checks.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { ImportedRow } from "../../src/domain/imported-row.ts";
import { aloneSheet } from "./a-day.ts";
import { bothSheet, ExploreDay, exploreSheet } from "./explore-day.ts";

describe("values on the bike", () => {
  test("each value is a set-up like the present one but for it, made once", () => {
    const day = new ExploreDay(exploreSheet);
    day.do((s) => rideValues(s, "R1", [1.3 + 3 * 0.05])); // 1.4500000000000002
    expect(day.session.setups[1]).toEqual({
      ...day.session.setups[0],
      ...{ id: "B", name: "1.45 bar", baseline: false },
      values: { rear_pressure_bar: 1.45, shock_rebound_clicks: 8 },
    });
    day.do((s) => rideValues(s, "R1", [1.6]));
    day.do((s) => rideValues(s, "R1", [1.45]));
    expect(day.session.setups.map((setup) => setup.id)).toEqual(["A", "B", "C"]);
    expect(day.session.mounted).toEqual({ R1: "B" });
    day.do((s) => rideValues(s, "R1", [1.75]));
    expect(day.session.mounted).toEqual({ R1: "A" });
    expect(day.refusal((s) => rideValues(s, "R1", [1.75]))).toMatch(/^A is on R1's bike already/);
    day.checkTables();
  });

  test("both settings go on together", () => {
    const day = new ExploreDay(bothSheet);
    day.do((s) => rideValues(s, "R1", [1.6, 4]));
    expect(day.session.setups[1]).toMatchObject({
      name: "1.60 bar, 4 clicks",
      values: { rear_pressure_bar: 1.6, shock_rebound_clicks: 4 },
    });
    expect(day.refusal((s) => rideValues(s, "R1", [1.6]))).toBe(
      "1 values are given: give one for rear_pressure_bar and shock_rebound_clicks",
    );
    expect(day.refusal((s) => rideValues(s, "R1", [1.6, 1]))).toBe(
      "shock_rebound_clicks = 1 is outside your limits: choose from 2 to 14 in steps of 1",
    );
  });

  test("nothing outside the limits, between steps or without limits", () => {
    const day = new ExploreDay(exploreSheet);
    for (const value of [1.25, 1.95, -1.5, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(day.refusal((s) => rideValues(s, "R1", [value]))).toBe(
        `rear_pressure_bar = ${String(value)} is outside your limits: choose from 1.3 to 1.9 in steps of 0.05`,
      );
    }
    expect(day.refusal((s) => rideValues(s, "R1", [1.62]))).toMatch(
      /^rear_pressure_bar = 1\.62 is between two steps/,
    );
    expect(day.refusal((s) => rideValues(s, "R9", [1.6]))).toMatch(/^there is no rider R9/);
    day.do(closeSession);
    expect(day.refusal((s) => rideValues(s, "R1", [1.6]))).toMatch(/^the session is closed/);
    const plain = new ExploreDay(aloneSheet);
    expect(plain.refusal((s) => rideValues(s, "R1", [1.6]))).toMatch(/^no setting is explored/);
    expect(plain.refusal((s) => beginCheck(s, "B"))).toMatch(/^no setting is explored/);
  });
});

describe("the closing check", () => {
  test("is of another set-up than the present one, with nobody on course, and begins once", () => {
    const day = new ExploreDay(exploreSheet);
    day.do((s) => rideValues(s, "R1", [1.5]));
    expect(day.refusal((s) => beginCheck(s, "A"))).toBe(
      "A is the present one: there is nothing to check: keep it",
    );
    expect(day.refusal((s) => beginCheck(s, [1.75]))).toMatch(/^A is the present one/);
    expect(day.refusal((s) => beginCheck(s, "C"))).toMatch(/^there is no set-up C/);
    expect(day.refusal((s) => beginCheck(s, [2]))).toMatch(/is outside your limits/);
    day.start();
    expect(day.refusal((s) => beginCheck(s, "B"))).toMatch(/^a rider is on course/);
    day.laptop.pass(60);
    day.key(2);
    day.do((s) => beginCheck(s, "B"));
    expect(day.session.check).toMatchObject({ setup: "B", runs: 8 });
    expect(day.refusal((s) => beginCheck(s, "B"))).toMatch(/^the closing check has begun already/);
    expect(day.refusal((s) => rideValues(s, "R1", [1.6]))).toMatch(/^the closing check has begun/);
    day.checkTables();
  });

  test("of a value that was never ridden makes its set-up; taken back, values are tried again", () => {
    const day = new ExploreDay(exploreSheet);
    day.do((s) => beginCheck(s, [1.55]));
    expect(day.session.setups[1]?.name).toBe("1.55 bar");
    day.do(undo);
    expect(day.session.check).toBeNull();
    day.do((s) => rideValues(s, "R1", [1.55]));
    expect(day.session.setups).toHaveLength(2);
    day.do(undo);
    day.do((s) => beginCheck(s, "B"));
    day.do(undo);
    day.do(redo);
    expect(day.session.check).toMatchObject({ setup: "B" });
    day.checkTables();
  });
});

describe("times from elsewhere", () => {
  const row = (setup: string, timeS: number): ImportedRow => ({
    ...{ rider: "R1", setup, status: "ok", timeS, uncertaintyS: 0.2 },
    ...{ sectorS: [null, null], startedAtUs: null, reason: null },
  });

  test("name a set-up by its value, which is made once", () => {
    const day = new ExploreDay(exploreSheet);
    const rows = [row("1.60", 61), row("A", 62), row("1.6", 61.2), row("1.75", 62.3)];
    day.do((s) => importRows(s, "times.csv", rows));
    expect(day.session.runs.map((run) => run.setup)).toEqual(["B", "A", "B", "A"]);
    expect(day.session.setups[1]?.name).toBe("1.60 bar");
    day.checkTables();
  });

  test("or by both values; outside the limits nothing is written", () => {
    const day = new ExploreDay(bothSheet);
    day.do((s) => importRows(s, "times.csv", [row("1.60/4", 61)]));
    expect(day.session.setups[1]?.name).toBe("1.60 bar, 4 clicks");
    expect(day.refusal((s) => importRows(s, "t.csv", [row("1.7/4", 61), row("2/4", 61)]))).toBe(
      "rear_pressure_bar = 2 is outside your limits: choose from 1.3 to 1.9 in steps of 0.05",
    );
  });
});

describe("the plan", () => {
  const learning = { ...exploreSheet.settings, drift: "learning" as const };

  test("is refused with a closing check that could promise nothing, naming what would do", () => {
    // Two set-ups, a trend and its learning term: four parameters leave 4 degrees of freedom of 8, 5 of 9.
    expect(() => fixPlan({ ...exploreSheet, settings: learning })).toThrow(
      /^check_runs = 8: too few/,
    );
    const explored = { settings: exploreSheet.explored?.settings ?? [], checkRuns: 9 };
    expect(fixPlan({ ...exploreSheet, settings: learning, explored }).setups).toEqual(["A"]);
  });

  test("is the present set-up's alone, whatever was put on before run 1", () => {
    const day = new ExploreDay(exploreSheet);
    day.do((s) => rideValues(s, "R1", [1.6]));
    day.do((s) => setDrift(s, "none", fixPlan));
    expect(day.session.plan?.setups).toEqual(["A"]);
    day.checkTables();
  });
});

test("sessions that explore are not merged: values are tried on one day", () => {
  const days = ["one.swaplap", "two.swaplap"].map((file) => {
    const day = new ExploreDay(exploreSheet);
    day.rideOn();
    return { file, entries: day.file.store.readSince(0), session: day.session };
  });
  expect(() => {
    requireMergeable(days);
  }).toThrow(UserError);
  expect(() => {
    requireMergeable(days);
  }).toThrow("one.swaplap explores rear_pressure_bar");
});
