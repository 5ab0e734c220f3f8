// Riders, set-ups, a set-up's sheet and readings on the day: what is written, when it is refused.
import { describe, expect, test } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import {
  addRider,
  addSetup,
  changeSetup,
  renameSetup,
  takeMeasure,
  writeSetupLine,
} from "../../src/app/add-to-sheet.ts";
import { closeSession } from "../../src/app/day-commands.ts";
import { aloneSheet, handSheet } from "./a-day.ts";
import { HandDay } from "./hand-day.ts";

const c = {
  id: "C",
  name: "Lighter insert",
  baseline: false,
  values: { rear_insert: "light" },
  worthS: null,
  price: null,
  weightKg: null,
};
const r3 = {
  id: "R3",
  name: "Rider three",
  tag: null,
  newTo: ["B"],
  setups: null,
  plannedRuns: null,
};

describe("adding", () => {
  test("a set-up and a rider added before run 1 are in the plan", () => {
    const day = new HandDay({ ...handSheet, settings: { ...handSheet.settings, plannedRuns: 18 } });
    day.do((s) => addSetup(s, c, fixPlan));
    day.do((s) => addRider(s, r3, fixPlan));
    expect(day.session.plan?.setups).toEqual(["A", "B", "C"]);
    expect(day.session.plan?.riders.map((rider) => rider.rider)).toEqual(["R1", "R2", "R3"]);
    expect(day.session.plan?.riders[0]?.order.slice(0, 6).join("")).toBe("ABCCBA");
    expect(day.session.anomalies).toEqual([]);
    day.checkTables();
  });

  test("added after run 1 the set-up is compared, the plan stays", () => {
    const day = new HandDay(aloneSheet);
    day.ride(60);
    day.do((s) => addSetup(s, c, fixPlan));
    expect(day.session.plan?.setups).toEqual(["A", "B"]);
    expect(day.session.setups.map((setup) => setup.id)).toEqual(["A", "B", "C"]);
    expect(day.session.anomalies).toEqual([]);
    day.checkTables();
  });

  test("what is added must have an id of its own", () => {
    const day = new HandDay(aloneSheet);
    expect(day.refusal((s) => addSetup(s, { ...c, id: "A" }, fixPlan))).toBe(
      "A is there already: choose another id",
    );
    expect(day.refusal((s) => addSetup(s, { ...c, id: "two words" }, fixPlan))).toBe(
      '"two words" is no id: use 1 to 16 letters, digits, - and _',
    );
    expect(day.refusal((s) => addSetup(s, { ...c, baseline: true }, fixPlan))).toMatch(
      /^there is a baseline already: /,
    );
    expect(day.refusal((s) => addRider(s, { ...r3, tag: "A1" }, fixPlan))).toMatch(
      /^the transponder A1 is R1's already: /,
    );
    expect(
      day.refusal((s) =>
        addRider(s, { ...r3, newTo: ["Q"], setups: null, plannedRuns: null }, fixPlan),
      ),
    ).toMatch(/^there is no set-up Q: /);
  });

  test("a set-up that would make the plan too short is refused with the number that works", () => {
    const settings = { ...aloneSheet.settings, plannedRuns: 8 };
    const day = new HandDay({ ...aloneSheet, settings });
    expect(day.refusal((s) => addSetup(s, c, fixPlan))).toMatch(/\d/);
    expect(day.session.setups).toHaveLength(2);
  });
});

describe("a set-up's sheet", () => {
  test("is replaced as a whole, line by line, or in name", () => {
    const day = new HandDay();
    const b = () => day.session.setups[1];
    day.do((s) => changeSetup(s, "B", "Foam, cut", { rear_insert: "foam", rear_tyre_mm: 61 }));
    expect(b()).toMatchObject({
      name: "Foam, cut",
      values: { rear_insert: "foam", rear_tyre_mm: 61 },
      worthS: null,
      price: null,
      weightKg: null,
    });
    day.do((s) => writeSetupLine(s, "B", "rear_pressure_bar", 1.5));
    day.do((s) => writeSetupLine(s, "B", "rear_tyre_mm", 64));
    day.do((s) => writeSetupLine(s, "B", "rear_insert", null));
    expect(b()?.values).toEqual({ rear_tyre_mm: 64, rear_pressure_bar: 1.5 });
    day.do((s) => renameSetup(s, "B", "Ring"));
    expect(b()).toMatchObject({
      name: "Ring",
      values: { rear_tyre_mm: 64, rear_pressure_bar: 1.5 },
      worthS: null,
      price: null,
      weightKg: null,
    });
    day.checkTables();
  });

  test.each([
    [
      "rear_pressure_bar",
      "soft",
      "rear_pressure_bar can't be soft: write a number in bar, 0 or more",
    ],
    ["rear_pressure_bar", -1, "rear_pressure_bar can't be -1: write a number in bar, 0 or more"],
    ["rear_insert", "a\u0007b", "write text without control characters"],
    ["rear_insert", "x".repeat(201), "write at most 200 characters"],
    ["k".repeat(61), 1, "that is no name for a line of the sheet: 1 to 60 characters"],
    ["__proto__", 1, "that is no name for a line of the sheet: 1 to 60 characters"],
  ])("takes what the session sheet would take: %s = %s", (key, value, words) => {
    const day = new HandDay();
    expect(day.refusal((s) => writeSetupLine(s, "B", key, value))).toContain(words);
  });

  test("what isn't there can't be changed, nor anything in a closed session", () => {
    const day = new HandDay();
    expect(day.refusal((s) => changeSetup(s, "Q", "x", {}))).toMatch(/^there is no set-up Q: /);
    expect(day.refusal((s) => writeSetupLine(s, "Q", "x", 1))).toMatch(/^there is no set-up Q: /);
    expect(day.refusal((s) => writeSetupLine(s, "B", "toString", null))).toMatch(
      /^there is no line toString: /,
    );
    expect(day.refusal((s) => renameSetup(s, "B", ""))).toMatch(/^a set-up needs a name: /);
    day.do(closeSession);
    expect(day.refusal((s) => writeSetupLine(s, "B", "x", 1))).toMatch(/^the session is closed: /);
    expect(day.refusal((s) => addRider(s, r3, fixPlan))).toMatch(/^the session is closed: /);
    expect(day.refusal((s) => addSetup(s, c, fixPlan))).toMatch(/^the session is closed: /);
  });
});

test("a reading as ridden is kept with its run", () => {
  const day = new HandDay(aloneSheet);
  const { runId } = day.ride(60);
  const key = { key: "rear_pressure_bar", value: 1.58, unit: "bar" };
  day.do((s) => takeMeasure(s, { run: runId, rider: "R1", setup: "A", ...key }));
  expect(day.session.measures).toMatchObject([{ runId, value: 1.58 }]);
  day.checkTables();
  expect(
    day.refusal((s) => takeMeasure(s, { run: null, rider: "R9", setup: null, ...key })),
  ).toMatch(/^there is no rider R9: /);
});
