// Settings, runs and riders for the tests of explore.
import { normals } from "../../src/calibrate/normal.ts";
import type { Exploration, TriedRun } from "../../src/domain/exploration.ts";
import type { Explored, ExploredSetting } from "../../src/domain/explored.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { explore } from "../../src/explore/explore.ts";

export const PRESSURE: ExploredSetting = {
  key: "rear_pressure_bar",
  low: 1.3,
  high: 1.9,
  step: 0.05,
};
export const REBOUND: ExploredSetting = { key: "fork_rebound_clicks", low: 0, high: 12, step: 1 };

export function exploring(...settings: readonly ExploredSetting[]): Explored {
  return { settings, checkRuns: 8 };
}

/** Runs at values of one setting, k = 1, 2, ... */
export function runsAt(values: readonly number[], times: readonly number[]): readonly TriedRun[] {
  return values.map((value, i) => ({ k: i + 1, values: [value], timeS: times[i] ?? Number.NaN }));
}

/** u in -1..1. */
export function codedAt({ low, high }: ExploredSetting, value: number): number {
  return (2 * value - low - high) / (high - low);
}

/** A day of a rider who rides what is suggested. */
export interface SimulatedDay {
  readonly explored: Explored;
  readonly present: readonly number[];
  readonly plannedRuns: number | null;
  /** Runs ridden. */
  readonly runs: number;
  readonly seed: number;
  /** True time at values less that of nothing in particular, spreads of a run. */
  readonly truth: (values: readonly number[]) => number;
}

/**
 * Rides a day with a spread of 1 s and a session drift that no fitted model has: learning that dies
 * away, a steady rise and a random walk, 1.5 exp(-(k-1)/4) + 0.04 k + walk of 0.1 a run.
 *
 * @returns what explore says after so many runs as are asked for
 */
export function rideDay(day: SimulatedDay, after: readonly number[]): readonly Exploration[] {
  const normal = normals(seededRandom(day.seed * 7919 + 13));
  const options = { plannedRuns: day.plannedRuns, seed: day.seed, drift: "linear" } as const;
  const runs: TriedRun[] = [];
  const said: Exploration[] = [];
  let walk = 0;
  for (let k = 1; k <= day.runs; k += 1) {
    const { next } = explore(day.explored, day.present, runs, options);
    if (next === null) throw new RangeError(`nothing to ride at run ${String(k)}`);
    walk += 0.1 * normal();
    const drift = 1.5 * Math.exp(-(k - 1) / 4) + 0.04 * k + walk;
    runs.push({ k, values: next, timeS: 100 + day.truth(next) + drift + normal() });
    if (after.includes(k)) said.push(explore(day.explored, day.present, runs, options));
  }
  return said;
}
