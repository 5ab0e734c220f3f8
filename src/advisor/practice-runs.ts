// Uncounted runs on a set-up that a rider has to get used to, before the opening; called by
// next-setup.ts and plan-day.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Rider, SetupId } from "../domain/session.ts";
import { setupsToRide } from "../stats/rider-plan.ts";

/**
 * Practice runs planned on a set-up that is new to the rider. chosen: nothing undoes such learning
 * afterwards, and three runs halve and more what it fakes; five are better still.
 */
export const PRACTICE_RUNS = 3;

export interface PracticeRun {
  readonly setup: SetupId;
  /** 1, 2, 3. */
  readonly run: number;
  readonly of: number;
}

/**
 * The practice run to make next on each set-up that still needs one, the mounted one first; none
 * once the rider has started the comparison.
 */
export function practiceRunsLeft(
  input: ComparisonInput,
  rider: Rider,
  mounted: SetupId | null,
): readonly PracticeRun[] {
  const own = input.runs.filter((run) => run.rider === rider.id);
  if (own.some((run) => run.k !== null)) return [];
  const toRide = setupsToRide(input, rider);
  return rider.newTo
    .filter((setup) => toRide.includes(setup))
    .map((setup) => ({
      setup,
      run: own.filter((run) => run.setup === setup).length + 1,
      of: PRACTICE_RUNS,
    }))
    .filter(({ run, of }) => run <= of)
    .toSorted((a, b) => Number(b.setup === mounted) - Number(a.setup === mounted));
}
