// Orders of set-ups compared by whole days: what is ridden, what counts as decided, and what the
// suggestion is worth beside fixed orders.
import { describe, expect, it } from "vitest";
import { adviseNext } from "../../src/advisor/next-setup.ts";
import { riderStanding } from "../../src/advisor/rider-standing.ts";
import { calibrationOf } from "../../src/calibrate/calibration.ts";
import { calibrationLines } from "../../src/calibrate/calibration-lines.ts";
import { type Cell, cellsOf, PLAIN } from "../../src/calibrate/cell.ts";
import { judgeDay } from "../../src/calibrate/judge-day.ts";
import { normals } from "../../src/calibrate/normal.ts";
import { fixedOrder, type OrderKind } from "../../src/calibrate/order.ts";
import { BlockRider, sharedBy } from "../../src/calibrate/ride-block.ts";
import { beforeFirstRide, rideDay } from "../../src/calibrate/ride-day.ts";
import { rideInThreads } from "../../src/calibrate/ride-in-threads.ts";
import type { RiderDay } from "../../src/calibrate/rider-day.ts";
import { emptyTally } from "../../src/calibrate/tally.ts";
import type { Trial } from "../../src/calibrate/trial.ts";
import { differenceOn, type TrueDifference } from "../../src/calibrate/true-difference.ts";
import { calibrateCommand } from "../../src/cli/commands/calibrate.ts";
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { aTrial, type TrialGiven } from "./a-trial.ts";

const ENTRY = new URL("./a-thread.ts", import.meta.url);
const BEST: Cell = { ...PLAIN, differs: "best", drift: "day" };

interface Ridden {
  readonly day: RiderDay;
  readonly riders: readonly RiderDay[];
  readonly truth: TrueDifference;
}

function ridden(trial: Trial, cell: Cell, count: number): readonly Ridden[] {
  const uniform = seededRandom(23);
  const chance = { uniform, normal: normals(uniform) };
  const shared = sharedBy(trial, true);
  return Array.from({ length: count }, (_, i) => {
    const truth = differenceOn(trial, cell, i, 0);
    const riders = rideDay(shared, cell, beforeFirstRide(trial, 7), truth, chance);
    const [day] = riders;
    if (day === undefined) throw new RangeError("somebody rides");
    return { day, riders, truth };
  });
}

const setupsOf = ({ runs }: RiderDay): string => runs.map((run) => run.setup).join("");

describe("an order", () => {
  const text = (kind: OrderKind, setups: string, places: number, isReversed = false): string => {
    const order = fixedOrder(kind, Array.from(setups), isReversed, seededRandom(5));
    return Array.from({ length: places }, (_, i) => order?.at(0, i) ?? "-").join("");
  };

  it.each([
    ["mirrored", "AB", "ABBAABBAAB", "BAABBAABBA"],
    ["in-turn", "AB", "ABABABABAB", "BABABABABA"],
    ["mirrored", "ABC", "ABCCBAABCCBA", "CBAABCCBAABC"],
    ["in-turn", "ABC", "ABCABCABCABC", "CBACBACBACBA"],
  ] as const)("%s of %s is %s, from the other end %s", (kind, setups, there, back) => {
    expect(text(kind, setups, there.length)).toBe(there);
    expect(text(kind, setups, back.length, true)).toBe(back);
  });

  it("of random passes has every set-up once a pass, each way to do so as often", () => {
    const passes = text("random-passes", "ABC", 6000).match(/.{3}/g) ?? [];
    const counts = new Map<string, number>();
    for (const pass of passes) counts.set(pass, (counts.get(pass) ?? 0) + 1);
    expect([...counts.keys()].toSorted()).toEqual(["ABC", "ACB", "BAC", "BCA", "CAB", "CBA"]);
    // Five standard errors of a sixth of 2000.
    for (const count of counts.values()) expect(Math.abs(count - 2000 / 6)).toBeLessThan(84);
  });

  it.each(["mirrored", "in-turn", "random-passes"] as const)("is what is ridden, %s", (order) => {
    const trial = aTrial({ setups: ["A", "B", "C"], order, settings: { plannedRuns: 14 } });
    const days = ridden(trial, BEST, 4).map(({ day }) => setupsOf(day));
    for (const day of days) expect(day).toHaveLength(14);
    expect(new Set(days).size).toBe(order === "random-passes" ? 4 : 1);
    if (order !== "random-passes") expect(days[0]).toBe(text(order, "ABC", 14));
  });

  it("that there is not is refused with those that there are", async () => {
    const command = calibrateCommand(ENTRY).exitOverride();
    command.configureOutput({ writeErr: () => undefined });
    await expect(command.parseAsync(["--order", "zigzag"], { from: "user" })).rejects.toThrow(
      "'zigzag' is invalid. give one of suggested, mirrored, in-turn, random-passes.",
    );
  });
});

describe("a day with one best set-up", () => {
  it("has each in turn, the baseline too, quicker than all others", () => {
    const trial = aTrial({ setups: ["A", "B", "C"] });
    const truths = [0, 1, 2, 3].map((day) => differenceOn(trial, { ...BEST, effect: 2 }, day, 4));
    expect(truths).toEqual(["B", "C", "A", "B"].map((setup) => ({ setup, spreads: -2 })));
  });

  const plans: readonly (readonly [string, number, TrialGiven, Cell["ending"]])[] = [
    ["two set-ups", 1.5, {}, "planned"],
    ["two, in turn", 1.5, { order: "in-turn" }, "planned"],
    ["three set-ups", 2.5, { setups: ["A", "B", "C"], settings: { plannedRuns: 15 } }, "planned"],
    [
      "three, ended by the clock",
      2,
      {
        setups: ["A", "B", "C"],
        swapMinutes: 4,
        settings: { plannedRuns: 16, minutes: 150, spreads: "common" },
      },
      "clock",
    ],
  ];

  it.each(plans)("is decided when the program says so, %s", (_, effect, given, ending) => {
    const trial = aTrial(given);
    const days = ridden(trial, { ...BEST, effect, ending }, 12);
    const tally = emptyTally([]);
    const counts = { decided: 0, wrong: 0, runs: 0 };
    for (const { day, riders, truth } of days) {
      judgeDay(trial, sharedBy(trial, true).promises, riders, truth, tally);
      const looks = Array.from({ length: day.counted }, (__, i) => atLook(day, i + 1));
      const at = looks.findIndex((input) => stopAt(input) === "decided");
      expect(day.decidedAt).toBe(at < 0 ? null : at + 1);
      const input = looks[at];
      const leader = input && riderStanding(input, day.rider)?.leader;
      counts.decided += Number(leader === truth.setup);
      counts.wrong += Number(leader !== undefined && leader !== truth.setup);
      counts.runs += at < 0 ? day.counted : at + 1;
    }
    expect(tally).toMatchObject({
      days: 12,
      decided: counts.decided,
      decidedWrong: counts.wrong,
      runs: counts.runs,
    });
    expect(counts.decided).toBeGreaterThan(1);
    expect(counts.decided).toBeLessThan(12);
  });

  /** The session after so many runs; without its hours, which would end it before it is decided. */
  function atLook({ input, end }: RiderDay, n: number): ComparisonInput {
    const known = end !== null && end.announcedAtRun <= n ? [end] : [];
    const settings = { ...input.settings, minutes: null };
    return { ...input, settings, runs: input.runs.slice(0, n), plannedEnds: known };
  }

  const stopAt = (input: ComparisonInput): string | null =>
    adviseNext(input, compareRiders(input)).next.stop;

  it("where nothing differs is decided wrongly or not at all", () => {
    const tally = new BlockRider(aTrial({ settings: { confidence: 0.9 } })).ride({
      cell: BEST,
      days: 300,
      seed: 2,
    });
    expect(tally.decided).toBe(0);
    expect(tally.decidedWrong).toBe(tally.called);
    expect(tally.called).toBeGreaterThan(3);
  });

  it("is counted alike by one thread and by two, random passes too", async () => {
    const trial = aTrial({
      order: "random-passes",
      kinds: "best",
      swapMinutes: 4,
      settings: { minutes: 120 },
    });
    const stop = new AbortController().signal;
    const ride = async (count: number): ReturnType<typeof rideInThreads> => {
      const wanted = { trial, days: 40, seed: 5, stop, onProgress: () => undefined };
      return rideInThreads(wanted, { entry: ENTRY, count });
    };
    const tallies = await ride(2);
    expect(await ride(1)).toEqual(tallies);
    const calibration = calibrationOf(trial, 5, tallies);
    expect(calibration.cells.map((cell) => [cell.drift, cell.effect_spreads])).toEqual(
      [0, 0.5, 1, 1.5, 2].map((effect) => ["day", effect]),
    );
    expect(calibration.beside.map((cell) => cell.ending)).toEqual(
      [0, 1, 2, 3, 4].map(() => "clock"),
    );
    const large = calibration.cells[4];
    const text = calibrationLines(calibration).join("\n");
    expect(text).toContain("Days on which it is found, called quicker than every other set-up, %");
    expect(text).toContain(` ${(100 * (large?.decided ?? 0)).toFixed(1)} +-`);
    expect(text).toMatch(/^end by the clock, drift day( +\d+ min, \d\.\d){5}$/m);
  });
});

describe("an end by the clock", () => {
  it.each(["mirrored", "in-turn", "random-passes", "suggested"] as const)(
    "is announced in time, and is the last run that fits, %s",
    (order) => {
      const trial = aTrial({
        order,
        swapMinutes: 10,
        settings: { plannedRuns: 20, minutes: 180 },
      });
      for (const { day } of ridden(trial, { ...BEST, ending: "clock" }, 6)) {
        const { endRun, announcedAtRun } = day.end ?? { endRun: 0, announcedAtRun: 0 };
        if (day.decidedAt !== null && day.end === null) continue;
        expect(endRun - announcedAtRun).toBeGreaterThanOrEqual(2);
        expect(endRun - announcedAtRun).toBeLessThanOrEqual(3);
        expect(day.counted).toBe(endRun);
        expect(day.minutes).toBeLessThanOrEqual(180);
        // In turn, one more would be a swap and a lap; else at the least a lap.
        expect(day.minutes).toBeGreaterThan(180 - (order === "suggested" ? 8 : 18));
      }
    },
  );

  it("is none where the plan fits", () => {
    const trial = aTrial({ settings: { minutes: 180 } });
    expect(cellsOf({ ...trial, kinds: "best" }).some((cell) => cell.ending === "clock")).toBe(true);
    for (const { day } of ridden(trial, { ...BEST, ending: "clock" }, 3)) {
      expect(day.end).toBeNull();
      expect(day.counted).toBe(12);
    }
  });
});

describe("the suggestion", () => {
  const found = (given: TrialGiven, days: number): number => {
    const cell: Cell = { ...BEST, effect: 2, ending: "clock" };
    return new BlockRider(aTrial(given)).ride({ cell, days, seed: 3 }).decided / days;
  };

  it("finds the better of two sooner than fixed orders where swaps are dear", () => {
    const days = 600;
    const settings = { plannedRuns: 20, minutes: 180 };
    const [own = 0, mirrored = 0, inTurn = 0] = (["suggested", "mirrored", "in-turn"] as const).map(
      (order) => found({ order, swapMinutes: 10, settings }, days),
    );
    // Simulated with 4000 days: 85.5, 74.0 and 36.6 %.
    const error = 3 * Math.sqrt((2 * 0.25) / days);
    expect(own - mirrored).toBeGreaterThan(0.115 - error);
    expect(mirrored - inTurn).toBeGreaterThan(error);
    expect(own).toBeGreaterThan(mirrored);
  });

  it("with four set-ups weighs every one that is open", () => {
    const days = 300;
    const setups = ["A", "B", "C", "D"];
    const settings = { plannedRuns: 40, minutes: 480 };
    // Simulated with 3000 days: 81 %, and 64 where only the closest rival is weighed.
    expect(found({ setups, swapMinutes: 10, settings }, days)).toBeGreaterThan(0.73);
  });
});
