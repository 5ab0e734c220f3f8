// What was promised before run 1: levels, bands of every pair and the end of each rider's plan;
// called by compare.ts, together.ts and rider-fit.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import { baselineOf, type RiderId, type SetupId } from "../domain/session.ts";
import { bandPlan, noticeRuns } from "./band-in-force.ts";
import { baselineFirst, type PlannedFigures, plannedFigures, planningOrder } from "./design.ts";
import type { PlannedBands } from "./replay.ts";

/** Set-ups of the session, baseline first: all, and those declared before run 1. */
export function setupsOf(input: ComparisonInput): {
  readonly baseline: SetupId;
  readonly all: readonly SetupId[];
  readonly planned: readonly SetupId[];
} {
  const baseline = baselineOf(input.setups).id;
  return {
    baseline,
    all: baselineFirst(
      input.setups.map((s) => s.id),
      baseline,
    ),
    planned: baselineFirst(input.plannedSetups, baseline),
  };
}

/** The figures of a rider's own plan; null without a planned number of runs. */
export function riderFigures(input: ComparisonInput): PlannedFigures | null {
  const { plannedRuns, drift } = input.settings;
  const { planned } = setupsOf(input);
  if (plannedRuns === null) return null;
  return plannedFigures(planned, [planningOrder(planned, plannedRuns)], drift);
}

/**
 * Counted runs at which a rider's plan ends: N, or the earlier end announced in time; null without
 * a plan.
 */
export function endRunOf(input: ComparisonInput, rider: RiderId): number | null {
  const { plannedRuns } = input.settings;
  if (plannedRuns === null) return null;
  const notice = noticeRuns(plannedRuns);
  const announced = input.plannedEnds.find(
    (end) =>
      end.rider === rider && end.endRun < plannedRuns && end.endRun - end.announcedAtRun >= notice,
  );
  return announced?.endRun ?? plannedRuns;
}

/** The level of one pair: 1 - confidence, shared among the set-ups but the baseline. */
export function pairLevel(input: ComparisonInput): number {
  return (1 - input.settings.confidence) / Math.max(1, input.setups.length - 1);
}

/**
 * The bands of a pair for the whole session.
 *
 * @param figures - of the plan, a rider's own or the stack's
 * @param sectors - 0 on a stretch without splits
 */
export function pairBands(
  input: ComparisonInput,
  figures: PlannedFigures | null,
  endRun: number | null,
  sectors: number,
  candidate: SetupId,
  baseline: SetupId,
): PlannedBands {
  const pair = figures?.pair(candidate, baseline);
  const plan = figures && pair ? { nuN: figures.nuN, z2N: pair.z2N } : null;
  const level = pairLevel(input);
  const { bands } = input.settings;
  const whole = bandPlan(bands, level, plan, endRun);
  const sector = sectors === 0 ? whole : bandPlan(bands, level / sectors, plan, endRun);
  return { candidate, baseline, whole, sector };
}
