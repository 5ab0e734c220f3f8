// How long an invented rider takes for an invented stretch; used by the practice hill.

/** The truth about the stretch and the rider, before the set-ups come in. */
export interface RiderTruth {
  /** Usual time from start to finish, s. */
  readonly stretchS: number;
  /** Standard deviation from run to run, s. */
  readonly spreadS: number;
}

/** Sector one is this part of the time, and of a set-up's effect: most of it shows on the rough half. */
const FIRST_SECTOR = 0.45;
const FIRST_EFFECT = 0.3;
/** Small truths for the drift, in spreads: learning the stretch, and tiring a little each run. */
const LEARNING_SPREADS = 0.6;
const LEARNING_RUNS = 4;
const TIRING_SPREADS = 0.03;

/** Standard normal number. @see Box and Muller (1958), Ann. Math. Statist. 29, 610-611 */
function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/**
 * Sector times of one ride, s: start to split, split to finish.
 *
 * @param k - 1, 2, ... runs of this rider today
 * @param effectS - what the mounted set-up adds to the whole run; negative is quicker
 * @param random - uniform numbers in [0, 1)
 */
export function rideTimes(
  { stretchS, spreadS }: RiderTruth,
  k: number,
  effectS: number,
  random: () => number,
): readonly [number, number] {
  const learning = LEARNING_SPREADS * Math.exp(-(k - 1) / LEARNING_RUNS);
  const dayS = stretchS + spreadS * (learning + TIRING_SPREADS * (k - 1));
  const parts = [
    { share: FIRST_SECTOR, effect: FIRST_EFFECT },
    { share: 1 - FIRST_SECTOR, effect: 1 - FIRST_EFFECT },
  ].map(
    ({ share, effect }) =>
      dayS * share + effectS * effect + spreadS * Math.sqrt(share) * normal(random),
  );
  return [parts[0] ?? 0, parts[1] ?? 0];
}
