// The plan whose days are simulated, with what a sheet may leave open filled in; called by
// calibrate.ts and, in each thread, by ride-block.ts.
import { type KnownSpread, planDay } from "../advisor/plan-day.ts";
import type { PlanSheet } from "../advisor/plan-figures.ts";
import { planRefusal } from "../advisor/plan-refusal.ts";
import { UserError } from "../domain/errors.ts";
import { baselineOf, type Rider, type SetupId } from "../domain/session.ts";
import type { OrderKind } from "./order.ts";

/** How a rider's runs are spread over days. */
export interface DayShape {
  readonly days: number;
  /** Planned runs of each. */
  readonly runsADay: number;
}

/**
 * Which kinds of day: all with the candidate differing, those among them without a difference, plain
 * ones with each difference; or one set-up, drawn in turn, quicker than all others on days that drift
 * as days do.
 */
export const KINDS_OF_DAY = ["all", "no-difference", "difference", "best"] as const;

export type KindsOfDay = (typeof KINDS_OF_DAY)[number];

/** Plain data, so that it can be handed to another thread. */
export interface Trial {
  readonly sheet: PlanSheet;
  /** Whose own comparison is judged: the sheet's first. */
  readonly rider: Rider;
  readonly baseline: SetupId;
  /** Set-up that the true difference, the larger spread and the getting used to belong to. */
  readonly candidate: SetupId;
  /** Counted runs of a rider who has no plan of their own, all days together. */
  readonly runs: number;
  /** Run-to-run spread, s. */
  readonly spreadS: number;
  /** Run time on a quiet day, s. */
  readonly runS: number;
  readonly order: OrderKind;
  readonly kinds: KindsOfDay;
  /** What the sheet left open, or is not simulated; plain words. */
  readonly notes: readonly string[];
}

const RUNS_WITHOUT_PLAN = 20;
const RUN_S = 120;
/** Usual spread of a run time as a share of it. chosen: the middle of 1 to 2 %; only margins feel it. */
const SPREAD_SHARE = 0.0125;

/**
 * The days of a plan.
 *
 * @param measured - the spread of runs already ridden, which replaces the sheet's
 * @throws {UserError} `refused` for fewer than two set-ups, or a plan too short
 */
export function trialOf(
  sheet: PlanSheet,
  order: OrderKind,
  measured: KnownSpread | null = null,
  kinds: KindsOfDay = "all",
): Trial {
  const { settings, setups, riders } = sheet;
  const rider = riders[0];
  const baseline = baselineOf(setups).id;
  const candidate = settings.mainSetup ?? setups.find((setup) => setup.id !== baseline)?.id;
  if (rider === undefined || candidate === undefined) {
    throw new UserError(
      "refused",
      "nothing is compared: the sheet has no rider or fewer than two set-ups",
      "declare a rider and at least two [[setups]], one of them the baseline",
    );
  }
  const refusal = planRefusal(sheet);
  if (refusal !== null) throw refusal;
  const runS = settings.expectedRunS ?? RUN_S;
  const spreadS = measured?.spreadS ?? settings.spreadS ?? SPREAD_SHARE * runS;
  const runs = settings.plannedRuns ?? planDay(sheet).runs ?? RUNS_WITHOUT_PLAN;
  const isSpreadKnown = measured !== null || settings.spreadS !== null;
  const notes = [
    settings.plannedRuns === null && `no planned_runs: days of ${String(runs)} runs`,
    !isSpreadKnown &&
      settings.marginS !== null &&
      `no spread_s: the margin is set against a spread of ${spreadS.toFixed(2)} s`,
    riders.length > 1 &&
      `several riders: the figures are of ${rider.id}, whose own comparison has its own promise`,
    riders.length === 2 && "two riders: nothing is claimed of both together",
    kinds === "best" && "each set-up in turn is the one that is quicker than all others",
    kinds !== "best" &&
      rider.newTo.length === 0 &&
      `new_to names no set-up: getting used to ${candidate} is simulated undeclared, without practice runs`,
  ].filter((note) => note !== false);
  return { sheet, rider, baseline, candidate, runs, spreadS, runS, order, kinds, notes };
}

/** Counted runs of a rider, all days together. */
export function runsOf({ runs }: Trial, rider: Rider): number {
  return rider.plannedRuns ?? runs;
}

/** How a rider's runs are spread over the days that were declared. */
export function dayShape(trial: Trial, rider: Rider): DayShape {
  const { days } = trial.sheet.settings;
  return { days, runsADay: Math.ceil(runsOf(trial, rider) / days) };
}
