// Quantiles of repeated measurements, and repeating them; used by every bench.

/**
 * @param share - 0 to 1
 * @returns the smallest value that at least that share of the values does not exceed
 * @throws {RangeError} if there are no values
 */
export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  const found = sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)];
  if (found === undefined) throw new RangeError("quantile requires at least one value");
  return found;
}

export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

/**
 * Runs `work` again and again.
 *
 * @param leave - first runs that do not count: the compiler is still at work
 * @returns median time of one run, ms
 */
export function medianMs(times: number, leave: number, work: (i: number) => void): number {
  const taken: number[] = [];
  for (let i = 0; i < leave + times; i += 1) {
    const began = performance.now();
    work(i);
    if (i >= leave) taken.push(performance.now() - began);
  }
  return median(taken);
}
