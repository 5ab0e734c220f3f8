// Parts of an uncertainty put together as the GUM does; called for run times and their differences.

/** One input of a measured value. */
export interface UncertainInput {
  /** How much the value changes for each unit of the input. */
  readonly sensitivity: number;
  /** Standard uncertainty of the input, in its own unit. */
  readonly u: number;
}

/**
 * Combined standard uncertainty, first order, in the unit of the value.
 *
 * @param correlation - of inputs i and j, i < j, -1 to 1; left out: none depends on another
 * @see JCGM 100:2008, 5.1.2 (uncorrelated), 5.2.2 (correlated)
 */
export function combinedUncertainty(
  inputs: readonly UncertainInput[],
  correlation: (i: number, j: number) => number = () => 0,
): number {
  let variance = 0;
  inputs.forEach((one, i) => {
    const part = one.sensitivity * one.u;
    variance += part * part;
    inputs.slice(i + 1).forEach((other, further) => {
      const r = correlation(i, i + 1 + further);
      variance += 2 * part * other.sensitivity * other.u * r;
    });
  });
  return Math.sqrt(Math.max(variance, 0));
}

/**
 * Standard uncertainty of what lies anywhere within +-`halfWidth` alike.
 *
 * @see JCGM 100:2008, 4.3.7
 */
export function rectangular(halfWidth: number): number {
  return halfWidth / Math.sqrt(3);
}
