// How often a series of looks at growing data calls a difference that is not there, worked out by
// numbers alone, without simulated days; the bands of the program are held against it.

/** One look: what is known by then, and the |t| from which a difference is called. */
export interface SeenLook {
  /** Degrees of freedom of t; one more at each look, as each brings one observation. */
  readonly df: number;
  /** Information on the difference, sigma^2 / variance; never falling. */
  readonly z2: number;
  /** Infinity: nothing is called at this look. */
  readonly critical: number;
}

/**
 * Chance that any look calls a difference though there is none.
 *
 * Backwards over the looks: g(u) is the chance of a later call where u = t / sqrt(df + t^2) stands
 * now. The next observation's residual v, over the root of the residual sum of squares without the
 * difference in the model, is independent of u, t with df + 1 degrees of freedom over
 * sqrt(df + 1), and
 *
 *     u' = (u sqrt(z2) + h v) / sqrt(z2' (1 + v^2)),  h^2 = z2' - z2
 *
 * so that with v = tan(theta), whose density is proportional to cos(theta)^df, u' is a cosine:
 * the angles at which it passes the limits are known, and between them everything is smooth.
 *
 * @param looks - in order; df rises by 1 from each to the next
 * @see Armitage, McPherson & Rowe (1969), JRSS A 132, for the recursion with a known spread, which
 *   this becomes for many degrees of freedom; the step above follows from recursive residuals
 */
export function chanceOfAnyCall(looks: readonly SeenLook[]): number {
  const from = looks.findIndex((look) => Number.isFinite(look.critical));
  const first = looks[from];
  if (first === undefined) return 0;
  let later: Curve = { limit: limitOf(looks.at(-1) ?? first), values: new Float64Array(5) };
  for (let n = looks.length - 1; n > from; n -= 1) {
    const now = looks[n - 1] ?? first;
    const chance = stepTo(looks[n] ?? first, now, later);
    const limit = limitOf(now);
    const half = isRough(now) ? 200 : 40;
    const values = new Float64Array(2 * half + 1);
    for (let i = 0; i <= half; i += 1) {
      values[i] = chance(limit * (1 - i / half));
      values[2 * half - i] = values[i] ?? 0;
    }
    later = { limit, values };
  }
  // Nothing is called before: the first look's t has its own distribution, as from u = 0 with
  // nothing known.
  return stepTo(first, { df: first.df - 1, z2: 0, critical: Number.POSITIVE_INFINITY }, later)(0);
}

/**
 * For few degrees of freedom the curves are steep near the limits and need finer steps: with these
 * the answer is good to 1 in 200 at 8 runs, and to 1 in 10,000 where the spread is known.
 */
function isRough({ df }: SeenLook): boolean {
  return df < 16;
}

/** Standard deviations that the next observation may be away. */
const REACH = 7.5;

/** g on the part of u that is not called, evenly spaced; it is the same for u and -u. */
interface Curve {
  readonly limit: number;
  readonly values: Float64Array;
}

function limitOf({ critical, df }: SeenLook): number {
  return Number.isFinite(critical) ? critical / Math.sqrt(df + critical * critical) : 1;
}

/** By the cubic through four neighbours. */
function valueAt({ limit, values }: Curve, u: number): number {
  const cells = values.length - 1;
  const place = (u / limit + 1) * (cells / 2);
  const cell = Math.min(Math.max(Math.floor(place) - 1, 0), cells - 3);
  const x = place - cell;
  const v = (i: number): number => values[cell + i] ?? 0;
  return (
    (-v(0) * (x - 1) * (x - 2) * (x - 3)) / 6 +
    (v(1) * x * (x - 2) * (x - 3)) / 2 -
    (v(2) * x * (x - 1) * (x - 3)) / 2 +
    (v(3) * x * (x - 1) * (x - 2)) / 6
  );
}

/** Chance of a call at the next look or later, by where u stands now. */
function stepTo(next: SeenLook, now: SeenLook, later: Curve): (u: number) => number {
  const reach = Math.min(Math.PI / 2, REACH / Math.sqrt(now.df + 1));
  const density = (theta: number): number => Math.cos(theta) ** now.df;
  const nodes = isRough(now) ? MANY_NODES : NODES;
  const whole = integral(nodes, density, -reach, reach);
  const known = Math.sqrt(now.z2 / next.z2);
  const fresh = Math.sqrt(Math.max(0, 1 - now.z2 / next.z2));
  const limit = limitOf(next);
  return (u) => {
    const radius = Math.hypot(u * known, fresh);
    const turn = Math.atan2(fresh, u * known);
    const stays = (theta: number): number =>
      density(theta) * (1 - valueAt(later, radius * Math.cos(theta - turn)));
    let kept = 0;
    for (const [low, high] of uncalled(radius, limit, turn)) {
      const start = Math.max(low, -reach);
      const end = Math.min(high, reach);
      if (end > start) kept += integral(nodes, stays, start, end);
    }
    return 1 - kept / whole;
  };
}

/** Angles between which the cosine stays within the limits. */
function uncalled(
  radius: number,
  limit: number,
  turn: number,
): readonly (readonly [low: number, high: number])[] {
  if (radius <= limit) return [[-Math.PI, Math.PI]];
  const inner = Math.acos(limit / radius);
  const outer = Math.PI - inner;
  return [
    [turn + inner, turn + outer],
    [turn - outer, turn - inner],
    [turn + inner - 2 * Math.PI, turn + outer - 2 * Math.PI],
  ];
}

interface Node {
  readonly x: number;
  readonly weight: number;
}

function integral(
  nodes: readonly Node[],
  f: (x: number) => number,
  low: number,
  high: number,
): number {
  const middle = (low + high) / 2;
  const half = (high - low) / 2;
  let sum = 0;
  for (const { x, weight } of nodes) sum += weight * f(middle + half * x);
  return sum * half;
}

const NODES = gauss(40);
const MANY_NODES = gauss(80);

/** Nodes of Gauss and Legendre's rule, by Newton's method; Abramowitz & Stegun 25.4.29. */
function gauss(n: number): readonly Node[] {
  return Array.from({ length: n }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let step = 0; step < 50; step += 1) {
      let before = 1;
      let value = x;
      for (let k = 2; k <= n; k += 1) {
        [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
      }
      slope = (n * (x * value - before)) / (x * x - 1);
      x -= value / slope;
    }
    return { x, weight: 2 / ((1 - x * x) * slope * slope) };
  });
}
