// The upper tail of the binomial distribution; called by the sign test and the range of a share.
import { fUpperTail } from "./f-tail.ts";

/**
 * P(at least so many of n succeed).
 *
 * @param atLeast - a whole number, 0 or more
 * @param n - tries, a whole number, at least `atLeast`
 * @param chance - of each, 0 to 1
 * @returns relative error about 1e-13
 * @throws {RangeError} if an argument is out of range
 * @see Abramowitz & Stegun 26.5.24 (the incomplete beta function) with 26.6.2
 */
export function binomialTail(atLeast: number, n: number, chance: number): number {
  const isCount = Number.isSafeInteger(atLeast) && Number.isSafeInteger(n);
  if (!(isCount && atLeast >= 0 && atLeast <= n && chance >= 0 && chance <= 1)) {
    throw new RangeError("binomialTail requires whole counts in order and a chance from 0 to 1");
  }
  if (atLeast === 0) return 1;
  if (chance === 0) return 0;
  const df1 = 2 * (n - atLeast + 1);
  const df2 = 2 * atLeast;
  return fUpperTail(((1 - chance) / chance) * (df2 / df1), df1, df2);
}
