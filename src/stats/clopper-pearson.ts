// The range of a share that was counted; called where run-by-run agreement is printed.
import { binomialTail } from "./binomial-tail.ts";

/** A share with the range for the true one. */
export interface ShareRange {
  readonly share: number;
  readonly low: number;
  readonly high: number;
}

/** Halvings of 0 to 1: to below 1e-16. */
const HALVINGS = 54;

/**
 * The exact range of a share: the chances under which neither so many nor so few would be rarer than
 * half of what the confidence leaves.
 *
 * @param count - a whole number from 0 to `of`
 * @param of - a whole number from 1
 * @param confidence - above 0 and below 1
 * @throws {RangeError} if an argument is out of range
 * @see Clopper & Pearson (1934), Biometrika 26, 404-413
 */
export function clopperPearson(count: number, of: number, confidence: number): ShareRange {
  if (!(of >= 1 && confidence > 0 && confidence < 1)) {
    throw new RangeError(
      "clopperPearson requires a count of at least one and a confidence in (0, 1)",
    );
  }
  const tail = (1 - confidence) / 2;
  return {
    share: count / of,
    low: count === 0 ? 0 : chanceWithTail(count, of, tail),
    high: count === of ? 1 : chanceWithTail(count + 1, of, 1 - tail),
  };
}

/** The chance at which at least so many of n have this probability, which grows with it. */
function chanceWithTail(atLeast: number, n: number, tail: number): number {
  let low = 0;
  let high = 1;
  for (let i = 0; i < HALVINGS; i += 1) {
    const middle = (low + high) / 2;
    if (binomialTail(atLeast, n, middle) < tail) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
