// Whose turn it is; called by next-setup.ts.
import type { ComparisonInput, RiderComparison } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { Rider } from "../domain/session.ts";
import { riderHolds } from "./rider-stops.ts";

/**
 * The rider to send next: not on course, fewest counted runs, longest waiting, then sheet order.
 * With everybody on course it is the one whose turn comes after this run. A rider who is held after a
 * crash or a knock to the head is passed over while anybody else is there.
 *
 * @returns undefined if no rider is declared
 */
export function nextRider(
  input: ComparisonInput,
  comparisons: readonly RiderComparison[],
): Rider | undefined {
  const ranked = input.riders.map((rider) => {
    const own = input.runs.filter((run) => run.rider === rider.id);
    const counted = comparisons.find((c) => c.rider === rider.id)?.counted_runs ?? 0;
    const last = own.at(-1);
    const isHeld = riderHolds(input, rider.id).length > 0;
    return { rider, counted, last, isHeld, isOnCourse: runOnCourse(own) !== undefined };
  });
  const place = (run: Run | undefined): number =>
    run === undefined ? -1 : input.runs.indexOf(run);
  const [first] = ranked.sort(
    (a, b) =>
      Number(a.isHeld) - Number(b.isHeld) ||
      Number(a.isOnCourse) - Number(b.isOnCourse) ||
      a.counted - b.counted ||
      finishedBefore(a.last, b.last) ||
      place(a.last) - place(b.last),
  );
  return first?.rider;
}

/** The run in progress among a rider's runs. */
export function runOnCourse(runs: readonly Run[]): Run | undefined {
  return runs.findLast((run) => run.status === "on-course");
}

/** Negative if `a` finished first; 0 where the times do not tell. */
function finishedBefore(a: Run | undefined, b: Run | undefined): number {
  return a?.finishedAt == null || b?.finishedAt == null ? 0 : a.finishedAt - b.finishedAt;
}
