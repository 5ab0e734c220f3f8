// Which runs' ratings are set against each other: neighbours in the run order, so that what the day
// does to a rider falls out; called by the feel ratings.
import type { SetupId } from "../domain/session.ts";

/** A counted run with its rating in one aspect. */
export interface RatedRun {
  readonly setup: SetupId;
  /** Rider and day: runs of two days are never neighbours. */
  readonly block: string;
  /** Place in the rider's run order. */
  readonly k: number;
  /** 1 to 10. */
  readonly score: number;
  readonly timeS: number;
}

export interface FeelPair {
  readonly candidate: RatedRun;
  readonly baseline: RatedRun;
}

/** chosen: farther apart, the day has moved what a rider rates by; feel.test.ts. */
const FARTHEST = 3;

/**
 * Pairs each run with the nearest run of the other set-up that has no partner yet, at most three
 * runs away; each run is in one pair at most.
 *
 * Looking ahead is enough: a run that was left over found nobody within reach, so it is nobody's
 * nearest either.
 *
 * @param runs - one rider's, in run order
 */
export function feelPairs(
  runs: readonly RatedRun[],
  candidate: SetupId,
  baseline: SetupId,
): readonly FeelPair[] {
  const free = runs.filter((run) => run.setup === candidate || run.setup === baseline);
  const pairs: FeelPair[] = [];
  for (let run = free.shift(); run !== undefined; run = free.shift()) {
    const { setup, block, k } = run;
    const at = free.findIndex(
      (other) => other.setup !== setup && other.block === block && other.k - k <= FARTHEST,
    );
    const [partner] = at < 0 ? [] : free.splice(at, 1);
    if (partner === undefined) continue;
    const isCandidate = setup === candidate;
    pairs.push({
      candidate: isCandidate ? run : partner,
      baseline: isCandidate ? partner : run,
    });
  }
  return pairs;
}
