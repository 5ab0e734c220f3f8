// The pairs that remarks are about: of the whole run, a rider's own or of all riders together; called
// by the makers of remarks.
import type { Pair, RiderComparison } from "../../domain/comparison.ts";
import type { RiderId } from "../../domain/session.ts";
import type { RemarkBasis } from "./remark-basis.ts";

/** Every set-up against the baseline over the whole run. */
export function wholePairs(rider: RiderComparison): readonly Pair[] {
  return rider.parts.find((part) => part.part === "whole")?.pairs ?? [];
}

/** Pairs that are read together for one answer. */
export interface AnswerPairs {
  /** Null: of all riders together. */
  readonly rider: RiderId | null;
  /** Counted runs that they rest on. */
  readonly runs: number;
  readonly pairs: readonly Pair[];
}

/**
 * Where the answer is looked for: all riders together where they are given one (three or more), else
 * each rider alone.
 */
export function answerPairs({ riders, together }: RemarkBasis): readonly AnswerPairs[] {
  const joint = together?.pairs.filter((pair) => pair.verdict !== null) ?? [];
  if (joint.length > 0) {
    const runs = riders.reduce((sum, rider) => sum + rider.counted_runs, 0);
    return [{ rider: null, runs, pairs: joint }];
  }
  return riders.map((rider) => ({
    rider: rider.rider,
    runs: rider.counted_runs,
    pairs: wholePairs(rider),
  }));
}
