// How likely the rest of the day is to decide a pair; called by day-outlook.ts.
import { studentUpperTail } from "../stats/student-t.ts";

/** The deciding pair as it stands; v is the variance of the difference over sigma^2. */
export interface PairNow {
  /** s. */
  readonly differenceS: number;
  /** Spread of one run as this pair sees it, s. */
  readonly spreadS: number;
  readonly v: number;
  readonly df: number;
}

/** The same pair at the end of the day, as its design will be. */
export interface PairThen {
  readonly v: number;
  /** Multiplier of the outer band; Infinity: never a verdict. */
  readonly multiplier: number;
  readonly innerMultiplier: number;
}

/**
 * Chance that the pair has a verdict at the end of the day: outer band clear of 0, or inner band
 * inside the margin.
 *
 * The predictive distribution under a flat prior, difference + spread sqrt(v_now - v_end) t_df. Far
 * too high when there is no difference, a little low when it is large: good for "hardly any
 * chance", not for a percentage on the screen.
 *
 * @param marginS - smallest difference worth having, s; null: only a difference can be called
 * @see test/advisor/planning-reference.test.ts, worked out in R; flat prior predictive as in
 *   Box & Tiao, Bayesian Inference in Statistical Analysis, 2.4 (from memory)
 */
export function chanceOfCall(now: PairNow, then: PairThen, marginS: number | null): number {
  const outer = then.multiplier * now.spreadS * Math.sqrt(then.v);
  if (!Number.isFinite(outer)) return 0;
  // Equal variances may differ by rounding, in either direction.
  const width = now.spreadS * Math.sqrt(Math.max(0, now.v - then.v));
  const above = (x: number): number => {
    if (width > 0) return studentUpperTail((x - now.differenceS) / width, now.df);
    return now.differenceS > x ? 1 : 0;
  };
  const called = above(outer) + (1 - above(-outer));
  const inner =
    marginS === null ? 0 : marginS - then.innerMultiplier * now.spreadS * Math.sqrt(then.v);
  if (!(inner > 0)) return called;
  return inner >= outer ? 1 : called + above(-inner) - above(inner);
}
