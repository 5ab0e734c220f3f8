// The fitted time on the baseline: what a percentage is taken of; called by whoever prints a
// difference in percent.
import type { RiderComparison } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";

/**
 * The baseline's fitted time in the middle of the runs, s.
 *
 * Least squares leaves the mean of the times as it is, and the session drift is centred in it: so the
 * baseline's time there is that mean less what the other set-ups, by their shares of the runs, put
 * into it. Exact for one day without a sector struck out; else near enough for a percentage.
 *
 * @param runs - of the session, in run order
 * @param rider - the rider's comparison, of all those runs or of the first so many counted ones
 * @returns undefined without a run on the baseline
 */
export function baselineTimeS(runs: readonly Run[], rider: RiderComparison): number | undefined {
  const times = runs
    .filter((run) => run.status === "ok" && run.rider === rider.rider)
    .slice(0, rider.counted_runs)
    .flatMap((run) => run.timeS ?? []);
  const pairs = rider.parts[0]?.pairs ?? [];
  const onBaseline = Math.max(0, ...pairs.map((pair) => pair.baseline_runs));
  if (times.length === 0 || onBaseline === 0) return undefined;
  const meanS = times.reduce((sum, timeS) => sum + timeS, 0) / times.length;
  return pairs.reduce(
    (timeS, pair) => timeS - (pair.runs / times.length) * (pair.difference_s ?? 0),
    meanS,
  );
}
