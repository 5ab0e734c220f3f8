// The one formula behind every band: evidence, its inversion, and the two ways of fixing its prior
// precision; called by band-in-force.ts, look.ts and the advisor.

/** Share of the prior in the posterior precision at the planned end, r_N. */
const PLAN_SHARE = 0.4;
/** Prior precision where no planned end is known. */
export const PHI_WITHOUT_PLAN = 0.5;

/**
 * ln of the evidence against "no difference", by a normal mixture over difference/sigma with
 * intercept, session drift and sigma integrated out.
 *
 * @param t - difference over its standard error
 * @param nu - degrees of freedom, above 0
 * @param r - phi / (phi + z2), above 0 and below 1
 * @see Lindon, Ham, Tingley & Bojinov, arXiv:2210.08589
 */
export function logEvidence(t: number, nu: number, r: number): number {
  const t2 = (t * t) / nu;
  return 0.5 * Math.log(r) + ((nu + 1) / 2) * (Math.log1p(t2) - Math.log1p(r * t2));
}

/**
 * Half-width of the band in standard errors: the |t| at which ln evidence reaches the threshold.
 *
 * @param nu - degrees of freedom, fractional ones allowed
 * @param r - phi / (phi + z2), above 0 and below 1
 * @param l - threshold on ln evidence
 * @returns Infinity when no |t| reaches the threshold (too early) or `nu` is not above 0
 * @see Lindon, Ham, Tingley & Bojinov, arXiv:2210.08589; the inversion is elementary
 */
export function bandMultiplier(nu: number, r: number, l: number): number {
  if (!(nu > 0) || !(r > 0) || !(r < 1)) return Number.POSITIVE_INFINITY;
  const lnR = Math.log(r);
  const lnC = (lnR - 2 * l) / (nu + 1);
  // c - r and 1 - c through expm1: both vanish for large nu.
  const above = r * Math.expm1(lnC - lnR);
  if (!(above > 0)) return Number.POSITIVE_INFINITY;
  return Math.sqrt((nu * -Math.expm1(lnC)) / above);
}

/**
 * Prior precision of the open band, tuned so that it is narrowest at the planned end.
 *
 * The derivative of the multiplier by r vanishes where c (1 - r) = (1 - c) r (nu + 1); both sides
 * are monotone in the log-odds of r for levels up to 0.5, so bisection gives r to full precision,
 * which a search for the (flat) minimum itself would not.
 *
 * @param nuN - degrees of freedom at the planned end; 0 or less gives 0.5
 * @param z2N - information on the pair at the planned end, sigma^2 / variance of the difference
 * @param alpha - the level that the band spends, two-sided, above 0 and at most 0.5
 */
export function openPhi(nuN: number, z2N: number, alpha: number): number {
  if (!(nuN > 0) || !(z2N > 0)) return PHI_WITHOUT_PLAN;
  const l = -Math.log(alpha);
  const slope = (logOdds: number): number => {
    const r = 1 / (1 + Math.exp(-logOdds));
    const lnC = (Math.log(r) - 2 * l) / (nuN + 1);
    return lnC - Math.log(-Math.expm1(lnC)) - logOdds - Math.log(nuN + 1);
  };
  let low = -60;
  let high = 20;
  for (let i = 0; i < 200 && high - low > 1e-15 * Math.abs(low); i += 1) {
    const middle = (low + high) / 2;
    if (slope(middle) > 0) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2) * z2N;
}

/**
 * Prior precision of the plan band: chosen so that r is 0.4 at the planned end.
 *
 * chosen: r_N = 0.4 by simulation; test/stats/calibration.test.ts would notice a bad choice.
 *
 * @param z2N - information on the pair at the planned end
 */
export function planPhi(z2N: number): number {
  return (PLAN_SHARE / (1 - PLAN_SHARE)) * z2N;
}
