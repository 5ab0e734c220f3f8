// Which values to ride next: what was planned first, then groups round the fitted best, carried on
// from whatever was ridden; called by explore.ts.
import type { TriedRun } from "../domain/exploration.ts";
import { seededRandom, shuffled } from "../domain/seeded.ts";
import { item } from "../stats/entry.ts";
import { areSame, type Scale, valueAt, valueBeside } from "./scale.ts";

type Values = readonly number[];

/** The values to ride next, and where they stand. */
export interface NextValues {
  readonly values: Values;
  /** From 1, of the runs planned first; null once they are all ridden. */
  readonly place: number | null;
}

/**
 * Runs that were planned first (the opening or the grid) and what follows them.
 *
 * A planned place is served by any run at its values; other runs meanwhile serve nothing. After that
 * each group is worked out from the runs before it, begun again as long as none of it is ridden, and
 * completed once one is.
 *
 * @param group - values of a group: from the runs so far, and the number of groups before it
 */
export function nextValues(
  scales: readonly Scale[],
  planned: readonly Values[],
  runs: readonly TriedRun[],
  group: (soFar: readonly TriedRun[], before: number) => readonly Values[],
): NextValues {
  const left = planned.map((values, i) => ({ values, place: i + 1 }));
  let begun: Values[] = [];
  let groups = 0;
  runs.forEach((run, i) => {
    const isHere = (values: Values): boolean => areSame(scales, values, run.values);
    if (left.length > 0) {
      const served = left.findIndex(({ values }) => isHere(values));
      if (served >= 0) left.splice(served, 1);
      return;
    }
    const open = begun.length > 0 ? begun : [...group(runs.slice(0, i), groups)];
    const ridden = open.findIndex(isHere);
    if (ridden < 0) return;
    open.splice(ridden, 1);
    begun = open;
    if (open.length === 0) groups += 1;
  });
  const [next] = left;
  if (next !== undefined) return next;
  return { values: item(begun.length > 0 ? begun : group(runs, groups), 0), place: null };
}

/**
 * Where an opening goes, as shares of the range. chosen: a twelfth inside the limits spares the rider
 * the worst values and loses little. Two settings in turn have only half the runs each, and go to the
 * limits as a grid does: 12 runs then lose .21 spreads instead of .33 (a parabola that costs two
 * spreads at half the range). The tests of the regret hold both.
 */
export const INSIDE_LIMITS = [1 / 12, 1 / 2, 11 / 12];
export const AT_LIMITS = [0, 1 / 2, 1];

/**
 * The opening of one setting: low, middle and high in a drawn order and back, so that a steady
 * session drift cancels.
 */
export function openingOf(
  scale: Scale,
  shares: readonly number[],
  seed: number,
): readonly number[] {
  const values = shares.map((share) => valueAt(scale, share));
  const there = shuffled([...new Set(values)], seededRandom(seed));
  return [...there, ...there.toReversed()];
}

/**
 * The grid of two settings: low, middle and high of each, out and back. The first setting changes
 * least often; along the second the order turns round at each change of the first, so that one
 * setting is changed at a time.
 */
export function gridOf(scales: readonly Scale[], seed: number): readonly Values[] {
  const random = seededRandom(seed);
  const [first = [], second = []] = scales.map((scale) =>
    shuffled(
      AT_LIMITS.map((share) => valueAt(scale, share)),
      random,
    ),
  );
  const there = first.flatMap((value, i) =>
    (i % 2 === 0 ? second : second.toReversed()).map((each) => [value, each]),
  );
  return [...there, ...there.toReversed()];
}

/**
 * Values either side of the best in one setting, in a drawn order; at a limit the best itself and
 * the other side.
 *
 * @param runs - counted runs so far, which narrow the pair. chosen: with these shares the simulated
 *   days lose no more than those of a grid, in fewer runs at bad values; the regret test holds them
 * @param withBest - the best as well
 */
export function roundBest(
  scale: Scale,
  best: number,
  runs: number,
  seed: number,
  withBest: boolean,
): readonly number[] {
  const share = runs < 10 ? 1 / 3 : runs < 14 ? 1 / 4 : 1 / 6;
  const sides = [-share, share].map((by) => valueBeside(scale, best, by));
  const values = new Set(withBest ? [...sides, best] : sides);
  return shuffled([...values], seededRandom(seed));
}
