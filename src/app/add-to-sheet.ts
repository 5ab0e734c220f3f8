// The operator's commands on what the sheet said: riders, set-ups and readings added on the day.
import type { Rider, Setup, Sheet } from "../domain/session.ts";
import type { Body, Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { findRider, findRun, findSetup, refuse, requireOpen } from "./find.ts";

/** Works out what is fixed before run 1; throws a UserError if the plan would be too short. */
export type PlanOf = (sheet: Sheet) => Body<"plan-fixed">;

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
  const body = { ...rider, newTo: [...rider.newTo] };
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

/** What is written on a set-up's sheet, replaced as a whole. */
export function changeSetup(
  session: Session,
  setupId: string,
  name: string,
  values: Setup["values"],
): readonly Content[] {
  requireOpen(session);
  findSetup(session, setupId);
  return [{ type: "setup-changed", body: { setup: setupId, name, values: { ...values } } }];
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
  if (!ID.test(id)) refuse(`"${id}" is no id`, "use 1 to 16 letters, digits, - and _");
  if (taken.some((other) => other.id === id)) refuse(`${id} is there already`, "choose another id");
}

function fixedAgain(
  session: Session,
  changed: Partial<Pick<Sheet, "riders" | "setups">>,
  planOf: PlanOf,
): readonly Content[] {
  const { settings, gates, riders, setups, swapCosts } = session;
  const hasRun1 = session.runs.some((run) => run.k !== null);
  if (settings === null || hasRun1) return [];
  const sheet: Sheet = { settings, gates, riders, setups, swaps: swapCosts, ...changed };
  return [{ type: "plan-fixed", body: planOf(sheet) }];
}
