// The normal distribution, worked out apart from the program's own t; for bounds and limits.

/**
 * P(Z > z).
 *
 * @see Abramowitz & Stegun 26.2.11 (series) and 26.2.14 (continued fraction)
 */
export function normalTail(z: number): number {
  if (z < 0) return 1 - normalTail(-z);
  const density = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
  if (z > 3) {
    let rest = z;
    for (let i = 200; i > 0; i -= 1) rest = z + i / rest;
    return density / rest;
  }
  let term = z;
  let sum = z;
  for (let i = 3; term > 1e-18; i += 2) {
    term *= (z * z) / i;
    sum += term;
  }
  return 0.5 - density * sum;
}

/** The z with P(Z > z) = tail, by bisection. */
export function normalQuantile(tail: number): number {
  let low = -40;
  let high = 40;
  for (let i = 0; i < 100; i += 1) {
    const middle = (low + high) / 2;
    if (normalTail(middle) > tail) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
