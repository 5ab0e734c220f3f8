// Which bikes and parts a rider can ride a set-up with, and what of a plan cannot be ridden at all;
// called by the call-up list and by whoever shows a plan.
import type { Bike, Gear, Part, Standards } from "../domain/gear.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { firstRider, ownSetups, type PlanSheet } from "./plan-figures.ts";

/** One of these parts is needed. */
export interface Need {
  readonly kind: string;
  /** Never empty, in declared order. */
  readonly parts: readonly Part[];
}

/** A bike that a set-up can be ridden on. */
export interface BikeFit {
  /** Null: the rider's own. */
  readonly bike: Bike | null;
  /** One of each kind. */
  readonly needs: readonly Need[];
}

interface GearFit {
  /** In declared order; one bike, the rider's own, where no bikes are shared. */
  readonly bikes: readonly BikeFit[];
  /** Why there are none, in words; null if there are. */
  readonly why: string | null;
}

const STANDARDS = ["axle", "rotor", "freehub"] as const;
/** Typed text that may stand in a sentence. */
const PLAIN = /^[\w .,:/+()-]{1,30}$/;
/** chosen: two riders who start at either end of the order can take turns without waiting. */
const MANY_RIDERS = 3;

/** Bikes that fit the rider and take all that the set-up needs. */
export function gearFor(gear: Gear, rider: RiderId, setup: SetupId): GearFit {
  const kinds = kindsFor(gear, setup);
  if (gear.bikes.length === 0) return { bikes: [{ bike: null, needs: kinds }], why: null };
  const own = gear.bikes.filter((bike) => bike.riders === null || bike.riders.includes(rider));
  const bikes = own.flatMap((bike) => {
    const needs = kinds.map((need) => ({
      ...need,
      parts: need.parts.filter((part) => misfit(part.standards, bike.standards) === undefined),
    }));
    return needs.every((need) => need.parts.length > 0) ? [{ bike, needs }] : [];
  });
  return { bikes, why: bikes.length > 0 ? null : whyNone(own, kinds, rider, setup) };
}

/**
 * What of the plan cannot be ridden with the bikes and parts there are, and where many riders wait
 * for one part. Only ids, numbers and plain typed words go in.
 */
export function gearWarnings(sheet: PlanSheet): readonly string[] {
  const riders = sheet.riders.length > 0 ? sheet.riders : [firstRider(sheet)];
  const rides = riders.flatMap((rider) =>
    ownSetups(sheet, rider).map((setup) => ({
      setup,
      rider: rider.id,
      fit: gearFor(sheet.gear, rider.id, setup),
    })),
  );
  const impossible = rides.flatMap(({ fit }) => (fit.why === null ? [] : [fit.why]));
  const queues = sheet.setups.flatMap(({ id }) => {
    const able = rides.filter(({ setup, fit }) => setup === id && fit.bikes.length > 0);
    return kindsFor(sheet.gear, id).flatMap(({ kind, parts }) => {
      const [only] = parts;
      if (only === undefined || parts.length > 1 || able.length < MANY_RIDERS) return [];
      const many = `${String(able.length)} riders wait for it in turn`;
      return [`${only.id} is the only ${plain(kind, "part")} for ${id}: ${many}`];
    });
  });
  return [...impossible, ...queues];
}

/** What a set-up needs, by kind, whatever the bike. */
export function kindsFor({ parts }: Gear, setup: SetupId): readonly Need[] {
  const own = parts.filter((part) => part.setups.includes(setup));
  return [...new Set(own.map((part) => part.kind))].map((kind) => ({
    kind,
    parts: own.filter((part) => part.kind === kind),
  }));
}

/** The first standard that is given on both sides and differs. */
function misfit(part: Standards, bike: Standards): (typeof STANDARDS)[number] | undefined {
  const read = (text: string): string => text.trim().toLowerCase();
  return STANDARDS.find((key) => {
    const [its, bikes] = [part[key], bike[key]];
    return its !== null && bikes !== null && read(its) !== read(bikes);
  });
}

/** About the first bike that fits the rider, and what is missing for it. */
function whyNone(
  bikes: readonly Bike[],
  kinds: readonly Need[],
  rider: RiderId,
  setup: SetupId,
): string {
  const [bike] = bikes;
  if (bike === undefined) return `no bike fits ${rider}`;
  for (const { kind, parts } of kinds) {
    const keys = parts.map((part) => misfit(part.standards, bike.standards));
    const [part] = parts;
    const [key] = keys;
    if (part === undefined || key === undefined || keys.includes(undefined)) continue;
    const name = plain(kind, "part");
    const article = /^[aeiou]/i.test(name) ? "an" : "a";
    const its = plain(part.standards[key], "of another kind");
    const has = plain(bike.standards[key], "another");
    const whose = bikes.length === 1 ? "the bike" : bike.id;
    return `no bike that fits ${rider} takes ${article} ${name} for ${setup} (${key} ${its}, ${whose} has ${has})`;
  }
  // Each of its parts goes on the first bike, so there was a fit.
  return `no bike that fits ${rider} takes ${setup}`;
}

/** The typed text if it is plain, else other words for it. */
function plain(typed: string | null, otherwise: string): string {
  const text = (typed ?? "").trim();
  return PLAIN.test(text) ? text : otherwise;
}
