// What the simulated rider rides next: what the program suggests, or a fixed order; called by
// ride-day.ts before every ride.
import { adviseRider, suggestedSetup } from "../advisor/next-setup.ts";
import { practiceRunsLeft } from "../advisor/practice-runs.ts";
import type { Standing } from "../advisor/rider-standing.ts";
import { type SetupId, swapMinutes } from "../domain/session.ts";
import type { FixedOrder } from "./order.ts";
import type { RiderDay } from "./rider-day.ts";

/** A ride to come. */
export interface NextRide {
  readonly setup: SetupId;
  readonly isPractice: boolean;
}

/** Answers kept at most; past that the memory starts afresh. */
const MOST_KEPT = 200_000;

/**
 * Chooses one rider's rides, and remembers what was suggested.
 *
 * The suggestion looks at no run time, only at what was ridden with which status, who leads, who is
 * the closest rival and who is settled; with two set-ups leader and rival may change places without
 * changing anything. So an answer holds for every day that agrees in these, and is asked for once:
 * test/calibrate/ride-day.test.ts rides the same days without the memory.
 */
export class NextRides {
  readonly #setups: readonly SetupId[];
  readonly #isRemembering: boolean;
  readonly #answers = new Map<string, NextRide | null>();

  /**
   * @param setups - the rider's, baseline first
   * @param isRemembering - false: asks before every ride, for the test of the memory
   */
  constructor(setups: readonly SetupId[], isRemembering = true) {
    this.#setups = setups;
    this.#isRemembering = isRemembering;
  }

  /**
   * The next ride.
   *
   * @param order - null: what is suggested
   * @returns null when the day is over: no ride fits in the time left
   */
  after(day: RiderDay, order: FixedOrder | null): NextRide | null {
    if (order !== null) return inOrder(day, order);
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
    if (length < 3 || day.counted < 2 * length) return ridden;
    const standing = day.standing();
    return standing === undefined ? ridden : `${ridden}:${standingKey(standing)}`;
  }

  #ask(day: RiderDay): NextRide | null {
    const { rider, input, mounted } = day;
    const practice = practiceRunsLeft(input, rider, mounted);
    // Before the first counted run nobody leads, and only the whole advice knows what comes first.
    const standing = this.#isRemembering ? day.standing() : undefined;
    const setup =
      standing === undefined
        ? adviseRider(input, rider).next.setup
        : suggestedSetup(input, rider, standing);
    return setup === null ? null : { setup, isPractice: practice.length > 0 };
  }
}

/** Practice runs on what is new, then the order, begun afresh every day and never ending. */
function inOrder(day: RiderDay, order: FixedOrder): NextRide | null {
  const [practice] = practiceRunsLeft(day.input, day.rider, day.mounted);
  const setup = practice?.setup ?? order.at(day.day, day.countedToday);
  if (setup === undefined || !fits(day, setup)) return null;
  return { setup, isPractice: practice !== undefined };
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
