// The first runs of a day: every set-up once in a drawn order, then back, so that a steady session
// drift cancels at once; called by next-setup.ts.
import { seededRandom, shuffled } from "../domain/seeded.ts";
import type { SetupId } from "../domain/session.ts";

/**
 * The places of a rider's opening: a seeded shuffle out and back (BAAB, CABBAC).
 *
 * One shuffle serves the session; every second rider rides it the other way round, so that half of
 * them start at either end.
 *
 * @param setups - declared before run 1
 * @param seed - the session's
 * @param riderIndex - place in the sheet, from 0
 * @returns 2K places; a single one for a single set-up
 */
export function openingOrder(
  setups: readonly SetupId[],
  seed: number,
  riderIndex: number,
): readonly SetupId[] {
  const drawn = shuffled(setups, seededRandom(seed));
  const there = riderIndex % 2 === 0 ? drawn : drawn.toReversed();
  return there.length < 2 ? there : [...there, ...there.toReversed()];
}

/** A place of the opening, from 1. */
export interface OpeningPlace {
  readonly place: number;
  readonly setup: SetupId;
}

/**
 * The places that nobody has served yet, in order. A place is served by the next counted run on its
 * set-up, so a void run is ridden again, and a rider who took another set-up first has still served
 * that one's place.
 *
 * @param counted - set-ups of the rider's counted runs
 */
export function unservedPlaces(
  opening: readonly SetupId[],
  counted: readonly SetupId[],
): readonly OpeningPlace[] {
  const ridden = new Map<SetupId, number>();
  for (const setup of counted) ridden.set(setup, (ridden.get(setup) ?? 0) + 1);
  return opening
    .map((setup, i) => ({ place: i + 1, setup }))
    .filter(({ setup }) => {
      const left = ridden.get(setup) ?? 0;
      ridden.set(setup, left - 1);
      return left <= 0;
    });
}
