// A day with shared bikes and wheels: one worked out by hand, what holds of any, and the sample sheet.
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { CallUp } from "../../src/advisor/call-up.ts";
import { type ClubDay, clubDay, swapFrom } from "../../src/advisor/call-up-day.ts";
import { gearFor } from "../../src/advisor/gear-fit.ts";
import { openingOrder } from "../../src/advisor/opening.ts";
import { planDay } from "../../src/advisor/plan-day.ts";
import { ordersOf, setupsToPractise } from "../../src/advisor/plan-figures.ts";
import { startGapS } from "../../src/advisor/start-gap.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { sheetOf } from "./sessions.ts";

const wheels = (id: string, setups: readonly string[], axle: string | null = null) => ({
  id,
  name: id,
  kind: "wheelset",
  setups,
  standards: { axle, rotor: null, freehub: null },
});

function dayOf(sheet: Sheet): ClubDay {
  const day = clubDay(sheet);
  if (day === null) throw new TypeError("the sheet has laps and runs");
  return day;
}

const starts = (day: ClubDay) =>
  day.starts.map((row) => `${(row.notBefore ?? 0).toFixed(1)} ${row.rider}${row.setup}`);

describe("a planned day with shared gear", () => {
  const pair = (given: Partial<Sheet["gear"]>, restMinutes = 0) =>
    sheetOf({
      riders: [{ id: "R1" }, { id: "R2" }],
      swapMinutes: 4,
      settings: { plannedRuns: 4, lapMinutes: 10, expectedRunS: 120 },
      gear: { parts: [wheels("wheels-1", ["A"]), wheels("wheels-2", ["B"])], ...given },
      hours: { restMinutes },
    });

  it("is what two riders who swap wheels come to by hand", () => {
    // ABBA and BAAB, laps of 10, the gap a fifth of 120 s: 0.4 min. They swap wheels when R2 is back
    // up at 10.4, ride twice, and swap again when R2 is back at 34.8; the last run ends 2 min after its start.
    const day = dayOf(pair({}));
    expect(starts(day)).toEqual([
      "0.0 R1A",
      "0.4 R2B",
      "14.4 R1B",
      "14.8 R2A",
      "24.4 R1B",
      "24.8 R2A",
      "38.8 R1A",
      "39.2 R2B",
    ]);
    expect(day.minutes).toBeCloseTo(41.2, 9);
    expect(day.startsPerHour).toBeCloseTo(8 / (41.2 / 60), 9);
    // R1 is back at 10, 24.4 and 34.4; R2 at 10.4, 24.8 and 34.8, and the first 0.4.
    expect(day.waiting.map((own) => [own.rider, Math.round(own.minutes * 10) / 10])).toEqual([
      ["R1", 8.8],
      ["R2", 9.2],
    ]);
  });

  it("has one swap after the other with one mechanic, and rests", () => {
    expect(starts(dayOf(pair({ mechanics: 1 }))).slice(0, 4)).toEqual([
      "0.0 R1A",
      "0.4 R2B",
      "14.4 R1B",
      "18.4 R2A",
    ]);
    // From a finish at 2 to 22.
    expect(starts(dayOf(pair({}, 20)))[2]).toBe("22.0 R1B");
  });

  it("is as long as all laps after one another where one part serves everything", () => {
    const day = dayOf(
      sheetOf({
        riders: [{ id: "R1" }, { id: "R2" }, { id: "R3" }],
        settings: { plannedRuns: 4, lapMinutes: 10, expectedRunS: 120 },
        gear: { parts: [wheels("wheels-1", ["A", "B"])] },
      }),
    );
    expect(day.starts.map((row) => row.notBefore)).toEqual(
      Array.from({ length: 12 }, (_, i) => 10 * i),
    );
    expect(day.minutes).toBe(112);
  });

  it("lets two riders who share wheels start on different set-ups, at once", () => {
    for (const seed of [1, 2, 3, 4]) {
      const drawn = [0, 1].map((place) => openingOrder(["A", "B"], seed, place)[0]);
      expect(new Set(drawn).size).toBe(2);
    }
    const [first, second] = dayOf(pair({})).starts;
    expect([first?.setup, second?.setup]).toEqual(["A", "B"]);
    expect(second?.notBefore).toBeLessThan(1);
  });

  it("takes practice in, and is nothing without a lap or a run", () => {
    const sheet = pair({});
    const riders = sheet.riders.map((rider, i) => ({ ...rider, newTo: i === 0 ? ["B"] : [] }));
    expect(dayOf({ ...sheet, riders }).starts).toHaveLength(11);
    expect(clubDay({ ...sheet, settings: { ...sheet.settings, lapMinutes: null } })).toBeNull();
    expect(clubDay(sheet, 1)).toBeNull();
  });

  it("leaves out, and names, what cannot be ridden", () => {
    const bike = { id: "bike-1", name: "", size: null, riders: null };
    const standards = { axle: "148", rotor: null, freehub: null };
    const parts = [wheels("wheels-2", ["B"], "142")];
    const day = dayOf(pair({ bikes: [{ ...bike, standards }], parts }));
    expect(new Set(day.starts.map((row) => row.setup))).toEqual(new Set(["A"]));
    expect(day.unridable.map((row) => `${row.rider}${row.setup}`)).toEqual(["R1B", "R2B"]);
  });

  it("is planned for one rider where nobody is named, on the bike as it came", () => {
    const day = dayOf(
      sheetOf({ riders: [], settings: { plannedRuns: 4, lapMinutes: 10, expectedRunS: null } }),
    );
    expect(day.starts.map((row) => row.notBefore)).toEqual([0, 10, 20, 30]);
    expect(day.minutes).toBe(40);
  });
});

const IDS = ["R1", "R2", "R3", "R4", "R5", "R6"];
const SETUPS = ["A", "B", "C"];
const standards = fc.record({
  axle: fc.constantFrom(null, "148", "142"),
  rotor: fc.constant(null),
  freehub: fc.constantFrom(null, null, "micro"),
});

const clubDays = fc
  .record({
    riders: fc.integer({ min: 1, max: 6 }),
    setups: fc.integer({ min: 1, max: 3 }),
    runs: fc.integer({ min: 1, max: 7 }),
    newTo: fc.subarray(SETUPS),
    swapMinutes: fc.constantFrom(0, 3, 12),
    lapMinutes: fc.constantFrom(5, 9),
    expectedRunS: fc.constantFrom(null, 90, 240),
    spreadS: fc.constantFrom(null, 2),
    restMinutes: fc.constantFrom(null, 0, 20),
    mechanics: fc.constantFrom(null, 1, 2),
    bikes: fc.array(
      fc.record({ riders: fc.option(fc.subarray(IDS, { minLength: 1 })), standards }),
      { maxLength: 4 },
    ),
    parts: fc.array(
      fc.record({
        kind: fc.constantFrom("wheelset", "shock"),
        setups: fc.subarray(SETUPS, { minLength: 1 }),
        standards,
      }),
      { maxLength: 5 },
    ),
  })
  .map((day): Sheet => {
    const setups = SETUPS.slice(0, day.setups);
    return sheetOf({
      setups,
      riders: IDS.slice(0, day.riders).map((id, i) => ({
        id,
        newTo: i === 1 ? day.newTo.filter((setup) => setups.includes(setup)) : [],
      })),
      swapMinutes: day.swapMinutes,
      settings: {
        plannedRuns: day.runs,
        lapMinutes: day.lapMinutes,
        expectedRunS: day.expectedRunS,
        spreadS: day.spreadS,
      },
      hours: { restMinutes: day.restMinutes },
      gear: {
        mechanics: day.mechanics,
        bikes: day.bikes.map((bike, i) => {
          const id = `bike-${String(i + 1)}`;
          return { id, name: id, size: null, ...bike };
        }),
        parts: day.parts.map((part, i) => {
          const id = `part-${String(i + 1)}`;
          return { id, name: id, ...part };
        }),
      },
    });
  });

const EPS = 1e-6;

/** Pairs of starts in order of time, of whatever both use. */
function sharing(
  rows: readonly CallUp[],
  used: (row: CallUp) => readonly string[],
): readonly (readonly [CallUp, CallUp])[] {
  return rows.flatMap((row, i) => {
    const items = used(row);
    return items.flatMap((item) => {
      const next = rows.slice(i + 1).find((later) => used(later).includes(item));
      return next === undefined ? [] : [[row, next] as const];
    });
  });
}

describe("whatever bikes, parts and mechanics there are", () => {
  it("no bike, no part and no rider is in two laps at once, swaps take their time, everything is ridden", () => {
    let shared = 0;
    let missing = 0;
    fc.assert(
      fc.property(clubDays, (sheet) => {
        const day = clubDay(sheet);
        if (day === null) return;
        const lap = sheet.settings.lapMinutes ?? 0;
        const run = Math.min(lap, (sheet.settings.expectedRunS ?? Number.POSITIVE_INFINITY) / 60);
        const usual = { runS: run * 60, spreadS: sheet.settings.spreadS };
        const at = (row: CallUp): number => row.notBefore ?? Number.NaN;
        const bikeOf = (row: CallUp) => [row.bike ?? `own ${row.rider}`];
        for (const [a, b] of sharing(day.starts, bikeOf)) {
          const swap = swapFrom(sheet, a.setup, b.setup);
          expect(at(b)).toBeGreaterThanOrEqual(at(a) + lap + swap - EPS);
        }
        for (const [a, b] of sharing(day.starts, (row) => row.parts)) {
          const isMoved = bikeOf(a)[0] !== bikeOf(b)[0];
          // On another bike it is fitted anew, whatever was on that.
          const swap = isMoved ? swapFrom(sheet, null, b.setup) : 0;
          expect(at(b)).toBeGreaterThanOrEqual(at(a) + lap + swap - EPS);
          if (isMoved) shared += 1;
        }
        for (const [a, b] of sharing(day.starts, (row) => [row.rider])) {
          const rest = run + (sheet.hours.restMinutes ?? 0);
          expect(at(b)).toBeGreaterThanOrEqual(at(a) + Math.max(lap, rest) - EPS);
        }
        for (const [i, row] of day.starts.entries()) {
          const before = day.starts[i - 1];
          if (before !== undefined && before.rider !== row.rider) {
            const gap = startGapS(usual, usual) / 60;
            expect(at(row)).toBeGreaterThanOrEqual(at(before) + gap - EPS);
          }
          const fit = gearFor(sheet.gear, row.rider, row.setup).bikes.find(
            (each) => (each.bike?.id ?? null) === row.bike,
          );
          expect(
            fit?.needs.map(({ parts }) => parts.some(({ id }) => row.parts.includes(id))),
          ).toEqual(row.parts.map(() => true));
        }
        for (const rider of sheet.riders) {
          const own = day.starts.filter((row) => row.rider === rider.id).map((row) => row.setup);
          const practice = setupsToPractise(sheet, rider).flatMap((setup) => [setup, setup, setup]);
          const order = [...practice, ...ordersOf(sheet, rider).flat()];
          const ridable = order.filter(
            (setup) => gearFor(sheet.gear, rider.id, setup).bikes.length > 0,
          );
          missing += order.length - ridable.length;
          expect(own).toEqual(ridable);
          const bikes = day.starts.filter((row) => row.rider === rider.id).map((row) => row.bike);
          const isOneForAll = sheet.gear.bikes.some((bike) =>
            ridable.every((setup) =>
              gearFor(sheet.gear, rider.id, setup).bikes.some((fit) => fit.bike === bike),
            ),
          );
          if (isOneForAll) expect(new Set(bikes).size).toBeLessThanOrEqual(1);
        }
        for (const { minutes } of day.waiting) expect(minutes).toBeGreaterThanOrEqual(-EPS);
        expect(day.minutes).toBeLessThan(Number.POSITIVE_INFINITY);
      }),
      { seed: 260_613, numRuns: 120 },
    );
    // Not all of it was idle.
    expect(shared).toBeGreaterThan(50);
    expect(missing).toBeGreaterThan(50);
  });
});

describe("the sample of a club day", () => {
  const text = readFileSync(new URL("../../samples/club-day.toml", import.meta.url), "utf8");
  const sheet = readSheet(text, "club-day.toml", { date: "2026-06-13", zone: "UTC", seed: 1 });

  it("has a plan, and all of its starts fit in the hours", () => {
    expect(planDay(sheet).runs).toBe(6);
    const day = dayOf(sheet);
    expect(day.starts).toHaveLength(36);
    expect(day.unridable).toEqual([]);
    expect(day.minutes).toBeLessThan(sheet.settings.minutes ?? 0);
    // 18 laps of 9 min on each wheelset, whatever the order.
    expect(day.minutes).toBeGreaterThan(18 * 9);
  });
});
