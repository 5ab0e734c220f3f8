// What the simulated rider rides next: what the program suggests, or the planning order; called by
// ride-day.ts before every ride.
import { adviseRider, suggestedSetup } from "../advisor/next-setup.ts";
import { practiceRunsLeft } from "../advisor/practice-runs.ts";
import type { Standing } from "../advisor/rider-standing.ts";
import { type SetupId, swapMinutes } from "../domain/session.ts";
import { planningOrder } from "../stats/design.ts";
import type { RiderDay } from "./rider-day.ts";
import type { OrderKind } from "./trial.ts";

/** A ride to come. */
export interface NextRide {
  readonly setup: SetupId;
  readonly isPractice: boolean;
}

/** Answers kept at most; past that the memory starts afresh. */
const MOST_KEPT = 200_000;

/**
 * Chooses one rider's rides, and remembers what was answered.
 *
 * The suggestion looks at no run time, only at what was ridden with which status, who leads, who is
 * the closest rival and who is settled; with two set-ups leader and rival may change places without
 * changing anything. So an answer holds for every day that agrees in these, and is asked for once:
 * test/calibrate/ride-day.test.ts rides the same days without the memory.
 */
export class NextRides {
  readonly #order: OrderKind;
  readonly #setups: readonly SetupId[];
  readonly #isRemembering: boolean;
  readonly #answers = new Map<string, NextRide | null>();

  /**
   * @param setups - the rider's, baseline first
   * @param isRemembering - false: asks before every ride, for the test of the memory
   */
  constructor(order: OrderKind, setups: readonly SetupId[], isRemembering = true) {
    this.#order = order;
    this.#setups = setups;
    this.#isRemembering = isRemembering;
  }

  /**
   * The next ride.
   *
   * @returns null when the day is over: no ride fits in the time left
   */
  after(day: RiderDay): NextRide | null {
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
  #keyOf(day: RiderDay): string {
    const ridden = `${String(day.seed)}:${day.history}`;
    const { length } = this.#setups;
    // The opening, every set-up twice, goes by its order alone.
    if (this.#order === "alternating" || length < 3 || day.counted < 2 * length) return ridden;
    const standing = day.standing();
    return standing === undefined ? ridden : `${ridden}:${standingKey(standing)}`;
  }

  #ask(day: RiderDay): NextRide | null {
    const { rider, input, mounted } = day;
    const practice = practiceRunsLeft(input, rider, mounted);
    if (this.#order === "alternating") {
      const setup = practice[0]?.setup ?? this.#planned(day);
      if (setup === undefined || !fits(day, setup)) return null;
      return { setup, isPractice: practice.length > 0 };
    }
    // Before the first counted run nobody leads, and only the whole advice knows what comes first.
    const standing = this.#isRemembering ? day.standing() : undefined;
    const setup =
      standing === undefined
        ? adviseRider(input, rider).next.setup
        : suggestedSetup(input, rider, standing);
    return setup === null ? null : { setup, isPractice: practice.length > 0 };
  }

  /** The planning order, begun afresh every day and never ending. */
  #planned(day: RiderDay): SetupId | undefined {
    const place = day.countedToday;
    return planningOrder(this.#setups, place + 1, day.isReversed)[place];
  }
}

function fits({ input, mounted, minutesToday }: RiderDay, setup: SetupId): boolean {
  const { settings, swaps } = input;
  if (settings.minutes === null || settings.lapMinutes === null) return true;
  const swap = mounted === null ? 0 : swapMinutes(swaps, mounted, setup);
  return minutesToday + swap + settings.lapMinutes <= settings.minutes + 1e-9;
}

function standingKey({ leader, rival, settled, isDecided }: Standing): string {
  const others = settled.map((rivalry) => rivalry.setup).toSorted();
  return [String(isDecided), leader, rival.setup, ...others].join(" ");
}
