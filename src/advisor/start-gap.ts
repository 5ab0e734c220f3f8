// How long the next rider waits after the one ahead, and which runs were caught all the same; called
// by the call-up list and by the remark about caught runs.
import { median } from "simple-statistics";
import type { Run } from "../domain/run.ts";

/** How long a rider usually takes. */
export interface UsualRun {
  /** s; null: nothing is known. */
  readonly runS: number | null;
  /** Run-to-run, s; null: not known. */
  readonly spreadS: number | null;
}

/** chosen: a rider who is this close behind rides in the other's dust and lines. */
const CLOSE_S = 3;
/** chosen: seen from ahead it is room to hear and let by; test/advisor/call-up.test.ts counts catches. */
const MARGIN_S = 15;
/** Two spreads of the difference of two runs: one start in forty-four. */
const SPREADS = 2;
/** chosen: where no spread is known, a fifth of the run; first runs of a day scatter by a tenth. */
const SHARE_OF_RUN = 0.2;
/** chosen: also behind a much quicker rider the start beam must tell two bikes apart. */
const SHORTEST_S = 15;
/** chosen: where not even the run time is known. */
const UNKNOWN_S = 60;

/**
 * A rider's usual run: the median of the counted runs, before the first of them what the sheet
 * expects.
 *
 * @param countedS - times of counted runs, s
 */
export function usualRunS(countedS: readonly number[], expectedRunS: number | null): number | null {
  return countedS.length > 0 ? median([...countedS]) : expectedRunS;
}

/**
 * Seconds between two starts so that the rider behind is not to catch the one ahead before the
 * finish: the time that the one ahead usually takes longer, and a margin of 15 s and two spreads of
 * the difference, or of a fifth of the run while a spread is not known. At least 15 s.
 *
 * It does not make the course clear: marshals and local rules come first.
 */
export function startGapS(ahead: UsualRun, behind: UsualRun): number {
  if (ahead.runS === null || behind.runS === null) return UNKNOWN_S;
  const isSpreadKnown = ahead.spreadS !== null && behind.spreadS !== null;
  const margin = isSpreadKnown
    ? MARGIN_S + SPREADS * Math.hypot(ahead.spreadS, behind.spreadS)
    : SHARE_OF_RUN * ahead.runS;
  return Math.max(SHORTEST_S, ahead.runS - behind.runS + margin);
}

/** A run that came up to the one ahead of it. */
export interface CaughtRun {
  /** The later start: held up, if anybody was. */
  readonly run: Run;
  readonly ahead: Run;
  readonly startedAfterS: number;
  /** Negative: it finished first. */
  readonly finishedAfterS: number;
}

/**
 * Runs whose rider finished before, or within 3 s behind, another who had started earlier that day
 * and was still on course; for each run the nearest one ahead.
 */
export function caughtRuns(runs: readonly Run[]): readonly CaughtRun[] {
  return runs.flatMap((run) => {
    const pairs = runs.flatMap((ahead) => pairOf(run, ahead) ?? []);
    const [nearest] = pairs.toSorted((a, b) => a.startedAfterS - b.startedAfterS);
    return nearest === undefined ? [] : [nearest];
  });
}

function pairOf(run: Run, ahead: Run): CaughtRun | undefined {
  if (run.day !== ahead.day || run.rider === ahead.rider) return undefined;
  const [start, finish] = [run.startedAt, run.finishedAt];
  const [startAhead, finishAhead] = [ahead.startedAt, ahead.finishedAt];
  if (start === null || finish === null || startAhead === null || finishAhead === null) {
    return undefined;
  }
  const finishedAfterS = (finish - finishAhead) / 1e6;
  const wasBehind = startAhead < start && start < finishAhead;
  if (!wasBehind || finishedAfterS > CLOSE_S) return undefined;
  return { run, ahead, startedAfterS: (start - startAhead) / 1e6, finishedAfterS };
}
