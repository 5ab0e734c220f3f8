// What is fixed before run 1 and never changes; called by whoever makes a session, who writes it
// down as the journal's `plan-fixed`.
import type { RiderId, SetupId } from "../domain/session.ts";
import { orderedSetups, ownFigures, type PlanSheet, riderOrder } from "./plan-figures.ts";
import { planRefusal } from "./plan-refusal.ts";

/** The body of the entry; mutable arrays, as its schema has them. */
export interface PlanFixed {
  /** Declared before run 1, in declared order. */
  setups: SetupId[];
  riders: {
    rider: RiderId;
    plannedRuns: number | null;
    /** Planning order, the other way round for every second rider; one cycle without a number. */
    order: SetupId[];
    /** Degrees of freedom at the planned end, null without one. */
    nuN: number | null;
    /** z2_N of each candidate against the baseline, null where the plan does not determine it. */
    z2N: Record<SetupId, number | null>;
  }[];
  seed: number;
}

/**
 * The plan of a sheet.
 *
 * nuN and z2_N are the rider's own and always those of the order that starts with the baseline.
 *
 * @throws {UserError} `refused` if the plan is too short, see `planRefusal`
 */
export function fixPlan(sheet: PlanSheet): PlanFixed {
  const refusal = planRefusal(sheet);
  if (refusal !== null) throw refusal;
  const { plannedRuns, seed } = sheet.settings;
  const [baseline = "", ...candidates] = orderedSetups(sheet);
  const figures = plannedRuns === null ? null : ownFigures(sheet, plannedRuns);
  const cycle = 2 * sheet.setups.length;
  return {
    setups: sheet.setups.map((setup) => setup.id),
    riders: sheet.riders.map((rider, i) => ({
      rider: rider.id,
      plannedRuns,
      order: [...riderOrder(sheet, plannedRuns ?? cycle, i)],
      nuN: figures?.nuN ?? null,
      z2N: Object.fromEntries(
        candidates.map((setup) => [setup, figures?.pair(setup, baseline)?.z2N ?? null]),
      ),
    })),
    seed,
  };
}
