// A rider's usual time on a set-up: what a percentage is taken of; called by whoever prints a
// difference in percent.
import type { Run } from "../domain/run.ts";
import type { RiderId, SetupId } from "../domain/session.ts";

/**
 * The middle one of the counted times, s: one slow run does not move it.
 *
 * @param runs - of the session, in run order
 * @param counted - the rider's counted runs to go by, from the first
 * @returns undefined if none of them is on the set-up
 */
export function usualTimeS(
  runs: readonly Run[],
  rider: RiderId,
  setup: SetupId,
  counted: number = Number.POSITIVE_INFINITY,
): number | undefined {
  const times = runs
    .filter((run) => run.status === "ok" && run.rider === rider)
    .slice(0, counted)
    .filter((run) => run.setup === setup)
    .flatMap((run) => run.timeS ?? [])
    .toSorted((a, b) => a - b);
  return times[Math.floor(times.length / 2)];
}
