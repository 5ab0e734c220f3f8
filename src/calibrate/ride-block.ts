// A block of simulated days of one kind: the piece of work that threads share out; called in each
// thread by serve-blocks.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import { seededRandom } from "../domain/seeded.ts";
import { type Cell, isPlain } from "./cell.ts";
import { judgeDay } from "./judge-day.ts";
import { NextRides } from "./next-ride.ts";
import { normals } from "./normal.ts";
import { Promises } from "./promises.ts";
import { beforeFirstRide, rideDay, type Shared } from "./ride-day.ts";
import { emptyTally, type Tally } from "./tally.ts";
import { runsOf, type Trial } from "./trial.ts";
import { differenceOn } from "./true-difference.ts";

/** One block, the same wherever it is ridden. */
export interface Block {
  readonly cell: Cell;
  readonly days: number;
  /** Of this block alone. */
  readonly seed: number;
}

/** Openings that the days take in turn, each from a session seed of its own. */
const OPENINGS = 8;

/** Rides blocks of one trial, keeping what all its days share. */
export class BlockRider {
  readonly #shared: Shared;
  readonly #before: readonly ComparisonInput[];

  /** @param isRemembering - see `NextRides` */
  constructor(trial: Trial, isRemembering = true) {
    this.#before = Array.from({ length: OPENINGS }, (_, i) =>
      beforeFirstRide(trial, trial.sheet.settings.seed + 1000 * i),
    );
    this.#shared = sharedBy(trial, isRemembering);
  }

  ride({ cell, days, seed }: Block): Tally {
    const { trial, promises } = this.#shared;
    const tally = emptyTally(isPlain(cell) ? forecastRuns(trial) : []);
    const uniform = seededRandom(seed);
    const chance = { uniform, normal: normals(uniform) };
    for (let day = 0; day < days; day += 1) {
      const before = this.#before[Math.floor(day / 2) % OPENINGS];
      if (before === undefined) throw new RangeError("a day has an opening");
      const truth = differenceOn(trial, cell, day, seed);
      const ridden = rideDay(this.#shared, cell, before, truth, chance);
      judgeDay(trial, promises, ridden, truth, tally);
    }
    return tally;
  }
}

/**
 * What all days of a trial share.
 *
 * @param isRemembering - see `NextRides`
 */
export function sharedBy(trial: Trial, isRemembering: boolean): Shared {
  const promises = new Promises(beforeFirstRide(trial, trial.sheet.settings.seed));
  const rides = trial.sheet.riders.map((rider): [string, NextRides] => {
    const { setups } = promises.toRider(rider, null).subject;
    return [rider.id, new NextRides(setups, isRemembering)];
  });
  return { trial, promises, rides: new Map(rides) };
}

/** Counted runs after which forecasts are put to the test: two and three fifths of the plan. */
export function forecastRuns(trial: Trial): readonly number[] {
  const [rider] = trial.sheet.riders;
  if (trial.kinds === "no-difference" || trial.kinds === "best") return [];
  if (trial.sheet.settings.plannedRuns === null || rider === undefined) return [];
  const runs = runsOf(trial, rider);
  return [...new Set([Math.round(0.4 * runs), Math.round(0.6 * runs)])];
}
