// How far a set-up's true spread may lie from the one that was measured; called by the remark on
// consistency and by whoever prints the spreads.
import { spreadInterval } from "../advisor/spread-interval.ts";
import type { SetupSpread } from "../domain/comparison.ts";

/** A spread that was measured, with the range for the true one. */
export interface SpreadRange {
  readonly setup: string;
  readonly spreadS: number;
  /** Ends of the 80 % interval, s. */
  readonly lowS: number;
  readonly highS: number;
}

/** With less the range spans a factor of thirty and more. */
const FEWEST_DF = 1;

/**
 * The range of a set-up's spread: chi-square on the degrees of freedom that it was measured with.
 *
 * @returns undefined without a spread, and while it has less than one degree of freedom
 */
export function spreadRange({
  setup,
  spread_s: spreadS,
  df,
}: SetupSpread): SpreadRange | undefined {
  if (spreadS === null || df === null || df < FEWEST_DF) return undefined;
  const [low, high] = spreadInterval(df);
  return { setup, spreadS, lowS: low * spreadS, highS: high * spreadS };
}
