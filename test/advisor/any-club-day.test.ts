// Properties of a club day, whatever its riders are to ride and whatever they rode.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { adviseNext, adviseRider } from "../../src/advisor/next-setup.ts";
import { planDay } from "../../src/advisor/plan-day.ts";
import { planRefusal } from "../../src/advisor/plan-refusal.ts";
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import type { RunStatus } from "../../src/domain/run.ts";
import type { SetupId } from "../../src/domain/session.ts";
import { bodies } from "../../src/journal/content.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { setupsToRide } from "../../src/stats/rider-plan.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, type MadeSession, madeSession, normals } from "../stats/made-session.ts";

const SEED = 260_509;
const SETUPS = ["A", "B", "C", "D"];
const RIDERS = ["R1", "R2", "R3", "R4"];

const someSetups = fc.option(fc.subarray(SETUPS), { nil: null });
const someRuns = fc.option(fc.integer({ min: 1, max: 20 }), { nil: null });
const status = fc.constantFrom<RunStatus>(
  ...([
    "ok",
    "ok",
    "ok",
    "ok",
    "ok",
    "ok",
    "ok",
    "void",
    "dnf",
    "unsure",
    "warm-up",
    "on-course",
  ] as const),
);

const clubDays = fc
  .record({
    riders: fc.integer({ min: 1, max: 4 }),
    own: fc.array(fc.record({ setups: someSetups, plannedRuns: someRuns }), {
      minLength: 4,
      maxLength: 4,
    }),
    rides: fc.array(
      fc.record({
        rider: fc.nat({ max: 3 }),
        setup: fc.option(fc.constantFrom(...SETUPS), { nil: null, freq: 1 }),
        status,
        sectors: fc.constantFrom<number[]>([], [], [], [], [], [1], [1, 2]),
      }),
      { maxLength: 60, size: "max" },
    ),
    plannedSetups: fc.subarray(SETUPS, { minLength: 1 }),
    plannedRuns: someRuns,
    days: fc.integer({ min: 1, max: 3 }),
    drift: fc.constantFrom("none" as const, "linear" as const, "learning" as const),
    spreads: fc.constantFrom("each" as const, "common" as const),
    newTo: fc.subarray(SETUPS),
    isTimed: fc.boolean(),
    isEven: fc.boolean(),
    seed: fc.nat(),
  })
  .map((day): MadeSession => {
    const normal = normals(day.seed);
    const riders = RIDERS.slice(0, day.riders);
    const runs = day.rides.map((ride, i): MadeRun => {
      const r = ride.rider % day.riders;
      const toRide = day.own[r]?.setups ?? SETUPS;
      const turn = Math.floor(i / (2 * day.riders));
      const setup = ride.setup ?? toRide[turn % toRide.length] ?? "A";
      const first = day.isEven ? 40 : 40 + 0.4 * normal();
      const second = day.isEven ? 60 : 60 + 0.4 * normal() - (setup === "B" ? 2 : 0);
      const isFinished = ride.status !== "dnf" && ride.status !== "on-course";
      return {
        rider: riders[r] ?? "R1",
        setup,
        day: Math.floor((i * day.days) / Math.max(1, day.rides.length)),
        status: ride.status,
        timeS: isFinished ? first + second : null,
        sectorS: isFinished ? [first, second] : [null, null],
        voidSectors: ride.status === "ok" ? ride.sectors : [],
      };
    });
    const isOpen = day.plannedRuns === null;
    return {
      runs,
      riders,
      setups: SETUPS,
      plannedSetups: day.plannedSetups,
      own: Object.fromEntries(riders.map((id, i) => [id, day.own[i] ?? {}])),
      newTo: { R1: day.newTo },
      sectors: ["Roots", "Gully"],
      isClosed: true,
      settings: {
        plannedRuns: day.plannedRuns,
        days: isOpen ? 1 : day.days,
        bands: isOpen ? "open" : "plan",
        drift: day.drift,
        spreads: day.spreads,
        marginS: 1,
        ...(day.isTimed ? { minutes: 200, lapMinutes: 9 } : {}),
      },
    };
  });

/** Every number anywhere in an answer. */
function numbersIn(value: unknown): readonly number[] {
  if (typeof value === "number") return [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(numbersIn);
}

function holds(property: (input: ComparisonInput) => void): void {
  fc.assert(
    fc.property(clubDays, (made) => {
      property(madeSession(made));
    }),
    { seed: SEED, numRuns: 200 },
  );
}

describe("whatever riders are to ride and rode", () => {
  it("the comparison is numbers or null, and tells only of what a rider rides or rode", () => {
    let bands = 0;
    holds((input) => {
      const riders = compareRiders(input);
      const together = compareTogether(input);
      for (const value of numbersIn({ riders, together }))
        expect(Number.isFinite(value)).toBe(true);
      riders.forEach(({ parts }, i) => {
        const rider = input.riders[i];
        const own = rider === undefined ? [] : setupsToRide(input, rider);
        const ridden = input.runs
          .filter((run) => run.rider === rider?.id && run.status === "ok")
          .map((run) => run.setup);
        const wanted = SETUPS.filter(
          (setup) => setup !== "A" && (own.includes(setup) || ridden.includes(setup)),
        );
        for (const part of parts) expect(part.pairs.map((pair) => pair.setup)).toEqual(wanted);
        bands += parts.flatMap((part) => part.pairs).filter((pair) => pair.band_s !== null).length;
      });
    });
    expect(bands).toBeGreaterThan(20);
  });

  it("a rider is only ever sent on a set-up of that rider's", () => {
    let sent = 0;
    const isOwn = (input: ComparisonInput, rider: string | null, setup: SetupId): boolean => {
      const found = input.riders.find((each) => each.id === rider);
      return found !== undefined && setupsToRide(input, found).includes(setup);
    };
    holds((input) => {
      const all = [
        adviseNext(input, compareRiders(input)),
        ...input.riders.map((rider) => adviseRider(input, rider)),
      ];
      for (const { next, alternatives } of all) {
        for (const value of numbersIn({ next, alternatives }))
          expect(Number.isFinite(value)).toBe(true);
        for (const setup of [next.setup, ...alternatives.map((a) => a.setup)]) {
          if (setup === null) continue;
          sent += 1;
          expect(isOwn(input, next.rider, setup)).toBe(true);
        }
        expect(next.because).not.toBe("");
      }
    });
    expect(sent).toBeGreaterThan(300);
  });

  it("a plan is refused in words or made, and what is fixed of it fits the journal", () => {
    let refused = 0;
    holds((input) => {
      const sheet = { ...input, gates: [], gear: NO_GEAR };
      const refusal = planRefusal(sheet);
      if (refusal !== null) {
        refused += 1;
        expect(() => fixPlan(sheet)).toThrow(refusal.message);
        const smallest = /at least (\d+) runs/.exec(refusal.hint)?.[1];
        const riders = sheet.riders.map((rider) => ({
          ...rider,
          plannedRuns: Math.max(
            Number(smallest),
            rider.plannedRuns ?? sheet.settings.plannedRuns ?? 0,
          ),
        }));
        expect(planRefusal({ ...sheet, riders })).toBeNull();
        return;
      }
      const fixed = fixPlan(sheet);
      expect(bodies["plan-fixed"].parse(fixed)).toEqual(fixed);
      for (const value of numbersIn(fixed)) expect(Number.isFinite(value)).toBe(true);
      for (const value of numbersIn(planDay(sheet))) expect(Number.isFinite(value)).toBe(true);
    });
    expect(refused).toBeGreaterThan(3);
  });
});
