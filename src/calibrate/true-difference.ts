// Which set-up really differs from all others on a simulated day, and by how much; called by
// ride-block.ts, ride-day.ts and judge-day.ts.
import type { SetupId } from "../domain/session.ts";
import type { Cell } from "./cell.ts";
import type { Trial } from "./trial.ts";

export interface TrueDifference {
  readonly setup: SetupId;
  /** Slower than every other set-up, run-to-run spreads; below 0 quicker. */
  readonly spreads: number;
}

/**
 * The truth of a day: the candidate is quicker and slower on every other day, or each set-up in turn,
 * the baseline too, is the one that is quicker than all others.
 *
 * @param day - place in its block, from 0
 * @param seed - of the block: where the turns begin, so that openings and set-ups meet evenly
 */
export function differenceOn(
  { sheet, candidate }: Trial,
  { differs, effect }: Cell,
  day: number,
  seed: number,
): TrueDifference {
  if (differs === "candidate")
    return { setup: candidate, spreads: day % 2 === 0 ? -effect : effect };
  const best = sheet.setups[(seed + day) % sheet.setups.length];
  return { setup: best?.id ?? candidate, spreads: -effect };
}

/** True difference of a set-up against another, spreads; below 0: it is quicker. */
export function pairTruth(truth: TrueDifference, setup: SetupId, against: SetupId): number {
  const slower = (id: SetupId): number => (id === truth.setup ? truth.spreads : 0);
  return slower(setup) - slower(against);
}
