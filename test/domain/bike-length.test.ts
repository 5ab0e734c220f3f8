// How long a bike is in the beam, from its sheet.
import { describe, expect, it } from "vitest";
import { bikeLength, bikeLengthWords } from "../../src/domain/bike-length.ts";

describe("length of a bike at hub height", () => {
  it("is wheelbase and both radii of what the sheet tells", () => {
    const values = {
      wheelbase_mm: 1256,
      front_wheel_mm: 622,
      front_tyre_mm: 63,
      rear_wheel_mm: 584,
      rear_tyre_mm: 61,
    };
    // 1256 + (311 + 63) + (292 + 61)
    expect(bikeLength(values)).toEqual({ lengthM: 1.983, assumed: [] });
    expect(bikeLengthWords(bikeLength(values))).toBe("bike 1.98 m long");
  });

  it("is taken as usual where nothing is told, and says so", () => {
    const usual = bikeLength({});
    expect(usual.lengthM).toBeCloseTo(1.974, 9);
    expect(usual.assumed).toHaveLength(5);
    expect(bikeLengthWords(bikeLength({ wheelbase_mm: 1230, rear_tyre_mm: 61 }))).toBe(
      "bike taken as 1.97 m long (front_wheel_mm, front_tyre_mm, rear_wheel_mm not told)",
    );
  });

  it("is 1.0 % shorter with a 584 rear wheel in place of a 622", () => {
    // 19 mm of radius; the figure that people who measure entry speeds reckon with.
    const { lengthM } = bikeLength({ rear_wheel_mm: 584 });
    expect(bikeLength({}).lengthM - lengthM).toBeCloseTo(0.019, 9);
    expect((1 - lengthM / bikeLength({}).lengthM) * 100).toBeCloseTo(1, 1);
  });

  it("takes from the baseline what a set-up does not tell, its own values first", () => {
    const baseline = { wheelbase_mm: 1290, rear_tyre_mm: 65 };
    const usual = bikeLength(baseline).lengthM;
    expect(bikeLength({}, baseline).lengthM).toBe(usual);
    expect(bikeLength({ wheelbase_mm: 1280 }, baseline).lengthM).toBeCloseTo(usual - 0.01, 9);
  });

  it.each([
    { wheelbase_mm: 1.23 },
    { front_wheel_mm: 29 },
    { rear_tyre_mm: 2.4 },
    { wheelbase_mm: "long" },
    { wheelbase_mm: Number.NaN },
    { wheelbase_mm: true },
    { rear_wheel_mm: -584 },
  ])("passes over what cannot be meant: %o", (values) => {
    expect(bikeLength(values)).toEqual(bikeLength({}));
  });
});
