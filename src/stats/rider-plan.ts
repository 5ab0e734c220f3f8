// What was promised before run 1: set-ups, level, figures and end of a rider's own plan, and the
// bands of every pair that follow; called by compare.ts, together.ts, rider-fit.ts and the advisor.
import type { ComparisonInput } from "../domain/comparison.ts";
import { baselineOf, type Rider, type RiderId, type SetupId } from "../domain/session.ts";
import { bandPlan, noticeRuns } from "./band-in-force.ts";
import { baselineFirst, type PlannedFigures, plannedFigures, planningOrders } from "./design.ts";
import type { PlannedBands } from "./replay.ts";

/** All that a plan rests on. */
export type PlanBasis = Pick<
  ComparisonInput,
  "settings" | "riders" | "setups" | "plannedSetups" | "plannedRiders" | "runs" | "plannedEnds"
>;

/** Set-ups of a comparison, baseline first where it is among them. */
export interface ComparedSetups {
  readonly baseline: SetupId;
  /** K of them: those to ride, and those ridden all the same. */
  readonly all: readonly SetupId[];
  /** Those to ride that were declared before run 1. */
  readonly planned: readonly SetupId[];
}

/** What a plan promises: a rider's own, or the riders' together. */
export interface ComparisonPlan {
  readonly setups: ComparedSetups;
  /** Level of a pair: its share of 1 - confidence. */
  readonly levelOf: (candidate: SetupId, baseline: SetupId) => number;
  /** Null without a planned number of runs. */
  readonly figures: PlannedFigures | null;
  /** Counted runs at which it ends: N, or the earlier end announced; null without a plan. */
  readonly endRun: number | null;
}

/** Set-ups of the session: all that any of its riders is to ride or has ridden. */
export function setupsOf(input: PlanBasis): ComparedSetups {
  return comparedSetups(input, input.riders);
}

/**
 * Set-ups of one rider: those that the rider is to ride, and any other with a finished run of the
 * rider, which then counts as one declared later.
 */
export function riderSetups(input: PlanBasis, rider: Rider): ComparedSetups {
  return comparedSetups(input, [rider]);
}

/** Whether a rider is to ride a set-up. */
function isToRide(rider: Rider, setup: SetupId): boolean {
  return rider.setups === null || rider.setups.includes(setup);
}

/** Set-ups that a rider may be sent on, baseline first. */
export function setupsToRide(input: PlanBasis, rider: Rider): readonly SetupId[] {
  return riderSetups(input, rider).all.filter((setup) => isToRide(rider, setup));
}

/** N: counted runs that a rider planned; 0 with nothing to ride, null without a plan. */
export function plannedRunsOf(input: PlanBasis, rider: Rider): number | null {
  const own = rider.plannedRuns ?? input.settings.plannedRuns;
  return own !== null && riderSetups(input, rider).planned.length === 0 ? 0 : own;
}

/**
 * The planning orders of a rider, one a day.
 *
 * @param reversed - they start with the last set-up, as for every second rider of a stack
 * @returns empty without a planned number of runs
 */
export function riderOrders(
  input: PlanBasis,
  rider: Rider,
  reversed: boolean,
): readonly (readonly SetupId[])[] {
  const runs = plannedRunsOf(input, rider) ?? 0;
  const { planned } = riderSetups(input, rider);
  return planningOrders(planned, runs, input.settings.days, reversed);
}

/** A rider's own plan. */
export function riderPlan(input: PlanBasis, rider: Rider): ComparisonPlan {
  const setups = riderSetups(input, rider);
  const isPlanned = plannedRunsOf(input, rider) !== null;
  const orders = riderOrders(input, rider, false);
  return {
    setups,
    levelOf: pairLevels(input, setups),
    figures: isPlanned ? plannedFigures(setups.planned, orders, input.settings.drift) : null,
    endRun: endRunOf(input, rider),
  };
}

/**
 * Counted runs at which a rider's plan ends: N, or the earlier end announced in time; null without
 * a plan.
 */
export function endRunOf(input: PlanBasis, rider: Rider): number | null {
  const plannedRuns = plannedRunsOf(input, rider);
  if (plannedRuns === null) return null;
  return announcedEnd(input, rider.id, plannedRuns) ?? plannedRuns;
}

function announcedEnd(input: PlanBasis, rider: RiderId, plannedRuns: number): number | null {
  const notice = noticeRuns(plannedRuns);
  const announced = input.plannedEnds.find(
    (end) =>
      end.rider === rider && end.endRun < plannedRuns && end.endRun - end.announcedAtRun >= notice,
  );
  return announced?.endRun ?? null;
}

/**
 * Share of the set-up that the day is about.
 *
 * chosen: by simulation, the largest that keeps false calls within 5 % at spread ratios up to 3. With
 * four set-ups it finds what one spread for all would find (24 runs, a difference of 1.5 spreads: 44
 * instead of 31 %), with three a little more (20 runs: 55 instead of 51 %); the others pay for it.
 * test/calibrate/calibration.test.ts
 */
const MAIN_SHARE = 0.6;

/**
 * The levels of the pairs: 1 - confidence, shared alike among the set-ups but the baseline, or with
 * the larger share for the one that the day is about (weighted Bonferroni).
 *
 * @returns of any two set-ups; a pair without the baseline has its candidate's level, so that the
 *   pairs of all with any one set-up share 1 - confidence
 */
export function pairLevels(
  input: PlanBasis,
  { all, baseline }: ComparedSetups,
): ComparisonPlan["levelOf"] {
  const level = 1 - input.settings.confidence;
  const others = Math.max(1, all.length - 1);
  const main = input.settings.mainSetup;
  if (main === null || main === baseline || !all.includes(main) || others < 2) {
    return () => level / others;
  }
  return (candidate, against) => {
    const whose = candidate === baseline ? against : candidate;
    return whose === main ? MAIN_SHARE * level : ((1 - MAIN_SHARE) * level) / (others - 1);
  };
}

/** The pairs of a plan, every set-up against the baseline in declared order, with their bands. */
export function plannedPairs(
  input: PlanBasis,
  plan: ComparisonPlan,
  sectors: number,
): readonly PlannedBands[] {
  const { all, baseline } = plan.setups;
  return input.setups
    .filter(({ id }) => id !== baseline && all.includes(id))
    .map(({ id }) => pairBands(input, plan, sectors, id, baseline));
}

/**
 * The bands of a pair for the whole session.
 *
 * @param sectors - 0 on a stretch without splits
 */
export function pairBands(
  input: PlanBasis,
  plan: ComparisonPlan,
  sectors: number,
  candidate: SetupId,
  baseline: SetupId,
): PlannedBands {
  const { figures, endRun } = plan;
  const level = plan.levelOf(candidate, baseline);
  const pair = figures?.pair(candidate, baseline);
  const promised = figures && pair ? { nuN: figures.nuN, z2N: pair.z2N } : null;
  const { bands } = input.settings;
  const whole = bandPlan(bands, level, promised, endRun);
  const sector = sectors === 0 ? whole : bandPlan(bands, level / sectors, promised, endRun);
  return { candidate, baseline, whole, sector };
}

function comparedSetups(input: PlanBasis, riders: readonly Rider[]): ComparedSetups {
  const baseline = baselineOf(input.setups).id;
  const isPlanned = (setup: SetupId): boolean => riders.some((rider) => isToRide(rider, setup));
  const all = input.setups.map(({ id }) => id);
  return {
    baseline,
    all: baselineFirst(
      all.filter((setup) => isPlanned(setup) || isRidden(input, riders, setup)),
      baseline,
    ),
    planned: baselineFirst(input.plannedSetups.filter(isPlanned), baseline),
  };
}

function isRidden(input: PlanBasis, riders: readonly Rider[], setup: SetupId): boolean {
  return input.runs.some(
    (run) =>
      run.status === "ok" && run.setup === setup && riders.some((rider) => rider.id === run.rider),
  );
}
