// Whether two shares of runs differ by more than chance: Fisher's exact test; called by the remarks
// on mistakes and on struck-out runs.
import { item } from "./entry.ts";

/** So many of so many runs. */
export interface Share {
  /** 0 to `of`. */
  readonly count: number;
  /** 0 or more. */
  readonly of: number;
}

/**
 * A table counts as no more probable than the one seen up to this factor: rounding must not part
 * tables that are equally probable. The same as R's fisher.test.
 */
const EQUALLY_PROBABLE = 1 + 1e-7;

/**
 * How often chance alone would deal out what was seen as unevenly as it was, or more so: the tables
 * with the same totals that are no more probable, added up. For one look at the end; looked at after
 * every run it is a hint, no promise.
 *
 * @param a - whole numbers
 * @param b - likewise
 * @returns two-sided p, above 0 (0 only where it is below 1e-300) and at most 1; 1 where a share is
 *   of nothing, or all runs are alike
 * @throws {RangeError} if a count is not a whole number from 0 to its total
 * @see Fisher (1935), The Design of Experiments, ch. 2; Agresti (2002), Categorical Data Analysis,
 *   3.5 (both from memory); R's fisher.test
 */
export function fisherExact(a: Share, b: Share): number {
  requireShare(a);
  requireShare(b);
  const marked = a.count + b.count;
  const fewest = Math.max(0, marked - b.of);
  const most = Math.min(marked, a.of);
  const mode = Math.floor(((a.of + 1) * (marked + 1)) / (a.of + b.of + 2));
  // Hypergeometric probabilities as multiples of the largest, outwards from it.
  const above = (k: number): number =>
    ((a.of - k) * (marked - k)) / ((k + 1) * (b.of - marked + k + 1));
  const weights = new Array<number>(most - fewest + 1).fill(1);
  for (let k = mode; k < most; k += 1) {
    weights[k + 1 - fewest] = item(weights, k - fewest) * above(k);
  }
  for (let k = mode - 1; k >= fewest; k -= 1) {
    weights[k - fewest] = item(weights, k + 1 - fewest) / above(k);
  }
  const seen = item(weights, a.count - fewest) * EQUALLY_PROBABLE;
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const asUneven = weights.reduce((total, weight) => total + (weight <= seen ? weight : 0), 0);
  return asUneven / sum;
}

function requireShare({ count, of }: Share): void {
  if (Number.isSafeInteger(count) && Number.isSafeInteger(of) && count >= 0 && count <= of) return;
  throw new RangeError("fisherExact requires whole counts between 0 and their total");
}
