// One rider's next ride as a question: what is ridden, what is fitted, what time is left, which pair
// the day is about; called by next-setup.ts and asked by first-rides.ts and hardly-any-chance.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import { seededRandom } from "../domain/seeded.ts";
import type { Rider, SetupId } from "../domain/session.ts";
import { multipliersAt } from "../stats/band-in-force.ts";
import { nextPlace } from "../stats/places-ahead.ts";
import { setupsToRide } from "../stats/rider-plan.ts";
import { runOnCourse } from "./next-rider.ts";
import { type PairToday, pairToday } from "./pair-ahead.ts";
import { type RiddenDesign, riddenDesign, withRun } from "./ridden-design.ts";
import type { RiderStanding } from "./rider-standing.ts";
import type { IndexMultiplier, RideCosts, Situation } from "./suggestion-rule.ts";
import { costsToday, minutesLeft } from "./time-left.ts";

export interface Question {
  readonly input: ComparisonInput;
  readonly rider: Rider;
  readonly standing: RiderStanding;
  readonly situation: Situation;
  /** Design of the runs that count now, without the one on course. */
  readonly today: RiddenDesign;
  readonly costs: RideCosts;
  readonly pair: PairToday | undefined;
  readonly multiplier: IndexMultiplier;
}

/**
 * Puts the question.
 *
 * @param multiplier - of the index; null: that of the band in force
 */
export function questionOf(
  input: ComparisonInput,
  rider: Rider,
  standing: RiderStanding,
  scene: Scene,
  multiplier: IndexMultiplier | null,
): Question {
  const { rival, leader } = standing;
  const { pending, next } = scene;
  const all = input.setups.map((setup) => setup.id);
  const today = riddenDesign(standing.counted, all, input.settings.drift, next);
  const ridden = standing.counted.map((run) => run.setup);
  const situation: Situation = {
    mounted: scene.mounted,
    minutesLeft: scene.minutesLeft,
    leader,
    rival: rival.setup,
    rideable: scene.rideable,
    alive: aliveOf(scene.rideable, standing),
    design: pending === null ? today : withRun(today, { ...next, ...pending }),
    next: pending === null ? next : { ...next, k: next.k + 1 },
    counted: pending === null ? ridden : [...ridden, pending.setup],
  };
  return {
    input,
    rider,
    standing,
    situation,
    today,
    costs: scene.costs,
    pair: pairToday(standing),
    multiplier: multiplier ?? indexMultiplier(standing, situation.counted.length),
  };
}

/** What is known of a rider's day apart from the comparison. */
export interface Scene extends Pick<Situation, "mounted" | "next" | "minutesLeft" | "rideable"> {
  readonly costs: RideCosts;
  /** The rider's run on course: taken as counted for what comes after it; the k of `next` is its. */
  readonly pending: { readonly setup: SetupId; readonly ground: number } | null;
}

export function sceneOf(input: ComparisonInput, rider: Rider): Scene {
  const own = input.runs.filter((run) => run.rider === rider.id);
  const last = own.findLast((run) => run.k !== null);
  const onCourse = runOnCourse(own);
  const { block, k, ground } = nextPlace(input, rider.id);
  const costs = costsToday(input, rider.id);
  const lap = costs.lapMinutes;
  const left = minutesLeft(input, lap);
  return {
    mounted: onCourse?.setup ?? input.mounted[rider.id] ?? last?.setup ?? null,
    next: { block, k: onCourse?.k ?? k, ground },
    rideable: setupsToRide(input, rider),
    // The run in progress will have taken a lap by the time the next one can start.
    minutesLeft: left === null || onCourse === undefined ? left : left - (lap ?? 0),
    costs,
    pending: onCourse?.k == null ? null : { setup: onCourse.setup, ground: onCourse.ground },
  };
}

/** Leader, rival and whoever has no verdict against the leader; everybody once it is decided. */
function aliveOf(rideable: readonly SetupId[], standing: RiderStanding): readonly SetupId[] {
  if (standing.isDecided) return rideable;
  const settled = standing.settled.map((rivalry) => rivalry.setup);
  return rideable.filter((setup) => !settled.includes(setup));
}

/**
 * The multiplier of the index: the plan band's before its end, without the last word, which is the
 * same for every set-up and would only favour the shorter ride; from the end on the open band's.
 */
function indexMultiplier({ rival, endRun }: RiderStanding, n: number): IndexMultiplier {
  const bands = rival.band?.bands;
  if (bands === undefined) return () => Number.POSITIVE_INFINITY;
  const limits = endRun !== null && n < endRun ? bands.beforeEnd : bands.at((endRun ?? n) + 1);
  return (df, z2) => multipliersAt(limits, df, z2).multiplier;
}

/** The coin for exact ties: the same for the same session and number of counted runs. */
export function coinAt(input: ComparisonInput, runs: number): number {
  return seededRandom(input.settings.seed + runs)();
}
