// One simulated day of all riders: what was ridden and what was said; called by ride-block.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Rider, SetupId } from "../domain/session.ts";
import { noticeRuns } from "../stats/band-in-force.ts";
import type { Cell } from "./cell.ts";
import { clockEnd } from "./clock-end.ts";
import { driftTruth, midDay } from "./drift-truth.ts";
import type { NextRides } from "./next-ride.ts";
import { type FixedOrder, fixedOrder } from "./order.ts";
import type { Promises } from "./promises.ts";
import { RiderDay } from "./rider-day.ts";
import { dayShape, runsOf, type Trial } from "./trial.ts";
import type { TrueDifference } from "./true-difference.ts";

/** Rides on a set-up over which getting used to it fades to a third. */
const GETTING_USED = 4;
/** A mistake costs from this many spreads ... */
const LEAST_MISTAKE = 3;
/** ... to so many more. */
const MISTAKE_RANGE = 5;
/** Share of the mistakes that the rider tells and the operator strikes out. */
const TOLD_MISTAKES = 0.8;
/** Standard deviation of ln spread from rider to rider, where there are several. */
const RIDERS_DIFFER = 0.2;
/** Overtime goes on to so many times the plan. */
const OVERTIME = 3;

/** Random numbers of one day. */
export interface Chance {
  readonly uniform: () => number;
  readonly normal: () => number;
}

/** What all days of a trial share. */
export interface Shared {
  readonly trial: Trial;
  readonly promises: Promises;
  /** By rider id. */
  readonly rides: ReadonlyMap<string, NextRides>;
}

/** The session of a trial before its first ride. */
export function beforeFirstRide(trial: Trial, seed: number): ComparisonInput {
  const { settings, riders, setups, swaps, hours } = trial.sheet;
  return {
    settings: { ...settings, seed },
    riders,
    setups,
    plannedRiders: riders.map((rider) => rider.id),
    plannedSetups: setups.map((setup) => setup.id),
    swaps,
    // Only the whole run is judged, and it is the same with sectors and without.
    sectors: [],
    runs: [],
    plannedEnds: [],
    incidents: [],
    ratings: [],
    measures: [],
    hours,
    isClosed: false,
    ground: 0,
    mounted: {},
  };
}

/**
 * Rides a day to its end: so many counted runs of each rider, or no time left. Runs struck out are
 * ridden again. Riders take turns, whoever has the fewest counted runs.
 *
 * @param before - the session before the first ride
 * @param truth - what really differs
 */
export function rideDay(
  { trial, promises, rides }: Shared,
  cell: Cell,
  before: ComparisonInput,
  truth: TrueDifference,
  chance: Chance,
): readonly RiderDay[] {
  const riding = before.riders.map((rider) => {
    const shape = dayShape(trial, rider);
    const stepAfter = cell.isMarked ? midDay(shape.runsADay) : null;
    const day = new RiderDay(before, rider, promises, shape, stepAfter);
    const next = rides.get(rider.id);
    if (next === undefined) throw new RangeError("every rider's rides are chosen");
    const { setups } = promises.toRider(rider, null).subject;
    return {
      day,
      next,
      order: fixedOrder(trial.order, setups, day.isReversed, chance.uniform),
      goal: goalOf(trial, cell, rider, chance),
      timeOf: runTimes(trial, cell, rider, truth, chance),
    };
  });
  const waiting = [...riding];
  while (waiting.length > 0) {
    const fewest = Math.min(...waiting.map(({ day }) => day.counted));
    const turn = waiting.findIndex(({ day }) => day.counted === fewest);
    const { day, next, order, goal, timeOf } = waiting[turn] ?? nobody();
    const end = day.end?.endRun ?? goal.counted;
    const ride = day.counted < end && day.runs.length < goal.rides ? next.after(day, order) : null;
    if (ride === null) {
      waiting.splice(turn, 1);
      continue;
    }
    const { setup, isPractice } = ride;
    const k = day.nextK;
    const { timeS, isTold } = timeOf(setup, isPractice ? null : { day: day.day, k });
    day.take({ setup, timeS, status: isPractice ? "warm-up" : isTold ? "void" : "ok" });
    const endRun = day.end === null ? endToAnnounce(trial, cell, goal, day, order) : null;
    if (endRun !== null) {
      day.announce({ rider: day.rider.id, endRun, announcedAtRun: day.counted });
    }
  }
  return riding.map(({ day }) => day);
}

/** Null: none, yet or at all. Whoever has decided already needs none. */
function endToAnnounce(
  trial: Trial,
  { ending }: Cell,
  goal: Goal,
  day: RiderDay,
  order: FixedOrder | null,
): number | null {
  if (day.counted === goal.announcedAt) return goal.counted;
  if (ending !== "clock" || day.counted === 0 || day.decidedAt !== null) return null;
  return clockEnd(day, order, runsOf(trial, day.rider));
}

function nobody(): never {
  throw new RangeError("somebody waits");
}

interface Goal {
  /** Counted runs at the end of the day. */
  readonly counted: number;
  /** Counted runs when an earlier end is announced; null: it is not. */
  readonly announcedAt: number | null;
  /** Ends: four rides in five at the least are counted in the long run, and a day has an end anyway. */
  readonly rides: number;
}

/** Where the day ends; an earlier end is announced at a moment that has nothing to do with the times. */
function goalOf(trial: Trial, cell: Cell, rider: Rider, { uniform }: Chance): Goal {
  const planned = runsOf(trial, rider);
  const goal = (counted: number, announcedAt: number | null = null): Goal => ({
    counted,
    announcedAt,
    rides: 10 * (counted + 10),
  });
  if (cell.ending === "planned" || cell.ending === "clock") return goal(planned);
  if (cell.ending === "overtime") return goal(OVERTIME * planned);
  const notice = noticeRuns(planned);
  const latest = planned - 1 - notice;
  if (latest < 1) return goal(planned);
  const announcedAt = 1 + Math.floor(uniform() * latest);
  const soonest = announcedAt + notice;
  return goal(soonest + Math.floor(uniform() * (planned - soonest)), announcedAt);
}

interface Place {
  readonly day: number;
  readonly k: number;
}

/** The time of each of a rider's rides, in order, and whether it is struck out for a mistake. */
function runTimes(
  trial: Trial,
  cell: Cell,
  rider: Rider,
  truth: TrueDifference,
  { uniform, normal }: Chance,
): (setup: SetupId, place: Place | null) => { readonly timeS: number; readonly isTold: boolean } {
  const { candidate, runS, spreadS, sheet } = trial;
  const { days, runsADay } = dayShape(trial, rider);
  const drifts = Array.from({ length: days }, () => driftTruth(cell.drift, runsADay, normal));
  const odd = cell.odd === "candidate" ? candidate : trial.baseline;
  const others = sheet.setups.length - 1;
  // The root mean square over the set-ups stays one spread, so that effects stay comparable.
  const even = Math.sqrt((others + 1) / (others + cell.spreadRatio ** 2));
  const own = sheet.riders.length > 1 ? Math.exp(RIDERS_DIFFER * normal()) : 1;
  const learnt = rider.newTo.length > 0 ? rider.newTo : [candidate];
  const ridden = new Map<SetupId, number>();
  return (setup, place) => {
    const j = (ridden.get(setup) ?? 0) + 1;
    ridden.set(setup, j);
    const effect = setup === truth.setup ? truth.spreads : 0;
    const unused = learnt.includes(setup)
      ? cell.setupLearning * Math.exp(-(j - 1) / GETTING_USED)
      : 0;
    const scatter = (setup === odd ? cell.spreadRatio : 1) * even * own * normal();
    const isMistake = cell.mistakes > 0 && uniform() < cell.mistakes;
    const mistake = isMistake ? LEAST_MISTAKE + MISTAKE_RANGE * uniform() : 0;
    const drift = place === null ? 0 : (drifts[place.day]?.(place.k) ?? 0);
    const slower = drift + effect + unused + scatter + mistake;
    return { timeS: runS + spreadS * slower, isTold: isMistake && uniform() < TOLD_MISTAKES };
  };
}
