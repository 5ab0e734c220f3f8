// The operator's commands while settings are explored: a value goes on the bike, the closing check
// begins.
import type { Explored, ExploredSetting } from "../domain/explored.ts";
import type { Setup, SetupId } from "../domain/session.ts";
import { unitOfValue } from "../domain/setup-values.ts";
import type { Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { logSwap } from "./day-commands.ts";
import { findRider, findSetup, refuse, requireOpen } from "./find.ts";

/** Of a step: how far a figure may be off a step by rounding. */
const OFF_STEP = 1e-6;
const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

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
  const explored = requireExplored(session);
  const { settings } = explored;
  if (values.length !== settings.length) {
    refuse("a value is missing", `give ${String(settings.length)}`);
  }
  settings.forEach((setting, i) => {
    requireAllowed(setting, values[i] ?? Number.NaN);
  });
  const known = session.setups.find((setup) => hasValues(setup, settings, values));
  if (known !== undefined) return logSwap(session, rider, known.id, true);
  const present = session.setups.find((setup) => setup.baseline) ?? refuse("no set-up", "add one");
  const own = settings.map((setting, i) => [setting.key, values[i] ?? 0] as const);
  const setup = {
    ...present,
    id: freeId(session.setups),
    name: valuesName(settings, values),
    baseline: false,
    values: { ...present.values, ...Object.fromEntries(own) },
  };
  return [
    { type: "setup-added", body: setup },
    { type: "setup-swapped", body: { rider, setup: setup.id, minutes: null, checked: true } },
  ];
}

/** Ends the exploring: from here on the set-up is ridden against the present one, back to back. */
export function beginCheck(session: Session, setup: SetupId): readonly Content[] {
  requireOpen(session);
  const { checkRuns } = requireExplored(session);
  const found = findSetup(session, setup);
  if (session.check !== null) refuse("the closing check has begun already", "ride it to its end");
  if (found.baseline) refuse(`${setup} is the present one`, "there is nothing to check: keep it");
  if (session.runs.some((run) => run.status === "on-course")) {
    refuse("a rider is on course", "wait for the finish");
  }
  return [{ type: "settings-changed", body: { check: { setup, runs: checkRuns } } }];
}

/** `1.60 bar`, `8 clicks`: how a set-up that was tried is called. */
export function valuesName(
  settings: readonly ExploredSetting[],
  values: readonly number[],
): string {
  return settings
    .map((setting, i) => {
      const unit = unitOfValue(setting.key);
      const text = (values[i] ?? 0).toFixed(decimalsOf(setting));
      return unit === null ? text : `${text} ${unit}`;
    })
    .join(", ");
}

/** As many decimals as tell the steps apart. */
function decimalsOf({ low, step }: ExploredSetting): number {
  const isShort = (digits: number): boolean =>
    [low, step].every((value) => Math.abs(Number(value.toFixed(digits)) - value) < OFF_STEP * step);
  return [0, 1, 2, 3, 4, 5].find(isShort) ?? 6;
}

function requireExplored({ explored }: Session): Explored {
  return explored ?? refuse("no setting is explored", "name [[settings]] in the session sheet");
}

function requireAllowed({ key, low, high, step }: ExploredSetting, value: number): void {
  const at = (value - low) / step;
  const limits = `from ${String(low)} to ${String(high)} in steps of ${String(step)}`;
  const isInside = value >= low - OFF_STEP * step && value <= high + OFF_STEP * step;
  if (!isInside) refuse(`${key} = ${String(value)} is outside your limits`, `choose ${limits}`);
  if (Math.abs(at - Math.round(at)) > OFF_STEP) {
    refuse(`${key} = ${String(value)} is between two steps`, `choose ${limits}`);
  }
}

function hasValues(
  setup: Setup,
  settings: readonly ExploredSetting[],
  values: readonly number[],
): boolean {
  return settings.every((setting, i) => {
    const own = setup.values[setting.key];
    return typeof own === "number" && Math.abs(own - (values[i] ?? 0)) < OFF_STEP * setting.step;
  });
}

/** The first letter that no set-up has; past Z with a number. */
function freeId(setups: readonly Setup[]): SetupId {
  const taken = new Set(setups.map((setup) => setup.id));
  for (let round = 1; ; round += 1) {
    for (const letter of LETTERS) {
      const id = round === 1 ? letter : `${letter}${String(round)}`;
      if (!taken.has(id)) return id;
    }
  }
}
