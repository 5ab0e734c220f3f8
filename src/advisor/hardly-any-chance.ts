// Whether the day can still decide, and whether ending the plan earlier would help; called by
// next-setup.ts.
import type { BandPlan } from "../stats/band-in-force.ts";
import { nextPlace } from "../stats/places-ahead.ts";
import { pairBands, plannedRunsOf, riderPlan } from "../stats/rider-plan.ts";
import { FEWEST_PLANNED_DF } from "../stats/thresholds.ts";
import { type DayEnd, earlierEndRun, outlook, rolledForward } from "./day-outlook.ts";
import { coinAt, type Question } from "./question.ts";

/**
 * Under this chance of a verdict by the end of the day it is time to say so. chosen: at 1 in 10 a
 * fifth of the days so given up would have been called.
 */
const HARDLY_ANY = 0.05;

/**
 * The rule followed to the end; undefined if nothing ends the day, or if the plan has more days: then
 * today need not decide anything.
 */
export function endOfDay(question: Question): DayEnd | undefined {
  const { input, rider, standing, situation, costs, multiplier } = question;
  const { endRun } = standing;
  if (nextPlace(input, rider.id).day + 1 < input.settings.days) return undefined;
  const coin = (runs: number): number => coinAt(input, runs);
  const isOpen = input.settings.bands === "open" && situation.minutesLeft !== null;
  const isInPlan = endRun !== null && situation.counted.length < endRun && !isOpen;
  return rolledForward(situation, costs, multiplier, coin, isInPlan ? endRun : null);
}

/** An earlier end of the plan that the time left suggests. */
export interface Proposal {
  readonly endRun: number;
  readonly runsLeft: number;
  /** Soon it is too late to announce it. */
  readonly isUrgent: boolean;
}

/** The earlier end to propose, by the clock alone; null if none is due or can be announced. */
export function proposedEnd({ input, rider, standing }: Question, end: DayEnd): Proposal | null {
  const plannedRuns = plannedRunsOf(input, rider);
  const isAnnounced = standing.endRun !== plannedRuns;
  if (plannedRuns === null || input.settings.bands === "open" || isAnnounced) return null;
  const nuN = riderPlan(input, rider).figures?.nuN ?? 0;
  if (nuN < FEWEST_PLANNED_DF) return null;
  const n = standing.counted.length;
  const endRun = earlierEndRun(end, n, plannedRuns);
  if (endRun === null) return null;
  const soonest = earlierEndRun({ ...end, runs: end.runs - 2 }, n, plannedRuns);
  return { endRun, runsLeft: end.runs - n, isUrgent: soonest === null };
}

export interface View {
  /** Hardly any chance of a verdict today. */
  readonly isHopeless: boolean;
  /** There is a chance if the earlier end is announced, and else hardly any. */
  readonly isSavedByEarlierEnd: boolean;
  /** At the last run, s; Infinity: no band even then. */
  readonly halfWidthS: number;
}

/**
 * The chance at the end of the day, not before two runs more than the opening; ending the plan earlier, if it can be, counts as a
 * way out.
 */
export function viewOf(question: Question, end: DayEnd, earlier: Proposal | null): View | null {
  const { input, rider, pair, standing, today, situation } = question;
  const fewest = 2 * standing.setups + 2;
  const bands = standing.rival.band?.bands;
  if (pair === undefined || bands === undefined || standing.counted.length < fewest) return null;
  const { spreads, marginS } = input.settings;
  if (end.runs === situation.counted.length) return null;
  const at = (banded: BandPlan): ReturnType<typeof outlook> =>
    outlook(pair, spreads, banded, today, end, marginS);
  const planned = at(bands);
  if (planned.chance >= HARDLY_ANY || earlier === null) {
    return {
      isHopeless: planned.chance < HARDLY_ANY,
      isSavedByEarlierEnd: false,
      halfWidthS: planned.halfWidthS,
    };
  }
  const { setup } = standing.rival;
  const plan = riderPlan(input, rider);
  const sooner = pairBands(input, { ...plan, endRun: earlier.endRun }, 0, setup, standing.leader);
  const ended = at(sooner.whole);
  const isSaved = ended.chance >= HARDLY_ANY;
  return { isHopeless: !isSaved, isSavedByEarlierEnd: isSaved, halfWidthS: ended.halfWidthS };
}
