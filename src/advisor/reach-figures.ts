// What the end of a plan comes to in seconds, as far as the spread is known; called by plan-day.ts.
import type { Plan } from "../domain/plan.ts";
import type { EndOfPlan } from "./plan-figures.ts";
import type { SpreadEnds } from "./reach-curve.ts";
import { spreadInterval } from "./spread-interval.ts";

/** A spread; its degrees of freedom are null where it was only told. */
export interface PlanningSpread {
  readonly spreadS: number;
  readonly df: number | null;
}

type ReachFigures = Pick<
  Plan,
  | "smallest_difference_s"
  | "smallest_difference_spreads"
  | "end_half_width_s"
  | "end_half_width_ends_s"
  | "no_difference_reachable"
  | "no_difference_reachable_ends"
>;

/** Multiples of the spread at both ends of its 80 % interval; null where it was only told. */
export function endsOf(spread: PlanningSpread | null): SpreadEnds {
  return spread?.df != null && spread.df > 0 ? spreadInterval(spread.df) : null;
}

/**
 * The figures of a plan's end.
 *
 * @param end - undefined: nothing is compared, or no number of runs is known
 * @param marginS - smallest difference worth having, s
 */
export function reachFigures(
  end: EndOfPlan | undefined,
  spread: PlanningSpread | null,
  marginS: number | null,
): ReachFigures {
  const smallest = finite(end?.smallestDifference);
  const halfWidth = finite(end?.halfWidth);
  const inner = end?.innerHalfWidth ?? Number.POSITIVE_INFINITY;
  const isReachable = (s: number): boolean => marginS !== null && marginS > inner * s;
  if (spread === null) {
    return {
      smallest_difference_s: null,
      smallest_difference_spreads: smallest,
      end_half_width_s: null,
      end_half_width_ends_s: null,
      no_difference_reachable: false,
      no_difference_reachable_ends: null,
    };
  }
  const s = spread.spreadS;
  const ends = endsOf(spread);
  const lowS = ends === null ? null : ends[0] * s;
  const highS = ends === null ? null : ends[1] * s;
  const atBoth = <T>(figure: (ofS: number) => T): { low: T; high: T } | null =>
    lowS === null || highS === null ? null : { low: figure(lowS), high: figure(highS) };
  return {
    smallest_difference_s:
      smallest === null
        ? null
        : {
            at_spread: smallest * s,
            ...(atBoth((ofS) => smallest * ofS) ?? { low: null, high: null }),
          },
    smallest_difference_spreads: smallest,
    end_half_width_s: halfWidth === null ? null : halfWidth * s,
    end_half_width_ends_s: halfWidth === null ? null : atBoth((ofS) => halfWidth * ofS),
    no_difference_reachable: isReachable(s),
    no_difference_reachable_ends: atBoth(isReachable),
  };
}

/** JSON has no infinity, and nobody a use for it. */
function finite(value: number | undefined): number | null {
  return value === undefined || !Number.isFinite(value) ? null : value;
}
