// What a finish watch shows more than a start watch, from instants read on both; used by the reader of
// two watches.
import type { Fault } from "./faults.ts";
import type { WatchList, WatchRow } from "./watch-list.ts";

/** Standard uncertainty of a time that a person takes, s; common practice. */
export const PRESS_S = 0.2;
/** chosen: two quartz watches part by some 2 s a day (20 ppm), and there are four presses in it. */
const MOST_APART_US = 5e6;
/** chosen: nearer to each other the two say nothing of how the watches part. */
const LEAST_BETWEEN_US = 60e6;

/** What the finish watch shows more than the start watch, and how well that is known. */
export interface WatchDifference {
  readonly atUs: (finishUs: number) => number;
  /** Standard uncertainty at an instant of the finish watch, s; 0 where nothing is known. */
  readonly uncertaintyS: (finishUs: number) => number;
  readonly words: string;
}

/** Mistakes of either list. */
export interface TwoFaults {
  readonly start: Fault[];
  readonly finish: Fault[];
}

/** Null where the syncs do not fit together: then `faults` says why. */
export function watchDifference(
  starts: WatchList,
  finishes: WatchList,
  faults: TwoFaults,
): WatchDifference | null {
  const first = syncOf(starts.first, finishes.first, "first", faults);
  const last = syncOf(starts.last, finishes.last, "last", faults);
  if (faults.start.length + faults.finish.length > 0) return null;
  const syncS = PRESS_S * Math.SQRT2;
  if (first !== null && last !== null) {
    const [one, other] = [first, last];
    const apartUs = other.aheadUs - one.aheadUs;
    const betweenUs = other.finishUs - one.finishUs;
    if (betweenUs < LEAST_BETWEEN_US || Math.abs(apartUs) > MOST_APART_US) {
      const hours = (betweenUs / 3600e6).toFixed(1);
      const found = `a last sync ${hours} h after the first, at which the watches are ${seconds(apartUs)} further apart`;
      const want = "the same two instants in both lists: watches part by a second or two a day";
      faults.finish.push({ line: other.line, found, want });
      return null;
    }
    const share = (atUs: number): number => (atUs - one.finishUs) / betweenUs;
    return {
      atUs: (atUs) => one.aheadUs + apartUs * share(atUs),
      uncertaintyS: (atUs) => syncS * Math.hypot(1 - share(atUs), share(atUs)),
      words: `two syncs: the finish watch was ${ahead(one.aheadUs)} at the first and ${ahead(other.aheadUs)} at the last, taken as a straight line in between`,
    };
  }
  const only = first ?? last;
  if (only === null) {
    return {
      atUs: () => 0,
      uncertaintyS: () => 0,
      words:
        "no sync: the watches are taken to show the same time; what they differ by is in every run time alike, and no uncertainty is reckoned for it",
    };
  }
  return {
    atUs: () => only.aheadUs,
    uncertaintyS: () => syncS,
    words: `one sync: the finish watch was ${ahead(only.aheadUs)}, taken as constant over the day`,
  };
}

interface Sync {
  readonly line: number;
  readonly finishUs: number;
  readonly aheadUs: number;
}

function syncOf(
  start: WatchRow | null,
  finish: WatchRow | null,
  which: "first" | "last",
  faults: TwoFaults,
): Sync | null {
  if (start !== null && finish !== null) {
    return { line: finish.line, finishUs: finish.atUs, aheadUs: finish.atUs - start.atUs };
  }
  const found = `a sync as ${which} row, and none in the other list`;
  const want = "the same instant as a sync row in both lists, or in neither";
  if (start !== null) faults.start.push({ line: start.line, found, want });
  if (finish !== null) faults.finish.push({ line: finish.line, found, want });
  return null;
}

function seconds(us: number): string {
  return `${(us / 1e6).toFixed(2)} s`;
}

function ahead(us: number): string {
  return `${seconds(Math.abs(us))} ${us < 0 ? "behind" : "ahead"}`;
}
