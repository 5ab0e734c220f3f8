// Minutes of the day: what a lap takes, what is used and what is left, from the journal and never
// from the wall clock; called by next-setup.ts.
import { median } from "simple-statistics";
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import { type RiderId, swapMinutes } from "../domain/session.ts";

/** Laps that must have been ridden before their median replaces the sheet's figure. */
const LAPS_TO_TRUST = 3;
const US_A_MINUTE = 60e6;

/**
 * Minutes of a lap, a run and the way back up: the running median of the rider's laps today, start
 * to start less the swap between, once there are three; before that what the sheet says.
 *
 * @returns null if neither is known
 */
export function lapMinutes(input: ComparisonInput, rider: RiderId): number | null {
  const starts = today(input).filter((run) => run.rider === rider && run.startedAt !== null);
  const laps = starts.slice(1).flatMap((run, i) => {
    const before = starts[i];
    if (before?.startedAt == null || run.startedAt === null) return [];
    const minutes =
      (run.startedAt - before.startedAt) / US_A_MINUTE -
      swapMinutes(input.swaps, before.setup, run.setup);
    return minutes > 0 ? [minutes] : [];
  });
  return laps.length >= LAPS_TO_TRUST ? median(laps) : input.settings.lapMinutes;
}

/**
 * Minutes used today: first start, warm-ups included, to last finish; runs without times count a
 * lap each, and the swaps between them.
 *
 * @param lap - minutes of a lap
 */
export function minutesUsed(input: ComparisonInput, lap: number): number {
  const runs = today(input);
  const timed = runs.filter((run) => run.startedAt !== null);
  const first = Math.min(...timed.map((run) => run.startedAt ?? 0));
  const last = Math.max(...timed.map((run) => run.finishedAt ?? run.startedAt ?? 0));
  const measured = timed.length === 0 ? 0 : (last - first) / US_A_MINUTE;
  const untimed = runs.filter((run) => run.startedAt === null);
  return measured + untimed.length * lap + swapsBetween(input, untimed);
}

/**
 * Minutes left of the session's, null if it names none or the lap is not known.
 *
 * @param lap - minutes of a lap, or null
 */
export function minutesLeft(input: ComparisonInput, lap: number | null): number | null {
  const { minutes } = input.settings;
  return minutes === null || lap === null ? null : minutes - minutesUsed(input, lap);
}

/** Runs of the last day that was ridden; each day of a merged session has its own hours. */
function today(input: ComparisonInput): readonly Run[] {
  const day = input.runs.at(-1)?.day ?? 0;
  return input.runs.filter((run) => run.day === day);
}

function swapsBetween(input: ComparisonInput, runs: readonly Run[]): number {
  const mounted = new Map<RiderId, string>();
  let minutes = 0;
  for (const run of runs) {
    const before = mounted.get(run.rider);
    if (before !== undefined) minutes += swapMinutes(input.swaps, before, run.setup);
    mounted.set(run.rider, run.setup);
  }
  return minutes;
}
