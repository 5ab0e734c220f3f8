// All riders in one comparison: the stacked estimate, and at the end of a day the mean of the
// riders' own; called by the summary after every run.
import type { ComparisonInput, EndOfDayMean, Pair, Together } from "../domain/comparison.ts";
import type { Rider } from "../domain/session.ts";
import { carryingRiders } from "./carrying-riders.ts";
import { riderSubject } from "./compare.ts";
import { type CountedRun, sectorCount, sortedRuns } from "./counted-runs.ts";
import { type DesignRow, plannedFigures } from "./design.ts";
import { pairRows } from "./pair-row.ts";
import { placesAhead } from "./places-ahead.ts";
import { firstCalls, lastLook, type Subject } from "./replay.ts";
import {
  type ComparisonPlan,
  endRunOf,
  type PlanBasis,
  pairLevels,
  plannedPairs,
  plannedRunsOf,
  riderOrders,
  setupsOf,
} from "./rider-plan.ts";
import { type RiderDifference, ridersMean } from "./riders-mean.ts";

/**
 * Fewest riders for a claim about all of them. Also for a single pair that fewer of them carry: the
 * others lend the spread of their runs on the baseline, and may be the calmer ones. chosen: of six
 * riders with 12 runs each, one, two or three on C and two to three times as scattered as those on
 * B, false calls came on 7.0, 6.0 and 4.7 % of simulated days where 5 % are promised.
 * test/stats/club-day.test.ts.
 */
export const FEWEST_RIDERS = 3;

const NO_CLAIM = {
  verdict: null,
  called_at_run: null,
  more_runs: null,
  chance_within_plan: null,
};

/**
 * The riders together: one model with a level and a session drift for each rider and common set-up
 * effects, read at the same bands as a rider's own.
 *
 * @param input - the session as its journal has it now; runs of all riders in run order
 * @returns null for one rider; with two, and for a pair that no three carry, the bands without a
 *   verdict; `end_of_day` only in a closed session of three riders or more, for pairs that three of
 *   them have an error for
 * @throws {RangeError} if a finished run has no time or no place in the order
 */
export function compareTogether(input: ComparisonInput): Together | null {
  if (input.riders.length < 2) return null;
  const isClaim = input.riders.length >= FEWEST_RIDERS;
  const { counted } = sortedRuns(
    input,
    input.riders.map((r) => r.id),
  );
  const subject = stackSubject(input, counted);
  const calls = isClaim ? firstCalls(subject) : [];
  const ahead = isClaim ? stackAhead(input, counted) : [];
  const [rows = []] = pairRows(subject, lastLook(subject), calls, { rows: ahead });
  const setups = setupsOf(input);
  const pairs = rows.map((pair): Pair => {
    const riders = carryingRiders(input, setups, pair.setup, pair.baseline);
    const isTold = isClaim && (riders === 0 || riders >= FEWEST_RIDERS);
    return isTold ? pair : { ...pair, ...NO_CLAIM };
  });
  return { pairs, end_of_day: isClaim && input.isClosed ? endOfDay(input) : null };
}

/**
 * The plan of the stack: the riders' own plans one upon the other, every second rider of the sheet
 * starting from the other end. A rider who joins after run 1 rides for the plan, but does not make it
 * a larger one: that would be a restart after looking.
 */
export function stackPlan(input: PlanBasis): ComparisonPlan {
  const setups = setupsOf(input);
  const riders = plannedRiders(input);
  const isPlanned =
    riders.length > 0 && riders.every(({ rider }) => plannedRunsOf(input, rider) !== null);
  const orders = riders.flatMap(({ rider, i }) => riderOrders(input, rider, isReversed(i)));
  const figures = plannedFigures(setups.planned, orders, input.settings.drift);
  return {
    setups,
    levelOf: pairLevels(input, setups),
    figures: isPlanned ? figures : null,
    endRun: stackEndRun(input),
  };
}

/** The riders together, with the bands of their common plan. */
export function stackSubject(input: ComparisonInput, counted: readonly CountedRun[]): Subject {
  const { settings } = input;
  const plan = stackPlan(input);
  // Sector times are only needed where something is struck out; they make a look dearer.
  const isStruckOut = counted.some((run) => run.voidSectors.length > 0);
  const sectors = isStruckOut ? sectorCount(input) : 0;
  return {
    runs: counted,
    setups: plan.setups.all,
    drift: settings.drift,
    spreads: settings.spreads,
    marginS: settings.marginS,
    newSetups: new Set(input.riders.flatMap((rider) => rider.newTo)),
    sectors,
    isBySector: false,
    pairs: plannedPairs(input, plan, 0),
  };
}

/** Riders declared before run 1, with their places in the sheet. */
function plannedRiders(input: PlanBasis): readonly { readonly rider: Rider; readonly i: number }[] {
  return input.riders
    .map((rider, i) => ({ rider, i }))
    .filter(({ rider }) => input.plannedRiders.includes(rider.id));
}

/** Counted runs of all riders at which their plans end; null without a plan. */
function stackEndRun(input: PlanBasis): number | null {
  const ends = plannedRiders(input).map(({ rider }) => endRunOf(input, rider));
  if (ends.length === 0 || ends.includes(null)) return null;
  return ends.reduce<number>((sum, end) => sum + (end ?? 0), 0);
}

/**
 * Places still to be ridden up to the end of the stack's plan, the rider with the fewest counted
 * runs next. What some riders rode beyond their own plans is missing at the end of the others'.
 */
function stackAhead(input: ComparisonInput, counted: readonly CountedRun[]): readonly DesignRow[] {
  const queues = input.riders.map((rider, i) => {
    const n = counted.filter((run) => run.rider === rider.id).length;
    const endRun = endRunOf(input, rider) ?? 0;
    return { n, places: [...placesAhead(input, rider, n, endRun, isReversed(i))] };
  });
  const left = Math.max(0, (stackEndRun(input) ?? 0) - counted.length);
  const rows: DesignRow[] = [];
  while (rows.length < left) {
    const waiting = queues.filter((queue) => queue.places.length > 0);
    const fewest = Math.min(...waiting.map((queue) => queue.n));
    const next = waiting.find((queue) => queue.n === fewest);
    const place = next?.places.shift();
    if (next === undefined || place === undefined) return rows;
    next.n += 1;
    rows.push(place);
  }
  return rows;
}

function isReversed(rider: number): boolean {
  return rider % 2 === 1;
}

function endOfDay(input: ComparisonInput): readonly EndOfDayMean[] {
  const setups = setupsOf(input);
  const levelOf = pairLevels(input, setups);
  const { baseline } = setups;
  const riders = input.riders.map((rider) => ownDifferences(input, rider));
  return input.setups.flatMap((setup): readonly EndOfDayMean[] => {
    const known = riders.flatMap((own) => own.get(setup.id) ?? []);
    if (known.length < FEWEST_RIDERS) return [];
    const { meanS, bandS } = ridersMean(known, levelOf(setup.id, baseline));
    return [{ setup: setup.id, baseline, riders: known.length, mean_s: meanS, band_s: bandS }];
  });
}

/** A rider's own differences that have an error, by set-up. */
function ownDifferences(
  input: ComparisonInput,
  rider: Rider,
): ReadonlyMap<string, RiderDifference> {
  const subject = riderSubject(input, rider, sortedRuns(input, [rider.id]).counted);
  const look = lastLook(subject);
  const known = new Map<string, RiderDifference>();
  for (const { candidate, baseline, whole } of subject.pairs) {
    const limits = whole.at(subject.runs.length);
    const { figures } = look.pair(0, candidate, baseline, limits).estimate;
    const errorS = figures?.error?.standardErrorS ?? 0;
    if (figures === null || !(errorS > 0)) continue;
    known.set(candidate, {
      differenceS: figures.differenceS,
      varianceS2: errorS ** 2,
      z2: figures.z2,
    });
  }
  return known;
}
