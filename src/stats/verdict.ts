// From two bands to one word; called at every look.
import type { Verdict } from "../domain/comparison.ts";

/** A difference with its two bands, as multiples of its standard error. */
export interface Judged {
  /** Candidate minus baseline, s. */
  readonly differenceS: number;
  readonly standardErrorS: number;
  /** Outer band; Infinity: too early. */
  readonly multiplier: number;
  /** Inner band; Infinity: too early. */
  readonly innerMultiplier: number;
}

/**
 * The verdict: the inner band inside the margin first, then the outer band against 0.
 *
 * @param judged - undefined: no band at all
 * @param marginS - smallest difference worth having, s; null: never `no-difference`
 * @see Schuirmann (1987), J. Pharmacokinet. Biopharm. 15, for the inner band (from memory)
 */
export function verdictOf(judged: Judged | undefined, marginS: number | null): Verdict {
  if (judged === undefined || !Number.isFinite(judged.multiplier)) return "cannot-tell";
  const { differenceS, standardErrorS } = judged;
  const inner = judged.innerMultiplier * standardErrorS;
  if (marginS !== null && differenceS - inner > -marginS && differenceS + inner < marginS) {
    return "no-difference";
  }
  const outer = judged.multiplier * standardErrorS;
  if (differenceS + outer < 0) return "quicker";
  if (differenceS - outer > 0) return "slower";
  return "cannot-tell";
}

/**
 * The difference, drawn in for the luck of a call: its posterior mean under a prior of
 * sd 1.4 sigma (precision 0.5).
 *
 * chosen: by simulation, to undo most of what looking after every run adds to a called difference.
 */
export function cautiousDifferenceS(differenceS: number, z2: number): number {
  return (differenceS * z2) / (z2 + 0.5);
}
