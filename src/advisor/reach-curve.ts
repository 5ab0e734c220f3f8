// The smallest difference that a plan is likely to show, against its number of runs; called by
// plan-day.ts.
import type { ReachPoint } from "../domain/plan.ts";
import { firstRider, type PlanSheet } from "./plan-figures.ts";
import { type Promising, promisedUnder } from "./reach-promise.ts";

/** Runs looked through for the fewest that a plan can promise on. */
const MOST_TRIED = 400;
/** Runs beyond the fewest that are shown at least. */
const LEAST_SHOWN = 8;
/** chosen: more points than a chart has columns for cost time and show nothing. */
const MOST_POINTS = 60;

/** Multiples of the spread at both ends of what is known of it; null: one figure is known. */
export type SpreadEnds = readonly [low: number, high: number] | null;

/**
 * The curve, from the fewest runs that a plan can promise on to twice the runs planned.
 *
 * @param sheet - with the number of runs that is planned, or that fits in the hours
 * @param whose - the same at every number, so that the curve is one plan's
 * @param spreadS - run-to-run spread, s
 * @returns empty without a number of runs, or where no number of runs promises anything; the planned
 *   number is among the points
 */
export function reachCurve(
  sheet: PlanSheet,
  whose: Promising,
  spreadS: number,
  ends: SpreadEnds,
): readonly ReachPoint[] {
  const planned = firstRider(sheet).plannedRuns ?? sheet.settings.plannedRuns ?? 0;
  if (planned <= 0) return [];
  const { days } = sheet.settings;
  const reachAt = (runs: number): number | undefined =>
    promisedUnder(withRunsOf(sheet, runs), whose)?.smallestDifference;
  // Days share the runs alike.
  let fewest = days * Math.ceil(2 / days);
  while (fewest < MOST_TRIED && reachAt(fewest) === undefined) fewest += days;
  const most = Math.max(2 * planned, fewest + LEAST_SHOWN);
  const step = days * Math.max(1, Math.ceil((most - fewest) / days / MOST_POINTS));
  const shown = new Set([planned]);
  for (let runs = fewest; runs <= most; runs += step) shown.add(runs);
  return [...shown]
    .toSorted((a, b) => a - b)
    .flatMap((runs) => {
      const reach = reachAt(runs);
      if (reach === undefined) return [];
      const atS = reach * spreadS;
      const [low, high] = ends ?? [null, null];
      return [
        {
          runs,
          smallest_difference_s: atS,
          low_s: low === null ? null : low * atS,
          high_s: high === null ? null : high * atS,
        },
      ];
    });
}

/** The sheet with as many runs for its first rider and for everybody without a number of their own. */
function withRunsOf(sheet: PlanSheet, plannedRuns: number): PlanSheet {
  const [first, ...others] = sheet.riders;
  return {
    ...sheet,
    settings: { ...sheet.settings, plannedRuns },
    riders: first === undefined ? [] : [{ ...first, plannedRuns }, ...others],
  };
}
