// How long batteries last: invented discharges, and the cases in which nothing is said.
import { describe, expect, it } from "vitest";
import { sessionUs } from "../../src/domain/time.ts";
import {
  BOX_CELL,
  BOX_FOUR_NIMH,
  boxBattery,
  LAPTOP,
  lastsTo,
  lastsToWords,
} from "../../src/summary/batteries.ts";
import { normals } from "../stats/made-session.ts";

const START_US = Date.UTC(2026, 4, 9, 8) * 1000;
const minute = (m: number) => sessionUs(START_US + m * 60e6);

/** A reading each so many minutes. */
const discharge = (minutes: number, levelAt: (m: number) => number, every = 1) =>
  Array.from({ length: Math.floor(minutes / every) + 1 }, (_, i) => ({
    at: minute(i * every),
    level: levelAt(i * every),
  }));

/** Minutes after 8:00. */
const minutesTo = (at: number | null): number | null =>
  at === null ? null : (at - START_US) / 60e6;

describe("a battery that falls", () => {
  it("lasts to where its line meets the end", () => {
    // 4.1 V at 8:00, 100 mV an hour: 3.2 V nine hours on.
    const steady = discharge(120, (m) => 4100 - (100 * m) / 60);
    expect(minutesTo(lastsTo(steady, BOX_CELL))).toBeCloseTo(540, 3);
  });

  it("is told in spite of noise and single bad readings", () => {
    const normal = normals(3);
    const noisy = discharge(120, (m) => Math.round(3800 - (120 * m) / 60 + 8 * normal()));
    const spoilt = (level: number) =>
      noisy.map((reading, i) => (i % 40 === 37 ? { ...reading, level } : reading));
    for (const readings of [noisy, spoilt(3300), spoilt(4200)]) {
      expect(Math.abs((minutesTo(lastsTo(readings, BOX_CELL)) ?? 0) - 300)).toBeLessThan(12);
    }
  });

  it("goes by its last two hours", () => {
    // Fast when full, then flat: 300 mV in the first hour, 60 an hour from there.
    const bent = discharge(240, (m) => (m < 60 ? 4150 - 5 * m : 3850 - (m - 60)));
    expect(minutesTo(lastsTo(bent, BOX_CELL))).toBeCloseTo(60 + 650, 3);
  });

  it("starts afresh when it was changed or charged", () => {
    const changed = discharge(100, (m) => (m < 40 ? 3500 - 3 * m : 4100 - 2 * (m - 40)));
    expect(minutesTo(lastsTo(changed, BOX_CELL))).toBeCloseTo(40 + 450, 3);
    expect(lastsTo(changed.slice(0, 60), BOX_CELL)).toBeNull();
    // A bad reading right after leaves the change in sight.
    const twice = changed.map((each, i) => (i === 42 ? { ...each, level: 3400 } : each));
    expect(minutesTo(lastsTo(twice, BOX_CELL))).toBeCloseTo(40 + 450, 1);
  });

  it("of a laptop is told in per cent that step", () => {
    const steps = discharge(90, (m) => 90 - Math.floor(m / 5));
    const at = minutesTo(lastsTo(steps, LAPTOP)) ?? 0;
    expect(Math.abs(at - 425)).toBeLessThan(25);
  });
});

describe("nothing is said", () => {
  it.each([
    ["of nothing", []],
    ["below half an hour", discharge(29, (m) => 4000 - 3 * m)],
    ["of one that rises", discharge(90, (m) => 3600 + m)],
    ["of one that holds", discharge(90, () => 3700)],
    ["of one that lasts the day", discharge(90, (m) => 4100 - m / 6)],
    ["of a box that measures none", discharge(90, () => 0)],
    ["where clocks stand", Array.from({ length: 9 }, () => ({ at: minute(0), level: 3500 }))],
    ["of figures that are none", discharge(90, () => Number.NaN)],
  ])("%s", (_, readings) => {
    expect(lastsTo(readings, BOX_CELL)).toBeNull();
    expect(lastsToWords(readings, BOX_CELL, minute(90), String)).toBeNull();
  });
});

it("one that is done is done now, however short its history", () => {
  const low = discharge(2, () => 3150);
  expect(lastsTo(low, BOX_CELL)).toBe(minute(2));
  expect(lastsToWords(low, BOX_CELL, minute(3), String)).toBe("empty: change it");
});

it("four cells are told from one by their volts", () => {
  const four = discharge(60, (m) => 5200 - 4 * m);
  expect(boxBattery(four)).toBe(BOX_FOUR_NIMH);
  expect(boxBattery(discharge(60, () => 4200))).toBe(BOX_CELL);
  expect(minutesTo(lastsTo(four, boxBattery(four)))).toBeCloseTo(300, 3);
});

it("the time is said to ten minutes, rounded down, with a word on the cold", () => {
  const clock = (at: number) => new Date(at / 1000).toISOString().slice(11, 16);
  const steady = discharge(120, (m) => 4100 - 2 * m);
  expect(lastsToWords(steady, BOX_CELL, minute(120), clock)).toBe(
    "lasts to about 15:30, less in the cold",
  );
  expect(lastsToWords(steady, BOX_CELL, minute(449.9), clock)).toBe(
    "lasts some minutes more: change it",
  );
});

it("a thousand readings are worked out in no time", () => {
  const long = discharge(120, (m) => 4100 - 2 * m, 0.1);
  expect(minutesTo(lastsTo(long, BOX_CELL))).toBeCloseTo(450, 3);
});
