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
  /** In order of start. */
  readonly finished: Finished[];
  /** Their travel times, ascending. */
  readonly sortedUs: number[];
}

/** No run has finished yet. */
export function noTravels(): TravelHistory {
  return { finished: [], sortedUs: [] };
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
  const later = history.finished.findLastIndex((run) => run.startAt <= startAt) + 1;
  history.finished.splice(later, 0, { startAt, travelUs });
}

/** Takes a run out again whose finish turned out to be another's. */
export function removeTravel(
  history: TravelHistory,
  startAt: SessionUs,
  finishAt: SessionUs,
): void {
  const travelUs = finishAt - startAt;
  const place = history.finished.findLastIndex((run) => run.startAt === startAt);
  if (place >= 0) history.finished.splice(place, 1);
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
  const { finished, sortedUs } = history;
  const before = finished.findLastIndex((run) => run.startAt < startAt) + 1;
  if (before < ENOUGH) return sheet;
  const later = finished
    .slice(before)
    .map((run) => run.travelUs)
    .sort((a, b) => a - b);
  const nth = (n: number): number => nthWithout(sortedUs, later, n);
  const median = (nth((before - 1) >> 1) + nth(before >> 1)) / 2;
  return { minUs: 0.5 * nth(0), maxUs: 3 * median };
}

/** The n-th of an ascending list, from 0, as if a few of its values, ascending too, were not in it. */
function nthWithout(sorted: readonly number[], without: readonly number[], n: number): number {
  let place = n;
  let equal = 0;
  without.forEach((value, i) => {
    equal = value === without[i - 1] ? equal + 1 : 0;
    if (placeOf(sorted, value) + equal <= place) place += 1;
  });
  return sorted[place] ?? 0;
}
