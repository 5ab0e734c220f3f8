// The plan of a session's day as it is known now, and what it would be with a few things otherwise;
// called by the console before the first run.
import { type KnownSpread, planDay } from "../advisor/plan-day.ts";
import type { PlanSheet } from "../advisor/plan-figures.ts";
import { countedSpread, pooledSpread, sheetSpread, warmUpsSpread } from "../advisor/plan-spread.ts";
import { changedSheet } from "../advisor/plan-what-if.ts";
import { UserError } from "../domain/errors.ts";
import type { Plan, WhatIf } from "../domain/plan.ts";
import type { Gate, RiderId, Settings, SetupId } from "../domain/session.ts";
import { startWarning } from "./start-words.ts";
import type { Summary } from "./summary.ts";

export interface PlanAhead {
  /** Null where it is refused. */
  readonly plan: Plan | null;
  /** Why there is no such plan and what to do, in words; null where there is one. */
  readonly refusal: string | null;
  readonly whatIf: WhatIf;
  /** Those that can be left out, in declared order; none where settings are explored. */
  readonly setups: readonly SetupId[];
  readonly marginS: number | null;
  /** Whose order and reach the plan's are, where there are several riders; else null. */
  readonly firstRider: RiderId | null;
  /** What the plan was made from: the same again needs no new one. */
  readonly basis: string;
}

/**
 * The plan of the whole day, with the run-to-run spread of all that the session has: counted runs,
 * warm-up laps, and the sheet's where it says how well it is known.
 *
 * @param before - an earlier answer, returned again if nothing that it rests on has changed: a plan
 *   takes some tenths of a second
 */
export function planAhead(summary: Summary, whatIf: WhatIf, before?: PlanAhead): PlanAhead {
  const { settings, riders, setups, swapCosts, hours, gear, explored } = summary;
  const sheet: PlanSheet = { settings, riders, setups, swaps: swapCosts, hours, gear, explored };
  const spread = sessionSpread(summary);
  const basis = JSON.stringify([sheet, spread, whatIf]);
  if (before?.basis === basis) return before;
  return {
    ...planOrRefusal(sheet, whatIf, spread, summary.gates),
    whatIf,
    setups: explored === null ? setups.map(({ id }) => id) : [],
    marginS: settings.marginS,
    firstRider: riders.length > 1 ? (riders[0]?.id ?? null) : null,
    basis,
  };
}

/** Run-to-run spread of all that a session has; null where nothing was measured. */
export function sessionSpread({ settings, comparison, runs }: Summary): KnownSpread | null {
  return pooledSpread([
    countedSpread(comparison.riders),
    warmUpsSpread(runs),
    sheetSpread(settings),
  ]);
}

/** The plan with what else the sheet should say: how a run is started. */
export function withStart(plan: Plan, settings: Settings, gates: readonly Gate[]): Plan {
  const warning = startWarning(settings, gates);
  return warning === null ? plan : { ...plan, warnings: [...plan.warnings, warning] };
}

function planOrRefusal(
  sheet: PlanSheet,
  whatIf: WhatIf,
  spread: KnownSpread | null,
  gates: readonly Gate[],
): Pick<PlanAhead, "plan" | "refusal"> {
  try {
    const plan = planDay(changedSheet(sheet, whatIf), spread);
    return { plan: withStart(plan, sheet.settings, gates), refusal: null };
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return { plan: null, refusal: `${error.message}: ${error.hint}` };
  }
}
