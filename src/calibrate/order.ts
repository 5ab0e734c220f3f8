// The orders of set-ups that a simulated day can follow whatever happens; called by ride-day.ts and
// next-ride.ts.
import { seededRandom, shuffled } from "../domain/seeded.ts";
import type { SetupId } from "../domain/session.ts";
import { planningOrder } from "../stats/design.ts";

/**
 * Who says what is ridden next: the suggestion; or, whatever happens, the planning order out and back
 * (ABBA ABBA, ABCCBA), each set-up in its turn (ABAB, ABCABC), or passes through all of them, each
 * shuffled anew.
 */
export const ORDER_KINDS = ["suggested", "mirrored", "in-turn", "random-passes"] as const;

export type OrderKind = (typeof ORDER_KINDS)[number];

/** The set-up on a place of a day. */
export interface FixedOrder {
  /**
   * @param day - from 0
   * @param place - counted runs of that day before, from 0
   */
  readonly at: (day: number, place: number) => SetupId | undefined;
}

/**
 * An order that does not depend on what happens; every day begins it afresh.
 *
 * @param setups - the rider's, baseline first
 * @param isReversed - begins with the last set-up
 * @param uniform - numbers in [0, 1): one is taken for random passes, none for the others
 * @returns null for the suggestion, which is no such order
 */
export function fixedOrder(
  kind: OrderKind,
  setups: readonly SetupId[],
  isReversed: boolean,
  uniform: () => number,
): FixedOrder | null {
  const there = isReversed ? setups.toReversed() : setups;
  switch (kind) {
    case "suggested":
      return null;
    case "mirrored":
      return { at: (_, place) => planningOrder(there, place + 1)[place] };
    case "in-turn":
      return { at: (_, place) => there[place % there.length] };
    case "random-passes":
      return randomPasses(setups, Math.floor(uniform() * 2 ** 32));
  }
}

function randomPasses(setups: readonly SetupId[], seed: number): FixedOrder {
  const days = new Map<number, { readonly random: () => number; readonly drawn: SetupId[] }>();
  return {
    at: (day, place) => {
      const own = days.get(day) ?? { random: seededRandom(seed + day), drawn: [] };
      days.set(day, own);
      while (own.drawn.length <= place) own.drawn.push(...shuffled(setups, own.random));
      return own.drawn[place];
    },
  };
}
