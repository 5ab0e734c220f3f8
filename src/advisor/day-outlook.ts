// What the rest of the day can still bring: the rule rolled forward to the last run, and the chance
// of a verdict there; called by next-setup.ts.
import type { SpreadKind } from "../domain/session.ts";
import { type BandPlan, noticeRuns } from "../stats/band-in-force.ts";
import { chanceOfCall } from "./chance-of-call.ts";
import { type PairToday, pairAhead } from "./pair-ahead.ts";
import type { RiddenDesign } from "./ridden-design.ts";
import {
  afterRide,
  chooseRide,
  type IndexMultiplier,
  type RideCosts,
  type Situation,
} from "./suggestion-rule.ts";

/** Rides beyond which the end of a day is no longer looked for. */
const MOST_AHEAD = 300;

/** Where the rule, followed to the end, leaves the day. */
export interface DayEnd {
  readonly design: RiddenDesign;
  /** Counted runs there, if every run counts. */
  readonly runs: number;
  /** Set-ups ridden until then, in order. */
  readonly order: readonly string[];
  /** True if the time is over before the plan is. */
  readonly isShortOfPlan: boolean;
}

/**
 * Follows the rule with leader, rival and spread frozen until the plan's end or until no run fits.
 *
 * @param endRun - counted runs at which to stop; null: only the time stops it
 * @param coin - for exact ties, by the number of counted runs
 * @returns undefined if neither time nor plan ends the day, or not within 300 more rides
 */
export function rolledForward(
  situation: Situation,
  costs: RideCosts,
  multiplier: IndexMultiplier,
  coin: (runs: number) => number,
  endRun: number | null,
): DayEnd | undefined {
  if (endRun === null && situation.minutesLeft === null) return undefined;
  let at = situation;
  for (let ahead = 0; ahead < MOST_AHEAD; ahead += 1) {
    const runs = at.counted.length;
    if (runs === endRun) return dayEnd(at, false);
    const choice = chooseRide(at, costs, multiplier, () => coin(runs));
    const ride = choice.options.find((o) => o.setup === choice.setup);
    if (ride === undefined) return dayEnd(at, endRun !== null);
    at = afterRide(at, ride);
  }
  return undefined;
}

function dayEnd(at: Situation, isShortOfPlan: boolean): DayEnd {
  return { design: at.design, runs: at.counted.length, order: at.counted, isShortOfPlan };
}

/**
 * Chance of a verdict at the end of the day, and how wide the band will be there.
 *
 * @param bands - of the deciding pair, with the end of the plan that is to be assumed
 * @param today - design of the runs ridden
 */
export function outlook(
  pair: PairToday,
  spreads: SpreadKind,
  bands: BandPlan,
  today: RiddenDesign,
  end: DayEnd,
  marginS: number | null,
): { readonly chance: number; readonly halfWidthS: number } {
  const then = pairAhead(pair, spreads, today, end.design, bands.at(end.runs));
  const now = {
    differenceS: pair.differenceS,
    spreadS: pair.standardErrorS * Math.sqrt(pair.z2),
    v: 1 / pair.z2,
    df: pair.df,
  };
  return {
    chance: chanceOfCall(now, { ...then, v: 1 / then.z2 }, marginS),
    halfWidthS: then.halfWidthS,
  };
}

/**
 * The earlier end to propose: by the clock alone, never by the result.
 *
 * @param plannedRuns - N
 * @returns counted runs at which the plan would end, or null if the time suffices or it is too late
 *   to announce one
 */
export function earlierEndRun(end: DayEnd, counted: number, plannedRuns: number): number | null {
  const isInTime = end.runs - counted >= noticeRuns(plannedRuns);
  return end.isShortOfPlan && isInTime && end.runs < plannedRuns ? end.runs : null;
}
