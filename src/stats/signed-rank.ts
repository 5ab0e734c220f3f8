// Whether differences lie to one side of 0, their sizes counted as well as their signs; called by the
// feel ratings, for the export.
import { entry } from "./entry.ts";

export interface SignedRank {
  /** Sum of the ranks of the differences above 0; equal sizes share the mean of their ranks. */
  readonly rankSum: number;
  /** Differences that are not 0: the others are dropped. */
  readonly untied: number;
  /** Two-sided, exact; 1 without an untied difference. */
  readonly p: number;
}

/**
 * The signed-rank test, exact with ties: over all patterns of signs, the share whose rank sum lies as
 * far from its mean as the one seen, or farther. Doubled ranks are whole numbers, so that the sums
 * can be counted instead of each pattern.
 *
 * @param differences - finite numbers
 * @throws {RangeError} if one is not finite
 * @see Wilcoxon (1945), Biometrics Bulletin 1, 80-83; Pratt & Gibbons (1981), Concepts of
 *   Nonparametric Theory, ch. 3 (mid-ranks and zeros; from memory)
 */
export function signedRank(differences: readonly number[]): SignedRank {
  if (!differences.every(Number.isFinite)) {
    throw new RangeError("signedRank requires finite differences");
  }
  const untied = differences.filter((difference) => difference !== 0);
  const sizes = untied.map(Math.abs);
  // Twice the mid-rank: all that are smaller count twice, equal ones (itself too) once, and one more.
  const ranks = sizes.map((size) =>
    sizes.reduce((sum, other) => sum + (other < size ? 2 : other === size ? 1 : 0), 1),
  );
  const most = ranks.reduce((sum, rank) => sum + rank, 0);
  const seen = ranks.reduce((sum, rank, i) => sum + ((untied[i] ?? 0) > 0 ? rank : 0), 0);
  const shares = sharesOfSums(ranks, most);
  const p = shares.reduce(
    (sum, share, total) =>
      Math.abs(2 * total - most) >= Math.abs(2 * seen - most) ? sum + share : sum,
    0,
  );
  return { rankSum: seen / 2, untied: untied.length, p: Math.min(1, p) };
}

/** For each possible sum, from 0 to `most`, the share of sign patterns that give it. */
function sharesOfSums(ranks: readonly number[], most: number): Float64Array {
  let shares = new Float64Array(most + 1);
  shares[0] = 1;
  for (const rank of ranks) {
    const before = shares;
    shares = before.map((share, sum) => (share + (sum < rank ? 0 : entry(before, sum - rank))) / 2);
  }
  return shares;
}
