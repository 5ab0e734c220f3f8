// What the simulated rider rides next: what the program suggests, or the planning order; called by
// ride-day.ts before every ride.
import { adviseNext } from "../advisor/next-setup.ts";
import { practiceRunsLeft } from "../advisor/practice-runs.ts";
import { type RiderStanding, riderStanding } from "../advisor/rider-standing.ts";
import type { ComparisonInput } from "../domain/comparison.ts";
import { type SetupId, swapMinutes } from "../domain/session.ts";
import { planningOrder } from "../stats/design.ts";
import { setupsOf } from "../stats/rider-plan.ts";
import type { Trial } from "./trial.ts";

/** A day up to now. */
export interface DaySoFar {
  readonly input: ComparisonInput;
  /** Set-up and status of every ride so far, in order, as one text. */
  readonly history: string;
  readonly mounted: SetupId | null;
  readonly counted: number;
  /** Rides and swaps so far; 0 without a lap time. */
  readonly minutes: number;
}

/** A ride to come. */
export interface NextRide {
  readonly setup: SetupId;
  readonly isPractice: boolean;
}

/** Answers kept at most; past that the memory starts afresh. */
const MOST_KEPT = 200_000;

/**
 * Chooses rides, and remembers what was answered.
 *
 * The suggestion looks at no run time, only at what was ridden with which status, who leads, who is
 * the closest rival and who is settled; with two set-ups leader and rival may change places without
 * changing anything. So an answer holds for every day that agrees in these, and is asked for once:
 * test/calibrate/next-ride.test.ts rides the same days without the memory.
 */
export class NextRides {
  readonly #trial: Trial;
  readonly #isRemembering: boolean;
  readonly #order: readonly SetupId[];
  readonly #answers = new Map<string, NextRide | null>();

  /** @param isRemembering - false: asks before every ride, for the test of the memory */
  constructor(trial: Trial, input: ComparisonInput, isRemembering = true) {
    this.#trial = trial;
    this.#isRemembering = isRemembering;
    this.#order = planningOrder(setupsOf(input).planned, trial.runs);
  }

  /**
   * The next ride.
   *
   * @returns null when the day is over: no ride fits in the time left
   */
  after(day: DaySoFar): NextRide | null {
    if (!this.#isRemembering) return this.#ask(day);
    const key = this.#keyOf(day);
    const known = this.#answers.get(key);
    if (known !== undefined) return known;
    if (this.#answers.size >= MOST_KEPT) this.#answers.clear();
    const answer = this.#ask(day);
    this.#answers.set(key, answer);
    return answer;
  }

  /** All that an answer depends on. */
  #keyOf({ input, history, counted }: DaySoFar): string {
    const ridden = `${String(input.settings.seed)}:${history}`;
    const { length } = input.setups;
    // The opening, every set-up twice, goes by its order alone.
    if (this.#trial.order === "alternating" || length < 3 || counted < 2 * length) return ridden;
    const standing = riderStanding(input, this.#trial.rider);
    return standing === undefined ? ridden : `${ridden}:${standingKey(standing)}`;
  }

  #ask(day: DaySoFar): NextRide | null {
    const { input, mounted } = day;
    const { rider, order } = this.#trial;
    const practice = practiceRunsLeft(input, rider, mounted);
    if (order === "alternating") {
      const setup = practice[0]?.setup ?? this.#order[day.counted];
      if (setup === undefined || !this.#fits(day, setup)) return null;
      return { setup, isPractice: practice.length > 0 };
    }
    const { setup } = adviseNext(input, []).next;
    return setup === null ? null : { setup, isPractice: practice.length > 0 };
  }

  #fits({ input, mounted, minutes }: DaySoFar, setup: SetupId): boolean {
    const { settings, swaps } = input;
    if (settings.minutes === null || settings.lapMinutes === null) return true;
    const swap = mounted === null ? 0 : swapMinutes(swaps, mounted, setup);
    return minutes + swap + settings.lapMinutes <= settings.minutes + 1e-9;
  }
}

function standingKey({ leader, rival, settled, isDecided }: RiderStanding): string {
  const others = settled.map((rivalry) => rivalry.setup).toSorted();
  return [String(isDecided), leader, rival.setup, ...others].join(" ");
}
