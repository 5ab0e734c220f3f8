// Units that keys of a set-up sheet carry in their names.
import { describe, expect, test } from "vitest";
import { isNumberValue, unitOfValue } from "../../src/domain/setup-values.ts";

describe("unitOfValue", () => {
  test.each([
    ["rear_pressure_bar", "bar"],
    ["shock_spring_lbf_per_in", "lbf/in"],
    ["fork_spring_n_per_mm", "N/mm"],
    ["shock_sag_percent", "%"],
    ["rear_wheel_g", "g"],
    ["bike_kg", "kg"],
    ["my_own_thing_mm", "mm"],
    ["fork_volume_spacers", null],
    ["rear_insert", null],
    ["mm", null],
  ])("%s is in %s", (key, unit) => {
    expect(unitOfValue(key)).toBe(unit);
  });
});

describe("isNumberValue", () => {
  test("known keys hold numbers; other keys are free, whatever they end in", () => {
    expect(isNumberValue("rear_pressure_bar")).toBe(true);
    expect(isNumberValue("fork_volume_spacers")).toBe(true);
    expect(isNumberValue("rear_insert")).toBe(false);
    expect(isNumberValue("my_own_thing_mm")).toBe(false);
    expect(isNumberValue("constructor")).toBe(false);
  });
});
