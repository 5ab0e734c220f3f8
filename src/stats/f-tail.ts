// The F distribution's upper tail; called where variances or groups of effects are compared.
import { betaFraction, gammaRatio } from "./student-t.ts";

/**
 * P(F > f).
 *
 * @param f - 0 or more; Infinity gives 0
 * @param df1 - of the numerator, a whole number from 1
 * @param df2 - of the denominator, above 0, fractions allowed
 * @returns relative error about 1e-13
 * @throws {RangeError} if an argument is out of range
 * @see Abramowitz & Stegun 26.6.2 (the incomplete beta function) and 6.6.8 with 6.1.15 for B(a, b)
 */
export function fUpperTail(f: number, df1: number, df2: number): number {
  if (!(f >= 0)) throw new RangeError("fUpperTail requires an F of 0 or more");
  if (!(Number.isInteger(df1) && df1 >= 1 && df2 > 0)) {
    throw new RangeError("fUpperTail requires whole df1 from 1 and df2 above 0");
  }
  if (f === 0) return 1;
  const ratio = (df1 * f) / df2;
  if (!Number.isFinite(ratio)) return 0;
  const a = df2 / 2;
  const b = df1 / 2;
  const x = 1 / (1 + ratio);
  const front = (Math.exp(-a * Math.log1p(ratio)) * (ratio * x) ** b) / beta(a, df1);
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(a, b, x)) / a
    : 1 - (front * betaFraction(b, a, ratio * x)) / b;
}

/** B(a, df1 / 2), upwards from B(a, 1) = 1 / a or B(a, 1/2). */
function beta(a: number, df1: number): number {
  const isOdd = df1 % 2 === 1;
  let b = isOdd ? 0.5 : 1;
  let value = isOdd ? Math.sqrt(Math.PI) / gammaRatio(a) : 1 / a;
  for (; b < df1 / 2; b += 1) value *= b / (a + b);
  return value;
}
