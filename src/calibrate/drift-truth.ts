// How run times really change over a simulated day, whatever is ridden; called by ride-day.ts.

/** Truths of session drift, by their names in `calibrate --json`. */
export const DRIFT_TRUTHS = [
  "none",
  "tiring",
  "learning",
  "slow-learning",
  "ground-walk",
  "ground-step",
  "mixed",
] as const;

/** `day`: what a usual day is taken to bring together, for the days on which one set-up is best. */
export type DriftTruth = (typeof DRIFT_TRUTHS)[number] | "day";

/** Spreads a run that a tiring rider loses. */
const TIRING = 0.1;
/** Spreads that the first run of a learner is slower than the last will be. */
const LEARNING = 3;
/** Standard deviation of the ground's change from run to run, spreads. */
const WALK_STEP = 0.3;
/** Spreads by which the ground turns slower in the middle of the day. */
const MID_DAY_STEP = 1.5;

/** Of `day`: what its first run is slower for want of learning, the tiring and the walk, spreads. */
const DAY_LEARNING = 1.5;
const DAY_TIRING = 0.04;
const DAY_WALK_STEP = 0.1;

/** Last place before mid-day, when the ground of `ground-step` turns. */
export function midDay(plannedRuns: number): number {
  return Math.floor(plannedRuns / 2);
}

/**
 * The session drift of one day.
 *
 * chosen: the sizes that the choice of drift model was simulated with, none of which a straight line
 * describes but the first two; test/calibrate/drift-truth.test.ts holds them.
 *
 * @param plannedRuns - N, whose half is mid-day
 * @param normal - standard normal numbers, for the ground that wanders
 * @returns spreads slower on place k = 1, 2, ..., asked for in rising order
 */
export function driftTruth(
  truth: DriftTruth,
  plannedRuns: number,
  normal: () => number,
): (k: number) => number {
  const learning = (k: number): number => LEARNING * Math.exp(-(k - 1) / 3);
  switch (truth) {
    case "none":
      return () => 0;
    case "tiring":
      return (k) => TIRING * k;
    case "learning":
      return learning;
    case "slow-learning":
      return (k) => LEARNING * Math.exp(-(k - 1) / 8);
    case "ground-walk":
      return groundWalk(WALK_STEP, normal);
    case "ground-step":
      return (k) => (k > midDay(plannedRuns) ? MID_DAY_STEP : 0);
    case "mixed": {
      const walk = groundWalk(WALK_STEP, normal);
      return (k) => learning(k) + walk(k);
    }
    case "day": {
      const walk = groundWalk(DAY_WALK_STEP, normal);
      return (k) => DAY_LEARNING * Math.exp(-(k - 1) / 4) + DAY_TIRING * k + walk(k);
    }
  }
}

function groundWalk(step: number, normal: () => number): (k: number) => number {
  let reached = 0;
  let level = 0;
  return (k) => {
    for (; reached < k; reached += 1) level += step * normal();
    return level;
  };
}
