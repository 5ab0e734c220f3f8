// The operator's commands on what the sheet said: riders, set-ups and readings added on the day.
import type { Rider, Setup, Sheet } from "../domain/session.ts";
import type { Body, Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { setupKeyFault, setupValueFault } from "../sheet/sheet-setups.ts";
import { findRider, findRun, findSetup, refuse, requireOpen } from "./find.ts";

/** Works out what is fixed before run 1; throws a UserError if the plan would be too short. */
export type PlanOf = (sheet: Sheet) => Body<"plan-fixed">;

type SetupValue = Setup["values"][string];

const ID = /^[A-Za-z0-9_-]{1,16}$/;

/** Before run 1 the plan is fixed again with the rider in it; later the plan stays as it was. */
export function addRider(session: Session, rider: Rider, planOf: PlanOf): readonly Content[] {
  requireOpen(session);
  requireId(rider.id, session.riders);
  const same = session.riders.find((other) => rider.tag !== null && other.tag === rider.tag);
  if (same !== undefined) {
    refuse(`the transponder ${rider.tag ?? ""} is ${same.id}'s already`, "give it to one of them");
  }
  for (const setup of rider.newTo) findSetup(session, setup);
  const riders = [...session.riders, rider];
  const body = { ...rider, newTo: [...rider.newTo], setups: rider.setups && [...rider.setups] };
  return [{ type: "rider-added", body }, ...fixedAgain(session, { riders }, planOf)];
}

/** Before run 1 the plan is fixed again with the set-up in it; later it is compared by the open band. */
export function addSetup(session: Session, setup: Setup, planOf: PlanOf): readonly Content[] {
  requireOpen(session);
  requireId(setup.id, session.setups);
  if (setup.baseline)
    refuse("there is a baseline already", "add it as one that is compared with it");
  const setups = [...session.setups, setup];
  const body = { ...setup, values: { ...setup.values } };
  return [{ type: "setup-added", body }, ...fixedAgain(session, { setups }, planOf)];
}

/**
 * What is written on a set-up's sheet, replaced as a whole.
 *
 * @param values - keys and values as a session sheet would take them
 */
export function changeSetup(
  session: Session,
  setupId: string,
  name: string,
  values: Setup["values"],
): readonly Content[] {
  requireOpen(session);
  findSetup(session, setupId);
  for (const [key, value] of Object.entries(values)) {
    const wantedKey = setupKeyFault(key);
    if (wantedKey !== null) refuse("that is no name for a line of the sheet", wantedKey);
    const wanted = setupValueFault(key, value);
    if (wanted !== null) refuse(`${key} can't be ${String(value)}`, `write ${wanted}`);
  }
  return [{ type: "setup-changed", body: { setup: setupId, name, values: { ...values } } }];
}

/** One line of a set-up's sheet, whatever the others say. @param value - null takes the line out */
export function writeSetupLine(
  session: Session,
  setupId: string,
  key: string,
  value: SetupValue | null,
): readonly Content[] {
  const { name, values } = findSetup(session, setupId);
  if (value === null && !Object.hasOwn(values, key)) {
    refuse(`there is no line ${key}`, "choose one that is there");
  }
  const lines = new Map(Object.entries(values));
  if (value === null) lines.delete(key);
  else lines.set(key, value);
  return changeSetup(session, setupId, name, Object.fromEntries(lines));
}

/** What a set-up is called. */
export function renameSetup(session: Session, setupId: string, name: string): readonly Content[] {
  const { values } = findSetup(session, setupId);
  if (name === "") refuse("a set-up needs a name", "say what is different about it");
  return changeSetup(session, setupId, name, values);
}

/** A reading as ridden: a pressure, travel used, a temperature. */
export function takeMeasure(session: Session, measure: Body<"measure-taken">): readonly Content[] {
  if (measure.run !== null) findRun(session, measure.run);
  if (measure.rider !== null) findRider(session, measure.rider);
  if (measure.setup !== null) findSetup(session, measure.setup);
  if (measure.key === "")
    refuse("a reading needs a name", "say what was read, like rear_pressure_bar");
  return [{ type: "measure-taken", body: { ...measure } }];
}

function requireId(id: string, taken: readonly { readonly id: string }[]): void {
  const fault = idFault(id, taken);
  if (fault !== null) refuse(fault.message, fault.hint);
}

/** Why a new rider or set-up can't have this id, and what would do; null if it can. */
export function idFault(
  id: string,
  taken: readonly { readonly id: string }[],
): { readonly message: string; readonly hint: string } | null {
  if (!ID.test(id)) {
    return { message: `"${id}" is no id`, hint: "use 1 to 16 letters, digits, - and _" };
  }
  const isTaken = taken.some((other) => other.id === id);
  return isTaken ? { message: `${id} is there already`, hint: "choose another id" } : null;
}

/** Before run 1 the plan is fixed again with what has changed; later it stays as it was. */
export function fixedAgain(
  session: Session,
  changed: Partial<Pick<Sheet, "riders" | "setups" | "settings">>,
  planOf: PlanOf,
): readonly Content[] {
  const { settings, gates, riders, setups, swapCosts, hours, gear, explored, lines } = session;
  const hasRun1 = session.runs.some((run) => run.k !== null);
  if (settings === null || hasRun1) return [];
  const known = { settings, gates, riders, setups, swaps: swapCosts, hours, gear, explored, lines };
  const sheet: Sheet = { ...known, ...changed };
  return [{ type: "plan-fixed", body: planOf(sheet) }];
}
