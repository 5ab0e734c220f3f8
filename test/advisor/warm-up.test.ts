// When a rider is up to speed, and what is said until then.
import { describe, expect, it } from "vitest";
import { type Advice, adviseNext } from "../../src/advisor/next-setup.ts";
import { warmUpState } from "../../src/advisor/warm-up.ts";
import { normals } from "../../src/calibrate/normal.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { expectAbs, readData } from "../reference/cases.ts";
import { type RunGiven, type SessionGiven, sessionOf } from "./sessions.ts";

const SEED = 20260509;

interface Case {
  readonly name: string;
  readonly inputs: { readonly laps: readonly number[]; readonly sigma0: number };
  readonly expected: { readonly fall: number; readonly limit: number; readonly settled: boolean };
  readonly tolerance: number;
}

// R 4.2, lm(): planning.R beside the data.
it.each(["warmup-not-settled", "warmup-settled"])("%s", (name) => {
  const { fixtures } = readData("planning.json") as { fixtures: readonly Case[] };
  const found = fixtures.find((fixture) => fixture.name === name);
  if (found === undefined) throw new RangeError(`planning.json has no ${name}`);
  const state = warmUpState(found.inputs.laps, found.inputs.sigma0);
  expectAbs(state.fallS, found.expected.fall, found.tolerance);
  expectAbs(state.limitS, found.expected.limit, found.tolerance);
  expect(state.isSettled).toBe(found.expected.settled);
});

describe("rates", () => {
  const RIDERS = 2000;
  const TABLE = 20_000;

  /** A rider learns start * exp(-(lap - 1) / laps to a third), in spreads. */
  function warmedUp(start: number, fade: number, sigma0: number) {
    const draw = normals(seededRandom(SEED));
    return Array.from({ length: RIDERS }, () => {
      const times: number[] = [];
      for (;;) {
        times.push(100 + start * Math.exp(-times.length / fade) + draw());
        const { laps, isSettled, isOver } = warmUpState(times, sigma0);
        const left = start * Math.exp(-laps / fade);
        if (isOver) return { laps, isSettled, isEarly: left > 1 };
      }
    });
  }

  // 20 000 simulated riders a row, by a program other than this one: mean laps; per cent begun with
  // more than a spread still to learn; per cent not settled within eight laps. The spread told is the
  // true one, half of it, twice of it.
  it.each([
    [0, 2, 1, 4.2, 0, 0],
    [0, 2, 0.5, 4.4, 0, 0],
    [0, 2, 2, 4.0, 0, 0],
    [2, 2, 1, 4.8, 0, 0],
    [2, 2, 0.5, 5.4, 0, 2],
    [2, 2, 2, 4.2, 0, 0],
    [4, 2, 1, 5.7, 0, 1],
    [4, 2, 0.5, 6.5, 0, 9],
    [4, 2, 2, 4.7, 0, 0],
    [6, 2, 1, 6.5, 0, 4],
    [6, 2, 0.5, 7.1, 0, 20],
    [6, 2, 2, 5.4, 0, 0],
    [4, 4, 1, 5.3, 60, 1],
    [4, 4, 0.5, 6.2, 35, 10],
    [4, 4, 2, 4.3, 94, 0],
    [8, 3, 1, 7.2, 25, 21],
    [8, 3, 0.5, 7.6, 10, 50],
    [8, 3, 2, 5.9, 73, 0],
  ])("learning %f exp(-(lap - 1) / %f), spread told %f of the true", (...row) => {
    const [start, fade, sigma0, laps, early, never] = row;
    const riders = warmedUp(start, fade, sigma0);
    const mean = riders.reduce((sum, each) => sum + each.laps, 0) / RIDERS;
    const variance = riders.reduce((sum, each) => sum + (each.laps - mean) ** 2, 0) / RIDERS;
    // Of both simulations; the table rounds as well.
    const error = (v: number): number => Math.sqrt(v / RIDERS + v / TABLE);
    expectAbs(mean, laps, 3 * error(variance) + 0.05);
    for (const [told, isSo] of [
      [early, (each: (typeof riders)[number]) => each.isEarly],
      [never, (each: (typeof riders)[number]) => !each.isSettled],
    ] as const) {
      const share = riders.filter(isSo).length / RIDERS;
      const p = Math.max(share, 0.005);
      expectAbs(share, told / 100, 3 * error(p * (1 - p)) + 0.005);
    }
  });
});

describe("a warm-up lap by lap", () => {
  const falling = [99.8, 97.1, 95.6, 94.2, 94.6, 94];

  it("is judged over the last four, and a rider who gets slower is up to speed", () => {
    expect(warmUpState(falling.slice(0, 3), 0.9)).toMatchObject({ fallS: null, isSettled: false });
    expect(warmUpState([...falling].reverse(), 0.9)).toMatchObject({ isSettled: true });
  });

  it("is over after eight laps though there is more to find", () => {
    const times = Array.from({ length: 8 }, (_, i) => 100 - 2 * i);
    expect(warmUpState(times.slice(0, 7), 1)).toMatchObject({ isSettled: false, isOver: false });
    const state = warmUpState(times, 1);
    expect(state).toMatchObject({ laps: 8, isSettled: false, isOver: true });
    expectAbs(state.perRunS, 2, 1e-12);
  });

  it("without a usual spread is over after four laps, whatever they show", () => {
    const state = warmUpState(falling.slice(0, 4), null);
    expect(state).toMatchObject({ limitS: null, isSettled: true, isOver: true });
    expect(warmUpState(falling.slice(0, 3), null).isOver).toBe(false);
  });
});

describe("the suggestion", () => {
  function adviceFor(given: SessionGiven): Advice {
    const input = sessionOf({ mounted: "B", ...given });
    return adviseNext(input, compareRiders(input));
  }
  const warmUps = (times: readonly number[], setup = "A"): RunGiven[] =>
    times.map((timeS) => ({ setup, timeS, status: "warm-up" }));
  const spread = { spreadS: 0.9 };
  const falling = [99.8, 97.1, 95.6, 94.2, 94.6, 94];
  const nextAfter = (times: readonly number[], settings: SessionGiven["settings"] = spread) =>
    adviceFor({ settings, runs: warmUps(times) }).next;

  it.each([
    [0, "warm-up first on B: at least 4 laps, not counted (w marks them); then A"],
    [2, "warm-up 3 of at least 4 on B, not counted; then A"],
    [4, "still finding 1.8 s a run: another warm-up lap on B; then A"],
    [6, "up to speed after 6 warm-up laps; opening, run 1 of 4: ride A next"],
  ])("after %i laps says: %s", (laps, words) => {
    const next = nextAfter(falling.slice(0, laps));
    expect(next.because).toBe(words);
    expect(next).toMatchObject({ setup: "A", stop: null });
    expect(next.warm_up).toMatchObject({ laps, settled: laps === 6 });
    expect(next.because.length).toBeLessThanOrEqual(80);
  });

  it("does not say then what is on the bike anyway", () => {
    expect(adviceFor({ mounted: "A" }).next.because).toBe(
      "warm-up first on A: at least 4 laps, not counted (w marks them)",
    );
  });

  it("without a usual spread names it, and cannot judge", () => {
    expect(nextAfter(falling.slice(0, 4), {}).because).toBe(
      "4 warm-up laps, not judged: name your usual spread (spread_s); opening, run 1 of 4: ride A next",
    );
  });

  it("after eight laps is to begin anyway, with another drift where the plan is long enough", () => {
    const times = Array.from({ length: 8 }, (_, i) => 100 - 0.7 * i);
    const begin = "8 warm-up laps and still finding 0.7 s a run: begin anyway";
    const learning = `${begin}; drift = "learning" may serve better`;
    const endingOf = (settings: SessionGiven["settings"]) =>
      nextAfter(times, { ...spread, ...settings }).because;
    expect(endingOf({ plannedRuns: 12 })).toBe(learning);
    expect(endingOf({ plannedRuns: 11 })).toBe(`${begin}; opening, run 1 of 4: ride A next`);
    expect(endingOf({ drift: "learning" })).not.toContain("drift");
  });

  it("has practice after the warm-up, and both in one on what is mounted", () => {
    const riders = [{ id: "R1", newTo: ["B"] }];
    const because = (runs: readonly RunGiven[], mounted = "A") =>
      adviceFor({ riders, runs, mounted, settings: spread }).next.because;
    expect(because([])).toMatch(/^warm-up first on A: .*; then practice run 1 of 3 on B$/);
    expect(because(warmUps(falling))).toMatch(/^practice run 1 of 3 on B, not counted: B is new/);
    expect(because(warmUps([95], "B"), "B")).toBe(
      "practice run 2 of 3 on B, not counted: B is new to R1; warm-up 2 of at least 4",
    );
    // Practice laps are warm-up laps.
    expect(because([...warmUps([95]), ...warmUps([95, 95, 95], "B")], "B")).toMatch(
      /^up to speed after 4 warm-up laps; opening/,
    );
  });

  it("is silent once a run has counted, and for laps without a time", () => {
    const begun = adviceFor({ settings: spread, runs: [{ setup: "A" }] }).next;
    expect(begun.because).not.toContain("warm-up");
    expect(begun).not.toHaveProperty("warm_up");
    const input = sessionOf({ settings: spread, runs: warmUps(falling), mounted: "B" });
    const runs = input.runs.map((run, i) => (i === 0 ? { ...run, timeS: null } : run));
    expect(adviseNext({ ...input, runs }, []).next.warm_up?.laps).toBe(5);
  });
});
