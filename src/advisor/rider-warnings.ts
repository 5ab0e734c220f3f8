// What a planner should hear about riders with plans of their own, in plain words; called by
// plan-warnings.ts. Only ids and numbers go in, so that no typed text reaches a screen here.
import { baselineOf, type Rider } from "../domain/session.ts";
import { FEWEST_RIDERS } from "../stats/together.ts";
import {
  carriesPlanBand,
  comparableSetups,
  firstRider,
  ownPlan,
  ownSetups,
  type PlanSheet,
  ridersCarrying,
  runsOf,
} from "./plan-figures.ts";

/** The warnings about riders. */
export function riderWarnings(sheet: PlanSheet): readonly string[] {
  return [
    ...shortPlans(sheet),
    ...otherPlans(sheet),
    ...nothingToCompare(sheet),
    ...setupsOfFew(sheet),
    ...twoRiders(sheet),
  ];
}

/** Riders whose own plan has no plan band. */
function shortPlans(sheet: PlanSheet): readonly string[] {
  const { settings, riders } = sheet;
  if (riders.length < 2 || settings.bands === "open") return [];
  const compared = riders.filter((rider) => comparableSetups(sheet, [rider]).size > 0);
  const short = compared.filter(
    (rider) => !carriesPlanBand(ownPlan(sheet, rider), comparableSetups(sheet, [rider])),
  );
  const [first] = short;
  if (first === undefined) return [];
  const each = runsOf(sheet, first);
  const isAlike = short.every((rider) => runsOf(sheet, rider) === each);
  const runs = isAlike ? `${String(each)} runs` : "the runs planned";
  if (short.length === compared.length) {
    return [`${runs} are too few for any rider alone; together they have a plan`];
  }
  return [`${runs} are too few for ${listed(ids(short))} alone; they count with the others'`];
}

/** Riders whose plan is not the first rider's, which everything else here is about. */
function otherPlans(sheet: PlanSheet): readonly string[] {
  const first = firstRider(sheet);
  const common = planOf(sheet, first);
  return sheet.riders.flatMap((rider) => {
    const own = planOf(sheet, rider);
    if (own === common) return [];
    return [`${rider.id} rides ${own}: order, hours and reach here are ${first.id}'s`];
  });
}

function planOf(sheet: PlanSheet, rider: Rider): string {
  const own = ownSetups(sheet, rider);
  if (own.length === 0) return "nothing";
  const runs = runsOf(sheet, rider);
  return `${runs === null ? "" : `${String(runs)} runs `}on ${listed(own)}`;
}

function nothingToCompare(sheet: PlanSheet): readonly string[] {
  const baseline = baselineOf(sheet.setups).id;
  if (sheet.setups.length < 2) return [];
  return sheet.riders.flatMap((rider) => {
    const own = ownSetups(sheet, rider);
    const nothing = `nothing is compared for ${rider.id} alone`;
    if (own.length > 1 && !own.includes(baseline)) {
      return [`${rider.id} does not ride ${baseline}, the baseline: ${nothing}`];
    }
    return own.length === 1 ? [`${rider.id} rides only ${listed(own)}: ${nothing}`] : [];
  });
}

/** Set-ups that nobody rides, that no riders lead to, or that too few carry for a joint answer. */
function setupsOfFew(sheet: PlanSheet): readonly string[] {
  const baseline = baselineOf(sheet.setups).id;
  return sheet.setups.flatMap(({ id }) => {
    if (!sheet.riders.some((rider) => ownSetups(sheet, rider).includes(id))) {
      return [`nobody is to ride ${id}`];
    }
    if (id === baseline) return [];
    const riders = ridersCarrying(sheet, id);
    if (riders === 0) {
      return [
        `${id} cannot be compared with ${baseline}: no rider rides both, and none leads there`,
      ];
    }
    if (riders >= FEWEST_RIDERS || sheet.riders.length < FEWEST_RIDERS) return [];
    const carry = riders === 1 ? "1 rider carries" : `${String(riders)} riders carry`;
    return [`only ${carry} the comparison of ${id} with ${baseline}: no joint answer on it`];
  });
}

function twoRiders({ riders, settings }: PlanSheet): readonly string[] {
  if (riders.length !== 2 || settings.bands === "open") return [];
  return ["with two riders both are shown, but nothing is claimed for them together"];
}

function ids(riders: readonly Rider[]): readonly string[] {
  return riders.map((rider) => rider.id);
}

/** "A, B and C". */
function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}
