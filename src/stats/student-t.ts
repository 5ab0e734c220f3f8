// Student's t distribution for any positive degrees of freedom; called by the forecast, the riders'
// mean and the advisor.

/**
 * Gamma(a + 1/2) / Gamma(a), a > 0: recurrence up to a >= 20, then the asymptotic series in
 * Bernoulli numbers (relative error below 1e-15 there).
 *
 * @see Abramowitz & Stegun 6.1.15 and 6.1.40
 */
export function gammaRatio(a: number): number {
  let shifted = a;
  let factor = 1;
  while (shifted < 20) {
    factor *= shifted / (shifted + 0.5);
    shifted += 1;
  }
  const u = 1 / shifted;
  const u2 = u * u;
  const series =
    u * (-1 / 8 + u2 * (1 / 192 + u2 * (-1 / 640 + u2 * (17 / 14336 + u2 * (-31 / 18432)))));
  return factor * Math.sqrt(shifted) * Math.exp(series);
}

/**
 * Continued fraction of the incomplete beta function, by Lentz's method.
 *
 * @see Abramowitz & Stegun 26.5.8; Thompson & Barnett (1986), J. Comput. Phys. 64
 */
export function betaFraction(a: number, b: number, x: number): number {
  const tiny = 1e-300;
  const away = (v: number): number => (Math.abs(v) < tiny ? tiny : v);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 100_000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return h;
}

/**
 * P(T > t) for Student's t.
 *
 * @param t - any number; Infinity gives 0
 * @param df - degrees of freedom, above 0, fractions allowed
 * @returns relative error about 1e-14 for t >= 0, tails of 1e-13 included (1e-12 at 20,000 df)
 * @throws {RangeError} if `df` is not above 0
 * @see Abramowitz & Stegun 26.5.27 and 26.7.1
 */
export function studentUpperTail(t: number, df: number): number {
  if (!(df > 0)) throw new RangeError("studentUpperTail requires degrees of freedom above 0");
  if (t < 0) return 1 - studentUpperTail(-t, df);
  if (t === 0) return 0.5;
  const t2 = t * t;
  if (!Number.isFinite(t2)) return 0;
  const a = df / 2;
  const x = df / (df + t2);
  const front =
    (Math.exp(-a * Math.log1p(t2 / df)) * Math.sqrt(t2 / (df + t2)) * gammaRatio(a)) /
    Math.sqrt(Math.PI);
  return x < (a + 1) / (a + 2.5)
    ? (0.5 * front * betaFraction(a, 0.5, x)) / a
    : 0.5 - front * betaFraction(0.5, a, t2 / (df + t2));
}

/**
 * The t that leaves a given upper tail.
 *
 * Newton's method on ln(tail) in ln t, in which the tail is concave, so that it converges from
 * anywhere; tiny tails are passed as they are (1e-7, never 1 - 1e-7).
 *
 * @param upperTail - above 0 and below 1, e.g. 0.025 for a two-sided level of 0.05
 * @param df - degrees of freedom, above 0, fractions allowed
 * @returns relative error about 1e-14
 * @throws {RangeError} if an argument is out of range
 */
export function studentQuantile(upperTail: number, df: number): number {
  if (!(upperTail > 0 && upperTail < 1)) {
    throw new RangeError("studentQuantile requires a tail above 0 and below 1");
  }
  if (!(df > 0)) throw new RangeError("studentQuantile requires degrees of freedom above 0");
  if (upperTail > 0.5) return -studentQuantile(1 - upperTail, df);
  if (upperTail === 0.5) return 0;
  const peak = gammaRatio(df / 2) / Math.sqrt(Math.PI * df);
  const target = Math.log(upperTail);
  let logT = Math.log((0.5 - upperTail) / peak);
  for (let i = 0; i < 200; i += 1) {
    const t = Math.exp(logT);
    const tail = studentUpperTail(t, df);
    const density = peak * Math.exp(-((df + 1) / 2) * Math.log1p((t * t) / df));
    const step = ((Math.log(tail) - target) * tail) / (t * density);
    logT += Math.min(2, step);
    if (Math.abs(step) < 1e-15 * Math.max(1, Math.abs(logT))) break;
  }
  return Math.exp(logT);
}
