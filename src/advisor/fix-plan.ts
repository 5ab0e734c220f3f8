// What is fixed before run 1 and never changes; called by whoever makes a session, who writes it
// down as the journal's `plan-fixed`.
import { UserError } from "../domain/errors.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { planningOrder } from "../stats/design.ts";
import { comparedSheet, presentAlone } from "./plan-exploring.ts";
import { ordersOf, ownPlan, ownSetups, type PlanSheet, runsOf } from "./plan-figures.ts";
import { planRefusal } from "./plan-refusal.ts";

/** The body of the entry; mutable arrays, as its schema has them. */
export interface PlanFixed {
  /** Declared before run 1, in declared order. */
  setups: SetupId[];
  riders: {
    rider: RiderId;
    plannedRuns: number | null;
    /**
     * Planning order, the days one after another, the other way round for every second rider; one
     * cycle without a number.
     */
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
 * Where settings are explored, only the present values are there before run 1.
 *
 * @throws {UserError} `refused` if the plan is too short, see `planRefusal`, or the closing check is
 */
export function fixPlan(given: PlanSheet): PlanFixed {
  const sheet = presentAlone(given);
  const refusal = planRefusal(sheet) ?? checkRefusal(sheet);
  if (refusal !== null) throw refusal;
  return {
    setups: sheet.setups.map((setup) => setup.id),
    riders: sheet.riders.map((rider, i) => {
      const { figures, setups } = ownPlan(sheet, rider);
      const own = ownSetups(sheet, rider);
      const plannedRuns = runsOf(sheet, rider);
      const isReversed = i % 2 === 1;
      const order =
        plannedRuns === null
          ? planningOrder(own, 2 * own.length, isReversed)
          : ordersOf(sheet, rider).flat();
      return {
        rider: rider.id,
        plannedRuns: rider.plannedRuns ?? sheet.settings.plannedRuns,
        order: [...order],
        nuN: figures?.nuN ?? null,
        z2N: Object.fromEntries(
          own
            .filter((setup) => setup !== setups.baseline)
            .map((setup) => [setup, figures?.pair(setup, setups.baseline)?.z2N ?? null]),
        ),
      };
    }),
    seed: sheet.settings.seed,
  };
}

/** The closing check is promised like any comparison of two set-ups. */
function checkRefusal(sheet: PlanSheet): UserError | null {
  const { explored = null, settings } = sheet;
  if (explored === null) return null;
  const isTooShort = (checkRuns: number): boolean =>
    planRefusal(comparedSheet({ ...sheet, explored: { ...explored, checkRuns } })) !== null;
  if (!isTooShort(explored.checkRuns)) return null;
  let runs = explored.checkRuns + 1;
  // Ends: each run adds a degree of freedom.
  while (isTooShort(runs)) runs += 1;
  return new UserError(
    "refused",
    `check_runs = ${String(explored.checkRuns)}: too few runs to promise anything about the value found, with drift = "${settings.drift}"`,
    `set check_runs = ${String(runs)} or more`,
  );
}
