// A block of simulated days of one kind: the piece of work that threads share out; called in each
// thread by serve-blocks.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import { seededRandom } from "../domain/seeded.ts";
import type { Subject } from "../stats/replay.ts";
import { type Cell, isPlain } from "./cell.ts";
import { promisedSubject } from "./every-look.ts";
import { judgeDay } from "./judge-day.ts";
import { NextRides } from "./next-ride.ts";
import { normals } from "./normal.ts";
import { beforeFirstRide, rideDay } from "./ride-day.ts";
import { emptyTally, type Tally } from "./tally.ts";
import type { Trial } from "./trial.ts";

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
  readonly #trial: Trial;
  readonly #before: readonly ComparisonInput[];
  readonly #promised: Subject;
  readonly #rides: NextRides;

  /** @param isRemembering - see `NextRides` */
  constructor(trial: Trial, isRemembering = true) {
    this.#trial = trial;
    this.#before = Array.from({ length: OPENINGS }, (_, i) =>
      beforeFirstRide(trial, trial.sheet.settings.seed + 1000 * i),
    );
    const first = beforeFirstRide(trial, trial.sheet.settings.seed);
    this.#promised = promisedSubject(first, trial.rider);
    this.#rides = new NextRides(trial, first, isRemembering);
  }

  ride({ cell, days, seed }: Block): Tally {
    const trial = this.#trial;
    const tally = emptyTally(isPlain(cell) ? forecastRuns(trial) : []);
    const uniform = seededRandom(seed);
    const chance = { uniform, normal: normals(uniform) };
    for (let day = 0; day < days; day += 1) {
      const before = this.#before[Math.floor(day / 2) % OPENINGS];
      if (before === undefined) throw new RangeError("a day has an opening");
      const sign = day % 2 === 0 ? -1 : 1;
      const ridden = rideDay(trial, cell, before, this.#rides, sign, chance);
      judgeDay(trial, this.#promised, ridden, sign * cell.effect * trial.spreadS, tally);
    }
    return tally;
  }
}

/** Counted runs after which forecasts are put to the test: two and three fifths of the plan. */
export function forecastRuns({ runs, sheet }: Trial): readonly number[] {
  if (sheet.settings.plannedRuns === null) return [];
  return [...new Set([Math.round(0.4 * runs), Math.round(0.6 * runs)])];
}
