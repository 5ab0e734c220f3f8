// A planned day with shared bikes, parts and mechanics, start by start; called by whoever shows a plan.
import { baselineOf, type Rider, type SetupId, swapMinutes } from "../domain/session.ts";
import { type CallUp, type CallUpCosts, callUpList, type Demand } from "./call-up.ts";
import { riderBikes } from "./call-up-bikes.ts";
import { bikeKey, type Yard } from "./call-up-yard.ts";
import { kindsFor } from "./gear-fit.ts";
import {
  firstRider,
  ordersOf,
  ownSetups,
  type PlanSheet,
  setupsToPractise,
} from "./plan-figures.ts";
import { PRACTICE_RUNS } from "./practice-runs.ts";
import { startGapS, type UsualRun } from "./start-gap.ts";

/** A day of several riders, from its first start. */
export interface ClubDay {
  /** In order; `notBefore` is the start, minutes. */
  readonly starts: readonly CallUp[];
  /** Until everybody's last finish. */
  readonly minutes: number;
  readonly startsPerHour: number;
  /** Of each rider, over the day: ready to ride, while bike, parts, mechanic or gate were not. */
  readonly waiting: readonly { readonly rider: string; readonly minutes: number }[];
  /** Set-ups that a rider cannot ride with the bikes and parts there are; left out of the starts. */
  readonly unridable: readonly CallUp[];
}

/**
 * The day as the call-up list would run it: practice on what is new, then every counted run of the
 * planning orders. Warm-up laps and breaks come on top.
 *
 * All that is needed first is fitted before the first start; later every swap costs its minutes.
 *
 * @param sheet - with a number of runs
 * @param day - of several declared days, from 0
 * @returns null without a lap time or anything to ride
 */
export function clubDay(sheet: PlanSheet, day = 0): ClubDay | null {
  const { lapMinutes, expectedRunS } = sheet.settings;
  const riders = sheet.riders.length > 0 ? sheet.riders : [firstRider(sheet)];
  const demands = riders.map((rider) => demandOf(sheet, rider, day));
  if (lapMinutes === null || demands.every(({ rides }) => rides.length === 0)) return null;
  // A run is the shorter part of a lap, whatever the sheet expects.
  const runMinutes = Math.min(lapMinutes, expectedRunS === null ? lapMinutes : expectedRunS / 60);
  const rows = callUpList(demands, beforeTheDay(sheet, riders), sheet.gear, {
    lapMinutes: () => lapMinutes,
    runMinutes: () => runMinutes,
    gapS: gapOf(sheet, runMinutes),
    swapMinutes: (from, to) => swapFrom(sheet, from, to),
    restMinutes: sheet.hours.restMinutes ?? 0,
  });
  const starts = rows.filter((row) => row.notBefore !== null);
  const minutes = Math.max(0, ...starts.map((row) => (row.notBefore ?? 0) + runMinutes));
  return {
    starts,
    minutes,
    startsPerHour: minutes === 0 ? 0 : starts.length / (minutes / 60),
    waiting: riders.map(({ id }) => ({ rider: id, minutes: waitedBy(starts, id) })),
    unridable: rows.filter((row) => row.notBefore === null),
  };
}

/**
 * Minutes to swap to a set-up.
 *
 * @param from - null: what is on the bike is not known, or the set-up lacks a part there; then the
 *   longest swap to the set-up is reckoned with
 */
export function swapFrom(
  { setups, swaps }: Pick<PlanSheet, "setups" | "swaps">,
  from: SetupId | null,
  to: SetupId,
): number {
  if (from !== null) return swapMinutes(swaps, from, to);
  return Math.max(0, ...setups.map(({ id }) => swapMinutes(swaps, id, to)));
}

/** What stands on a bike that nobody has touched: the baseline, unless that needs a shared part. */
export function asItCame({ setups, gear }: Pick<PlanSheet, "setups" | "gear">): SetupId | null {
  const baseline = baselineOf(setups).id;
  return kindsFor(gear, baseline).length === 0 ? baseline : null;
}

function demandOf(sheet: PlanSheet, rider: Rider, day: number): Demand {
  const practice = day === 0 ? setupsToPractise(sheet, rider) : [];
  const order = ordersOf(sheet, rider)[day] ?? [];
  return {
    rider: rider.id,
    rides: [
      ...practice.flatMap((setup) =>
        Array.from({ length: PRACTICE_RUNS }, () => ({ setup, isCounted: false })),
      ),
      ...order.map((setup) => ({ setup, isCounted: true })),
    ],
  };
}

function beforeTheDay(
  sheet: PlanSheet,
  riders: readonly Rider[],
): Parameters<typeof callUpList>[1] {
  const freeAt = Number.NEGATIVE_INFINITY;
  const bikes = riderBikes(
    sheet.gear,
    riders.map((rider) => ({ id: rider.id, setups: ownSetups(sheet, rider) })),
  );
  const all = sheet.gear.bikes.length > 0 ? sheet.gear.bikes : riders.map(() => null);
  const yard: Yard = {
    bikes: new Map(
      all.map((bike, i) => [
        bikeKey(bike, riders[i]?.id ?? ""),
        { freeAt, by: null, mounted: asItCame(sheet) },
      ]),
    ),
    parts: new Map(sheet.gear.parts.map(({ id }) => [id, { freeAt, by: null, on: null }])),
    swaps: [],
  };
  const fresh = { counted: 0, finishedAt: freeAt, backAt: freeAt, restedAt: freeAt };
  return {
    riders: riders.map(({ id }) => ({ rider: id, ...fresh })),
    bikes,
    yard,
    started: [],
    called: null,
  };
}

/** Everybody is reckoned with the sheet's run and spread; without a run time the lap stands for it. */
function gapOf({ settings }: PlanSheet, runMinutes: number): CallUpCosts["gapS"] {
  const usual: UsualRun = { runS: runMinutes * 60, spreadS: settings.spreadS };
  const gapS = startGapS(usual, usual);
  return () => gapS;
}

function waitedBy(starts: readonly CallUp[], rider: string): number {
  return starts
    .filter((row) => row.rider === rider)
    .reduce((sum, row) => sum + (row.notBefore ?? 0) - row.riderReadyAt, 0);
}
