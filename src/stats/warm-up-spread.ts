// The run-to-run spread of a rider's warm-up laps; called by the advisor and by whoever asks whether
// a rider is up to speed.
import type { SetupId } from "../domain/session.ts";
import { leastSquares } from "./least-squares.ts";

/** A spread and the degrees of freedom it was measured with. */
export interface MeasuredSpread {
  readonly spreadS: number;
  readonly df: number;
}

/**
 * Spread of warm-up laps with a straight line taken out: least squares on a level for each set-up
 * and one slope over the laps, so df = laps - 2 on a single set-up. A set-up with one lap takes its
 * degree of freedom with it.
 *
 * @param times - lap times in the order that they were ridden, s
 * @param setups - set-up of each lap; left out: one for all
 * @returns undefined without a degree of freedom (fewer than three laps on one set-up)
 * @throws {RangeError} if there are not as many set-ups as times
 * @see Draper & Smith, Applied Regression Analysis, ch. 1 (residual mean square of a straight line;
 *   from memory)
 */
export function warmUpSpread(
  times: readonly number[],
  setups: readonly SetupId[] = times.map(() => ""),
): MeasuredSpread | undefined {
  if (setups.length !== times.length) {
    throw new RangeError("warmUpSpread requires a set-up for each lap");
  }
  const levels = [...new Set(setups)].map((setup) => setups.map((own) => (own === setup ? 1 : 0)));
  const { rss, df } = leastSquares([...levels, times.map((_, lap) => lap)], times);
  return df < 1 ? undefined : { spreadS: Math.sqrt(rss / df), df };
}
