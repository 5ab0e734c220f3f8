// A plan with a few runs more or fewer, without some of its set-ups, or with other swaps: what would
// the day be then? Called by the summary.
import { UserError } from "../domain/errors.ts";
import type { WhatIf } from "../domain/plan.ts";
import { baselineOf, type SetupId, type SwapCost, swapMinutes } from "../domain/session.ts";
import { firstRider, type PlanSheet, runsOf } from "./plan-figures.ts";
import { runsThatFit } from "./plan-fit.ts";

/**
 * The sheet changed that way. Runs are added to every rider's; a set-up that is left out is left out
 * of everything; every swap takes so many minutes more or less, down to 0.
 *
 * Whether the changed plan is long enough is asked where it is made, see `planDay`.
 *
 * @throws {UserError} `refused` in words for the operator where nothing would be left to plan: without
 *   the baseline, with fewer than two set-ups, without a run
 */
export function changedSheet(sheet: PlanSheet, whatIf: WhatIf): PlanSheet {
  const left = withSwaps(withoutSetups(sheet, whatIf.without), whatIf.swapMinutes);
  return whatIf.runs === 0 ? left : withMoreRuns(left, whatIf.runs);
}

function withoutSetups(sheet: PlanSheet, without: readonly SetupId[]): PlanSheet {
  if (without.length === 0) return sheet;
  const baseline = baselineOf(sheet.setups).id;
  if (without.includes(baseline)) {
    throw new UserError(
      "refused",
      `${baseline} is the baseline: the others are compared with it`,
      "leave out another set-up",
    );
  }
  const setups = sheet.setups.filter(({ id }) => !without.includes(id));
  if (setups.length < 2) {
    throw new UserError(
      "refused",
      `${baseline} alone is left: there is nothing to compare it with`,
      "keep two set-ups at least",
    );
  }
  const isLeft = (id: SetupId): boolean => setups.some((setup) => setup.id === id);
  const { mainSetup } = sheet.settings;
  return {
    ...sheet,
    setups,
    settings: {
      ...sheet.settings,
      mainSetup: mainSetup !== null && isLeft(mainSetup) ? mainSetup : null,
    },
    riders: sheet.riders.map((rider) => ({
      ...rider,
      newTo: rider.newTo.filter(isLeft),
      setups: rider.setups?.filter(isLeft) ?? null,
    })),
  };
}

/** Every swap between two set-ups, whether its minutes were named or not. */
function withSwaps(sheet: PlanSheet, added: number): PlanSheet {
  if (added === 0) return sheet;
  const ids = sheet.setups.map(({ id }) => id);
  const swaps = ids.flatMap((from) =>
    ids
      .filter((to) => to !== from)
      .map((to): SwapCost => {
        const named = sheet.swaps.find((swap) => swap.from === from && swap.to === to);
        const back = sheet.swaps.find((swap) => swap.from === to && swap.to === from);
        const minutes = Math.max(0, swapMinutes(sheet.swaps, from, to) + added);
        return { from, to, minutes, place: (named ?? back)?.place ?? null };
      }),
  );
  return { ...sheet, swaps };
}

function withMoreRuns(sheet: PlanSheet, added: number): PlanSheet {
  const planned = runsOf(sheet, firstRider(sheet)) ?? runsThatFit(sheet);
  if (planned === null) {
    throw new UserError(
      "refused",
      "no number of runs is planned, and no hours that could be filled",
      "name planned_runs, or minutes and lap_minutes, in the session sheet",
    );
  }
  if (planned + added < 1) {
    throw new UserError("refused", "no run would be left", "take fewer runs away");
  }
  const more = (own: number | null): number | null =>
    own === null ? null : Math.max(1, own + added);
  return {
    ...sheet,
    settings: { ...sheet.settings, plannedRuns: more(sheet.settings.plannedRuns ?? planned) },
    riders: sheet.riders.map((rider) => ({ ...rider, plannedRuns: more(rider.plannedRuns) })),
  };
}
