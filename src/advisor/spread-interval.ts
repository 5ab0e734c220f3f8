// How far the true spread may lie from the one that was measured; called by plan-day.ts.

/**
 * ln Gamma(a) for a > 0: recurrence up to 15, then Stirling's series (relative error about 1e-15).
 *
 * @see Abramowitz & Stegun 6.1.15 and 6.1.41
 */
function lnGamma(a: number): number {
  let shifted = a;
  let product = 1;
  while (shifted < 15) {
    product *= shifted;
    shifted += 1;
  }
  const u = 1 / shifted;
  const u2 = u * u;
  const series = u * (1 / 12 + u2 * (-1 / 360 + u2 * (1 / 1260 + u2 * (-1 / 1680 + u2 / 1188))));
  return (
    (shifted - 0.5) * Math.log(shifted) -
    shifted +
    0.5 * Math.log(2 * Math.PI) +
    series -
    Math.log(product)
  );
}

/**
 * P(chi-square <= x) by its power series; fine for the middle of the distribution, which is all that
 * is asked here.
 *
 * @see Abramowitz & Stegun 6.5.29 and 26.4.19
 */
function chiSquareCdf(x: number, df: number): number {
  const a = df / 2;
  let term = 1 / a;
  let sum = term;
  for (let i = 1; i < 10_000 && term > sum * 1e-17; i += 1) {
    term *= x / 2 / (a + i);
    sum += term;
  }
  return Math.exp(a * Math.log(x / 2) - x / 2 - lnGamma(a)) * sum;
}

/** The x with P(chi-square <= x) = share, by bisection. */
function chiSquareQuantile(share: number, df: number): number {
  let low = 0;
  let high = df + 20 * Math.sqrt(2 * df) + 20;
  for (let i = 0; i < 200 && high - low > 1e-15 * high; i += 1) {
    const middle = (low + high) / 2;
    if (chiSquareCdf(middle, df) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Ends of the interval for the true spread, as multiples of the measured one.
 *
 * @param df - degrees of freedom that it was measured with, above 0
 * @param level - of the interval, above 0 and below 1
 * @throws {RangeError} if an argument is out of range
 * @see the chi-square interval of a normal standard deviation, NIST/SEMATECH e-Handbook of
 *   Statistical Methods, 7.2.3.1 (from memory)
 */
export function spreadInterval(df: number, level = 0.8): readonly [low: number, high: number] {
  if (!(df > 0) || !(level > 0 && level < 1)) {
    throw new RangeError("spreadInterval requires degrees of freedom and a level between 0 and 1");
  }
  const tail = (1 - level) / 2;
  return [
    Math.sqrt(df / chiSquareQuantile(1 - tail, df)),
    Math.sqrt(df / chiSquareQuantile(tail, df)),
  ];
}
