// A straight line through exchanges that deserve different trust; called by the fit of a box's clock.

/** One exchange as the line sees it. */
export interface Point {
  /** Host time from the moment asked for, us. */
  readonly x: number;
  /** Clock offset, us. */
  readonly y: number;
  /** Likely size of that offset's error, us, above zero: its weight is 1/sigma^2. */
  readonly sigma: number;
  /** Standard uncertainty of that offset if nothing but its round trip is known, us. */
  readonly bound: number;
}

/** The line at x = 0. */
export interface LineAtZero {
  readonly value: number;
  readonly slope: number;
  /** Standard uncertainty from how far the points really lie from the line (HC3). */
  readonly scatterU: number;
  /** Standard uncertainty from the points' own bounds, however well they happen to agree. */
  readonly boundU: number;
  /** How far `value` is off for each unit of second derivative that the line has not got. */
  readonly bend: number;
}

/** A point that carries the line alone has no residual to judge it by. */
const LEVERAGE_MAX = 1 - 1e-9;

/**
 * Weighted least squares y = value + slope x with weights 1/sigma^2, and the standard uncertainty of
 * `value` that stays right when the scatter differs from point to point (HC3): each residual is
 * divided by 1 - leverage, that is, replaced by the point's distance from the line through the
 * others.
 *
 * @param points - at least one; with a single x the slope is zero
 * @see MacKinnon and White (1985), Journal of Econometrics 29, 305-325 (HC3; from memory)
 */
export function weightedLineAtZero(points: readonly Point[]): LineAtZero {
  // Offsets are large and differ little: sums are taken from one of them.
  const y0 = points.reduce((least, { y }) => Math.min(least, y), Number.POSITIVE_INFINITY);
  let sw = 0;
  let swx = 0;
  let swy = 0;
  for (const { x, y, sigma } of points) {
    const w = 1 / (sigma * sigma);
    sw += w;
    swx += w * x;
    swy += w * (y - y0);
  }
  const xm = swx / sw;
  const ym = swy / sw;
  let sxx = 0;
  let sxy = 0;
  for (const { x, y, sigma } of points) {
    const w = 1 / (sigma * sigma);
    sxx += w * (x - xm) * (x - xm);
    sxy += w * (x - xm) * (y - y0 - ym);
  }
  const perSxx = sxx > 0 ? 1 / sxx : 0;
  const slope = sxy * perSxx;
  let scatter = 0;
  let bounded = 0;
  let bend = 0;
  for (const { x, y, sigma, bound } of points) {
    const w = 1 / (sigma * sigma);
    const dx = x - xm;
    const k = w * (1 / sw - xm * dx * perSxx);
    const leverage = w * (1 / sw + dx * dx * perSxx);
    const residual = y - y0 - ym - slope * dx;
    scatter += ((k * residual) / (1 - Math.min(leverage, LEVERAGE_MAX))) ** 2;
    bounded += (k * bound) ** 2;
    bend += (k * x * x) / 2;
  }
  return {
    value: y0 + ym - slope * xm,
    slope,
    scatterU: Math.sqrt(scatter),
    boundU: Math.sqrt(bounded),
    bend,
  };
}
