// The program's own error rates: a smaller, seeded version of what `calibrate` prints.
import { beforeAll, describe, expect, it } from "vitest";
import { type Calibration, calibrationOf } from "../../src/calibrate/calibration.ts";
import { calibrationLines } from "../../src/calibrate/calibration-lines.ts";
import { type Cell, cellsOf, PLAIN } from "../../src/calibrate/cell.ts";
import { isWrong } from "../../src/calibrate/judge-day.ts";
import { BlockRider } from "../../src/calibrate/ride-block.ts";
import { rideInThreads, type Wanted } from "../../src/calibrate/ride-in-threads.ts";
import { type Trial, trialOf } from "../../src/calibrate/trial.ts";
import { aTrial } from "./a-trial.ts";

const ENTRY = new URL("./a-thread.ts", import.meta.url);

async function tallies(
  trial: Trial,
  count: number,
  wanted: Partial<Wanted> = {},
): ReturnType<typeof rideInThreads> {
  const stop = new AbortController().signal;
  const all = { trial, days: 20, seed: 5, stop, onProgress: () => undefined, ...wanted };
  return rideInThreads(all, { entry: ENTRY, count });
}

describe("a calibration in threads", () => {
  const trial = aTrial({ settings: { marginS: 1.5 } });
  let calibration: Calibration;
  beforeAll(async () => {
    calibration = calibrationOf(trial, 5, await tallies(trial, 2));
  });

  it("is the same with one thread as with two, digit for digit", async () => {
    expect(calibrationOf(trial, 5, await tallies(trial, 1))).toEqual(calibration);
  });

  it("differs with another seed", async () => {
    const other = calibrationOf(trial, 5, await tallies(trial, 2, { seed: 6 }));
    expect(other.cells).not.toEqual(calibration.cells);
  });

  it("prints the document that scripts rely on", () => {
    expect(calibration).toMatchObject({
      format: "swaplap-calibration",
      version: 1,
      days: 20,
      seed: 5,
    });
    expect(Object.keys(calibration)).toEqual([
      "format",
      "version",
      "days",
      "seed",
      "plan",
      "cells",
      "beside",
      "forecast",
    ]);
    for (const cell of calibration.cells) {
      expect(Object.keys(cell)).toEqual([
        "drift",
        "spread_ratio",
        "setup_learning_spreads",
        "mistakes",
        "effect_spreads",
        "called",
        "called_se",
        "wrong",
        "no_difference",
        "decided",
        "decided_wrong",
        "mean_runs",
        "mean_swaps",
        "mean_minutes",
      ]);
      expect(cell.called_se).toBeCloseTo(Math.sqrt((cell.called * (1 - cell.called)) / 20), 12);
      expect(cell.wrong).toBeLessThanOrEqual(1);
      expect(cell.mean_runs).toBeGreaterThan(4);
      expect(cell.mean_runs).toBeLessThanOrEqual(12);
    }
    for (const row of calibration.forecast) {
      expect(row).toEqual({
        at_run: expect.any(Number) as number,
        predicted: expect.any(Number) as number,
        observed: expect.any(Number) as number,
        days: expect.any(Number) as number,
      });
    }
    expect(JSON.stringify(calibration)).not.toMatch(/null,"(?!minutes|order)|NaN/);
  });

  it("says the same in words, each share with its simulation error", () => {
    const text = calibrationLines(calibration).join("\n");
    const none = calibration.cells[0];
    const called = (100 * (none?.called ?? 0)).toFixed(1);
    const error = (100 * (none?.called_se ?? 0)).toFixed(1);
    expect(text).toContain("20 days a figure, seed 5.");
    expect(text).toMatch(new RegExp(`^drift none +${called} \\+-${error}`, "m"));
    expect(text).toMatch(/^Note: new_to names no set-up: getting used to B is simulated undecl/m);
    expect(text).toMatch(/^Days with no difference worth having/m);
    // After two fifths, run 5, no forecast is given yet: it takes four degrees of freedom.
    expect(text).toMatch(/^Chance of a verdict within the plan, said after run 7 of 12/m);
    expect(
      Math.max(
        ...text
          .split("\n")
          .slice(4)
          .map((line) => line.length),
      ),
    ).toBeLessThan(110);
  });

  it("tells days whose step was marked beside the others", () => {
    const marked = calibration.beside.filter((cell) => cell.ground_marked);
    expect(marked.map((cell) => [cell.drift, cell.effect_spreads])).toEqual(
      [0, 0.5, 1, 1.5, 2].map((effect) => ["ground-step", effect]),
    );
    expect(calibration.beside.filter((cell) => cell.drift === "ground-step")).toEqual(marked);
    const rows = calibrationLines(calibration).filter((each) => each.includes("step, marked"));
    const percents = (called: number): string => (100 * called).toFixed(1);
    // Calls where there is nothing, calls and wrong verdicts at each difference, "no difference".
    expect(rows).toHaveLength(4);
    for (const row of rows) expect(row).toMatch(/^ground-step, marked {4}/);
    expect(rows[0]).toContain(` ${percents(marked[0]?.called ?? Number.NaN)} +-`);
    for (const cell of marked) expect(rows[1]).toContain(` ${percents(cell.called)} +-`);
  });

  it("stopped early, answers from the rounds that every cell has finished", async () => {
    const stop = new AbortController();
    const stopped = await tallies(trial, 2, {
      days: 160,
      stop: stop.signal,
      onProgress: (ridden, all) => {
        if (ridden > all / 2) stop.abort();
      },
    });
    const days = new Set(stopped.map((tally) => tally.days));
    expect(days.size).toBe(1);
    const [ridden = 0] = days;
    expect(ridden).toBeGreaterThanOrEqual(48);
    expect(ridden).toBeLessThan(160);
    expect(await tallies(trial, 1, { days: ridden })).toEqual(stopped);
  });

  it("stopped before it began, has nothing to say", async () => {
    expect(await tallies(trial, 1, { stop: AbortSignal.abort() })).toEqual([]);
  });
});

describe("the lines of a calibration", () => {
  /** Two days of every kind, ridden without threads. */
  function linesOf(trial: Trial): string {
    const rider = new BlockRider(trial);
    const tallies = cellsOf(trial).map((cell, i) => rider.ride({ cell, days: 2, seed: i + 1 }));
    return calibrationLines(calibrationOf(trial, 1, tallies)).join("\n");
  }

  it("tell of all riders together, of the days, and of the odd set-up", () => {
    const text = linesOf(
      aTrial({
        setups: ["A", "B", "C"],
        riders: ["R1", "R2", "R3"],
        settings: { plannedRuns: 12, days: 2 },
      }),
    );
    expect(text).toMatch(/^Set-ups A B C, 12 counted runs over 2 days, order suggested/);
    expect(text.match(/^The same days, all 3 riders together$/gm)).toHaveLength(2);
    expect(text).toMatch(/^odd A, drift tiring( +\d+\.\d \+-\d+\.\d){2}$/m);
    expect(text).toMatch(/^ratio 0\.33 of B/m);
    expect(text).toMatch(/^end overtime( +\d+\.\d \+-\d+\.\d){3}$/m);
    expect(text).toContain("no margin");
  });

  it("leave out what was not asked for", () => {
    const { sheet, order } = aTrial();
    const none = linesOf(trialOf(sheet, order, null, "no-difference"));
    expect(none).toMatch(/^drift none/m);
    expect(none).not.toMatch(/^B differs|^Chance of a verdict/m);
    const found = linesOf(trialOf(sheet, order, null, "difference"));
    expect(found).toMatch(/^B differs/m);
    expect(found).not.toMatch(/^mistakes|^end overtime/m);
  });
});

/** Three standard errors above a share that is promised. */
const atMost = (share: number, days: number): number =>
  share + 3 * Math.sqrt((share * (1 - share)) / days);

describe("on days of twelve runs", () => {
  const days = 2000;

  it.each([
    ["suggested", { ...PLAIN }],
    ["suggested", { ...PLAIN, drift: "slow-learning" }],
    ["suggested", { ...PLAIN, drift: "mixed", mistakes: 0.05 }],
    ["mirrored", { ...PLAIN, drift: "ground-step" }],
    ["suggested", { ...PLAIN, drift: "tiring", ending: "announced" }],
    ["suggested", { ...PLAIN, ending: "overtime" }],
  ] as const)(
    "a difference that is not there is called on one in twenty at the most, order %s, %o",
    (order, cell) => {
      const tally = new BlockRider(aTrial({ order })).ride({ cell, days, seed: 3 });
      expect(tally.called / days).toBeLessThan(atMost(0.05, days));
      expect(tally.wrong).toBe(tally.called);
      expect(tally.called).toBeGreaterThan(0);
    },
  );

  it("spreads that differ threefold cost less than a point", () => {
    const cell: Cell = { ...PLAIN, spreadRatio: 3 };
    const tally = new BlockRider(aTrial()).ride({ cell, days, seed: 4 });
    expect(tally.called / days).toBeLessThan(atMost(0.058, days));
  });

  it("a difference of a spread and a half is found on 56 % and takes 11 runs", () => {
    const tally = new BlockRider(aTrial({ order: "mirrored" })).ride({
      cell: { ...PLAIN, effect: 1.5 },
      days,
      seed: 5,
    });
    // Simulated before with another program: 56.4 % with a spread for each set-up, 11.0 runs.
    expect(Math.abs(tally.called / days - 0.564)).toBeLessThan(3 * Math.sqrt(0.25 / days));
    expect(Math.abs(tally.runs / days - 11)).toBeLessThan(0.15);
    expect(tally.wrong / days).toBeLessThan(0.005);
  });

  it("a set-up that is new, and not declared so, is slandered; declared, hardly", () => {
    const cell: Cell = { ...PLAIN, setupLearning: 2 };
    const wrong = (trial: Trial): number =>
      new BlockRider(trial).ride({ cell, days: 1000, seed: 6 }).wrong / 1000;
    // Simulated before with another program: 37 % undeclared, 2.8 % "slower" with three practice runs.
    expect(wrong(aTrial())).toBeGreaterThan(0.25);
    expect(wrong(aTrial({ newTo: ["B"] }))).toBeLessThan(atMost(0.05, 1000));
  });
});

describe("with a step of the ground at mid-day", () => {
  const days = 1500;
  const called = (isMarked: boolean, effect: number): number => {
    const cell: Cell = { ...PLAIN, drift: "ground-step", isMarked, effect };
    const trial = aTrial({ settings: { plannedRuns: 20 } });
    return new BlockRider(trial).ride({ cell, days, seed: 31 }).called / days;
  };

  it("a difference is found more often once the step is marked", () => {
    // Simulated before with another program, 100 000 days: 84 instead of 79 %.
    const error = Math.sqrt(0.15 / days);
    const [plain, marked] = [called(false, 1.5), called(true, 1.5)];
    expect(Math.abs(plain - 0.79)).toBeLessThan(3 * error);
    expect(Math.abs(marked - 0.84)).toBeLessThan(3 * error);
    expect(marked - plain).toBeGreaterThan(2 * Math.SQRT2 * error);
  });

  it("and none is called where there is none, more than one day in twenty", () => {
    expect(called(true, 0)).toBeLessThan(atMost(0.05, days));
  });
});

describe("with three set-ups", () => {
  it.each([
    PLAIN,
    { ...PLAIN, spreadRatio: 3, odd: "baseline" },
    { ...PLAIN, drift: "tiring", spreadRatio: 3 },
  ] as const)(
    "a difference that is not there is called on one in twenty at the most, any pair, %o",
    (cell) => {
      const days = 400;
      const trial = aTrial({ setups: ["A", "B", "C"] });
      const tally = new BlockRider(trial).ride({ cell, days, seed: 7 });
      expect(tally.called / days).toBeLessThan(atMost(0.05, days));
    },
  );
});

describe("with a day about one of four set-ups", () => {
  const days = 600;
  const four = { setups: ["A", "B", "C", "D"], order: "mirrored" } as const;
  const called = (mainSetup: string | null, cell: Cell): number => {
    const trial = aTrial({ ...four, settings: { plannedRuns: 24, mainSetup } });
    return new BlockRider(trial).ride({ cell, days, seed: 9 }).called / days;
  };

  it("it is found as often as with one spread for all", () => {
    // Simulated before with another program, 100 000 days: 44 instead of 31 %.
    const cell: Cell = { ...PLAIN, effect: 1.5 };
    const error = 3 * Math.sqrt(0.24 / days);
    expect(Math.abs(called("B", cell) - 0.44)).toBeLessThan(error);
    expect(Math.abs(called(null, cell) - 0.31)).toBeLessThan(error);
  });

  it("and none is called where there is no difference, more than one day in twenty", () => {
    const cell: Cell = { ...PLAIN, spreadRatio: 3, odd: "baseline" };
    expect(called("B", cell)).toBeLessThan(atMost(0.05, days));
  });
});

describe("with three riders", () => {
  it("nor is it of all riders together, whose spreads differ", () => {
    const days = 1000;
    const trial = aTrial({ riders: ["R1", "R2", "R3"], settings: { plannedRuns: 8 } });
    const ride = (cell: Cell): number =>
      new BlockRider(trial).ride({ cell, days, seed: 8 }).together.called / days;
    expect(ride({ ...PLAIN, drift: "ground-walk" })).toBeLessThan(atMost(0.05, days));
    expect(ride({ ...PLAIN, spreadRatio: 2 })).toBeLessThan(atMost(0.05, days));
    // Together they find what one rider's eight runs do not: a third of the days alone.
    expect(ride({ ...PLAIN, effect: 1.5 })).toBeGreaterThan(0.8);
  });
});

describe("what cannot be simulated", () => {
  it("a plan too short is refused with what would do", () => {
    expect(() => aTrial({ settings: { plannedRuns: 5 } })).toThrow(
      "planned_runs = 5: too few runs to promise anything about 2 set-ups",
    );
  });

  it("a single set-up is refused", () => {
    expect(() => aTrial({ setups: ["A"] })).toThrow("nothing is compared");
  });

  it("what the sheet leaves open is said", () => {
    const open = aTrial({
      settings: { plannedRuns: null, bands: "open", spreadS: null, marginS: 1, lapMinutes: null },
      riders: ["R1", "R2"],
      newTo: ["B"],
    });
    expect(open.notes).toEqual([
      "no planned_runs: days of 20 runs",
      "no spread_s: the margin is set against a spread of 1.13 s",
      "several riders: the figures are of R1, whose own comparison has its own promise",
      "two riders: nothing is claimed of both together",
    ]);
  });
});

it.each([
  ["quicker", 0, null, true],
  ["quicker", 1, null, true],
  ["quicker", -1, null, false],
  ["slower", 0, null, true],
  ["slower", 1, 2, false],
  ["no-difference", 1, 1, true],
  ["no-difference", -0.9, 1, false],
  ["cannot-tell", 5, 1, false],
] as const)(
  "the verdict %s at a true %f s, margin %s: wrong is %s",
  (verdict, truth, margin, wrong) => {
    expect(isWrong(verdict, truth, margin)).toBe(wrong);
  },
);
