// Whether one set-up felt better more often than chance would have it; called by the feel ratings.
import { binomialTail } from "./binomial-tail.ts";

/**
 * The exact two-sided sign test: 2 P(Bin(m, 1/2) <= the rarer count), at most 1.
 *
 * @param better - untied pairs in favour, a whole number
 * @param worse - untied pairs against, likewise; ties are left out beforehand
 * @returns p, above 0 and at most 1; 1 without an untied pair
 * @throws {RangeError} if a count is no whole number from 0
 * @see Dixon & Mood (1946), J. Amer. Statist. Assoc. 41, 557-566
 */
export function signTest(better: number, worse: number): number {
  return Math.min(1, 2 * binomialTail(Math.max(better, worse), better + worse, 0.5));
}
