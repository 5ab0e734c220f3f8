// How long a run can plausibly take, from the runs finished so far; used by the matcher.
import type { SessionUs } from "../domain/time.ts";

export interface TravelLimits {
  readonly minUs: number;
  readonly maxUs: number;
}

interface Finished {
  readonly startAt: SessionUs;
  readonly travelUs: number;
}

/** Runs finished so far. The matcher's own: it adds to it as it goes through a day. */
export interface TravelHistory {
  finished: Finished[];
  /** Their travel times, ascending. */
  readonly sortedUs: number[];
  latestStart: number;
}

/** No run has finished yet. */
export function noTravels(): TravelHistory {
  return { finished: [], sortedUs: [], latestStart: Number.NEGATIVE_INFINITY };
}

/** Fewer finished runs than this say nothing: the sheet's limits hold. */
const ENOUGH = 3;

/** Index of the first value that is not below `value`. */
function placeOf(sorted: readonly number[], value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? value) < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Adds a run that has just finished. */
export function addTravel(history: TravelHistory, startAt: SessionUs, finishAt: SessionUs): void {
  const travelUs = finishAt - startAt;
  history.sortedUs.splice(placeOf(history.sortedUs, travelUs), 0, travelUs);
  history.finished.push({ startAt, travelUs });
  history.latestStart = Math.max(history.latestStart, startAt);
}

/** Takes a run out again whose finish turned out to be another's. */
export function removeTravel(
  history: TravelHistory,
  startAt: SessionUs,
  finishAt: SessionUs,
): void {
  const travelUs = finishAt - startAt;
  history.finished = history.finished.filter((run) => run.startAt !== startAt);
  history.sortedUs.splice(placeOf(history.sortedUs, travelUs), 1);
}

/**
 * Limits for a run that started at `startAt`: half the best and three times the median of the
 * finished runs that started before it, so that a later run never rewrites an earlier match.
 *
 * chosen: half the best lets nobody be twice as quick as anyone before; three times the median lets
 * a rider fix a chain. Tests: "a later run never moves the limits of an earlier start".
 *
 * @param sheet - limits until three such runs exist
 */
export function travelLimits(
  history: TravelHistory,
  startAt: SessionUs,
  sheet: TravelLimits,
): TravelLimits {
  const sortedUs =
    history.latestStart < startAt
      ? history.sortedUs
      : history.finished
          .filter((run) => run.startAt < startAt)
          .map((run) => run.travelUs)
          .sort((a, b) => a - b);
  const n = sortedUs.length;
  if (n < ENOUGH) return sheet;
  const low = sortedUs[(n - 1) >> 1] ?? 0;
  const high = sortedUs[n >> 1] ?? low;
  return { minUs: 0.5 * (sortedUs[0] ?? 0), maxUs: (3 * (low + high)) / 2 };
}
