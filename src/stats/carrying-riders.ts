// How many riders a difference rests on when they ride different set-ups; called by together.ts and the
// plan's warnings.
import type { SetupId } from "../domain/session.ts";
import { designFactor, layoutOf, planningOrder, setupContrast } from "./design.ts";
import { addTo, entry } from "./entry.ts";
import { contrastWeights } from "./least-squares.ts";
import { type ComparedSetups, type PlanBasis, riderSetups } from "./rider-plan.ts";

/** A rider with less than this share of the squared weights carries nothing but rounding. */
const NO_SHARE = 1e-9;

/**
 * Riders who carry a pair: whose runs weigh in the difference once everybody has ridden each of
 * their set-ups there and back. One who rides neither of the pair may, by leading from one to the
 * other.
 *
 * @param setups - of the riders together
 * @returns every rider where all ride the same; 0 where no riders link the pair
 */
export function carryingRiders(
  input: PlanBasis,
  setups: ComparedSetups,
  candidate: SetupId,
  baseline: SetupId,
): number {
  const own = input.riders.map((rider) => riderSetups(input, rider).all);
  if (own.every((all) => all.length === setups.all.length)) return own.length;
  const rows = own.flatMap((all, rider) =>
    planningOrder(all, 2 * all.length).map((setup, i) => ({
      block: String(rider),
      setup,
      k: i + 1,
    })),
  );
  const layout = layoutOf(rows, setups.all, "none");
  const contrast = setupContrast(layout, candidate, baseline);
  const found = contrast && contrastWeights(designFactor(layout, rows), contrast);
  if (found === undefined) return 0;
  const carried = new Array<number>(own.length).fill(0);
  rows.forEach(({ block }, i) => {
    addTo(carried, Number(block), entry(found.weights, i) ** 2);
  });
  return carried.filter((squares) => squares > NO_SHARE / found.z2).length;
}
