// The operator's commands while settings are explored: a value goes on the bike, the closing check
// begins.
import type { Explored, ExploredSetting } from "../domain/explored.ts";
import { isAllowed, isInLimits, limitWords, setupOfValues } from "../domain/explored-values.ts";
import type { Setup, SetupId } from "../domain/session.ts";
import type { Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { logSwap } from "./day-commands.ts";
import { findRider, findSetup, refuse, requireOpen } from "./find.ts";

/**
 * Puts values on a rider's bike: the set-up that has them, or a new one made like the present one.
 *
 * @param values - one for each explored setting, in the sheet's order; inside the user's limits and
 *   on a step
 */
export function rideValues(
  session: Session,
  rider: string,
  values: readonly number[],
): readonly Content[] {
  requireOpen(session);
  findRider(session, rider);
  requireExplored(session);
  if (session.check !== null) {
    refuse("the closing check has begun", "swap between its two set-ups, or take the check back");
  }
  const { setup, added } = setupFor(session, values);
  if (added.length === 0) return logSwap(session, rider, setup.id, true);
  return [
    ...added,
    { type: "setup-swapped", body: { rider, setup: setup.id, minutes: null, checked: true } },
  ];
}

/**
 * Ends the exploring: from here on what was found is ridden against the present one, back to back.
 *
 * @param found - a set-up, or values inside the limits whether they were ridden or not
 */
export function beginCheck(
  session: Session,
  found: SetupId | readonly number[],
): readonly Content[] {
  requireOpen(session);
  const { checkRuns } = requireExplored(session);
  if (session.check !== null) refuse("the closing check has begun already", "ride it to its end");
  const { setup, added } =
    typeof found === "string"
      ? { setup: findSetup(session, found), added: [] }
      : setupFor(session, found);
  if (setup.baseline) {
    refuse(`${setup.id} is the present one`, "there is nothing to check: keep it");
  }
  if (session.runs.some((run) => run.status === "on-course")) {
    refuse("a rider is on course", "wait for the finish");
  }
  const check = { setup: setup.id, runs: checkRuns };
  return [...added, { type: "settings-changed", body: { check } }];
}

/** The set-up with the values, and the entry that makes it where it is not there yet. */
export function setupFor(
  { explored, setups }: Pick<Session, "explored" | "setups">,
  values: readonly number[],
): { readonly setup: Setup; readonly added: readonly Content[] } {
  const { settings } = requireExplored({ explored });
  if (values.length !== settings.length) {
    const each = settings.map(({ key }) => key).join(" and ");
    refuse(`${String(values.length)} values are given`, `give one for ${each}`);
  }
  settings.forEach((setting, i) => {
    requireAllowed(setting, values[i] ?? Number.NaN);
  });
  const of = setupOfValues(setups, settings, values) ?? refuse("no set-up is declared", "add one");
  const body = { ...of.setup, values: { ...of.setup.values } };
  return { setup: of.setup, added: of.isNew ? [{ type: "setup-added", body }] : [] };
}

function requireExplored({ explored }: Pick<Session, "explored">): Explored {
  return explored ?? refuse("no setting is explored", "name [[settings]] in the session sheet");
}

function requireAllowed(setting: ExploredSetting, value: number): void {
  const what = `${setting.key} = ${String(value)}`;
  if (!isInLimits(setting, value)) {
    refuse(`${what} is outside your limits`, `choose ${limitWords(setting)}`);
  }
  if (!isAllowed(setting, value)) {
    refuse(`${what} is between two steps`, `choose ${limitWords(setting)}`);
  }
}
