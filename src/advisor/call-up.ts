// Who starts next, on which bike with which parts, and not before when: the starts of riders who share
// bikes, parts, mechanics and one start gate; called by the summary and by call-up-day.ts.
import type { Bike, Gear } from "../domain/gear.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { firstDifference } from "./call-up-bikes.ts";
import {
  type Fitting,
  type SwapRules,
  soonestFitting,
  takenOut,
  type Yard,
} from "./call-up-yard.ts";
import { type BikeFit, gearFor } from "./gear-fit.ts";

interface Ride {
  readonly setup: SetupId;
  /** False: practice. */
  readonly isCounted: boolean;
}

/** What a rider is to ride, in order. */
export interface Demand {
  readonly rider: RiderId;
  readonly rides: readonly Ride[];
}

/** Times are minutes, here and below. */
export interface RiderState {
  readonly rider: RiderId;
  readonly counted: number;
  /** Minus infinity: not ridden yet. */
  readonly finishedAt: number;
  /** Back at the start. */
  readonly backAt: number;
  /** Rested as long as the sheet wants. */
  readonly restedAt: number;
}

/** How things stand at minute 0. */
interface CallUpState {
  /** Everybody, sheet order. */
  readonly riders: readonly RiderState[];
  /** As `riderBikes` gives them. */
  readonly bikes: ReadonlyMap<RiderId, Bike>;
  readonly yard: Yard;
  /** Starts of those on course. */
  readonly started: readonly Started[];
  /** Whom the next start is taken for; null: nobody in particular. */
  readonly called: RiderId | null;
}

interface Started {
  readonly rider: RiderId;
  readonly at: number;
}

export interface CallUpCosts {
  /** A run and the way back up. */
  readonly lapMinutes: (rider: RiderId) => number;
  readonly runMinutes: (rider: RiderId) => number;
  /** See `startGapS`. */
  readonly gapS: (ahead: RiderId, behind: RiderId) => number;
  /** From null: what is on the bike is not known, or the set-up lacks a part there. */
  readonly swapMinutes: SwapRules["swapMinutes"];
  readonly restMinutes: number;
}

export interface CallUp {
  readonly rider: RiderId;
  readonly setup: SetupId;
  /** Null: the rider's own. */
  readonly bike: string | null;
  readonly parts: readonly string[];
  /** Rider and bike can go; whoever is ahead may still have to get away. */
  readonly isReady: boolean;
  /** Minutes; null: it cannot be ridden with the bikes and parts there are. */
  readonly notBefore: number | null;
  readonly why: string;
  /** From when the rider was ready to ride, whatever the bike. */
  readonly riderReadyAt: number;
  /** Whoever is still on course then, and how long after that start. */
  readonly behind: { readonly rider: RiderId; readonly gapS: number } | null;
  /** The next start is taken for this rider. */
  readonly isCalled: boolean;
}

/** How things stand after some starts. */
interface Scene {
  readonly riders: ReadonlyMap<RiderId, RiderState>;
  readonly yard: Yard;
  readonly started: readonly Started[];
  /** Left of each demand. */
  readonly queues: readonly Demand[];
  readonly called: RiderId | null;
}

interface Candidate {
  readonly rider: RiderState;
  readonly ride: Ride;
  readonly fitting: Fitting;
  /** Rider, bike and parts. */
  readonly readyAt: number;
}

interface Rules extends SwapRules {
  readonly costs: CallUpCosts;
  readonly fitsOf: (rider: RiderId, setup: SetupId) => readonly BikeFit[];
}

/** Minutes; two riders this close are ready together. */
const SAME = 1e-9;

/**
 * The starts, in order, of all that is demanded: list scheduling.
 *
 * Bikes and parts go to whoever was called, then to the fewest counted runs, the longest waiting, and
 * by the sheet; one who comes later in that order may take them first if nobody before starts later for
 * it. Of those ready the called one starts, else the fewest counted runs, then the fastest. No bike and
 * no part is in two laps at once (a lap is a run and the way back up), swaps wait for a mechanic, and
 * nobody starts within the gap.
 *
 * @returns rides that no bike can be made ready for stand at the end, each set-up once
 * @throws {RangeError} if a rider with a demand is not in the state
 * @see Graham (1969), SIAM J. Appl. Math. 17, 416-429, for list scheduling (from memory)
 */
export function callUpList(
  demands: readonly Demand[],
  state: CallUpState,
  gear: Gear,
  costs: CallUpCosts,
): readonly CallUp[] {
  const fits = new Map<string, readonly BikeFit[]>();
  const rules: Rules = {
    costs,
    swapMinutes: costs.swapMinutes,
    mechanics: gear.mechanics,
    fitsOf: (rider, setup) => {
      const key = `${rider} ${setup}`;
      const known = fits.get(key) ?? fitsOn(gear, state.bikes.get(rider), rider, setup);
      fits.set(key, known);
      return known;
    },
  };
  const isRidable = (rider: RiderId, setup: SetupId): boolean =>
    rules.fitsOf(rider, setup).length > 0;
  const riders = new Map(state.riders.map((each) => [each.rider, each]));
  if (!demands.every(({ rider }) => riders.has(rider))) {
    throw new RangeError("callUpList requires a state of every rider with a demand");
  }
  let scene: Scene = {
    ...state,
    riders,
    queues: demands.map(({ rider, rides }) => ({
      rider,
      rides: rides.filter(({ setup }) => isRidable(rider, setup)),
    })),
  };
  const rows: CallUp[] = [];
  // Ends: every turn takes a ride out.
  for (;;) {
    const next = nextStart(scene, rules);
    if (next === undefined) break;
    const { row, lapEnd } = startOf(scene, next, rules);
    rows.push(row);
    scene = afterStart(scene, next, row.notBefore ?? 0, lapEnd, costs);
  }
  const never = demands.flatMap(({ rider, rides }) =>
    [...new Set(rides.map(({ setup }) => setup))]
      .filter((setup) => !isRidable(rider, setup))
      .map((setup) => neverRow(gear, rider, setup, state.called)),
  );
  return [...rows, ...never];
}

/** The rider's own bike of the day, where it takes the set-up; else any that does. */
function fitsOn(
  gear: Gear,
  own: Bike | undefined,
  rider: RiderId,
  setup: SetupId,
): readonly BikeFit[] {
  const { bikes } = gearFor(gear, rider, setup);
  const kept = bikes.filter(({ bike }) => bike === null || bike.id === own?.id);
  return kept.length > 0 ? kept : bikes;
}

function nextStart(scene: Scene, rules: Rules): Candidate | undefined {
  const order = inOrder(scene);
  const reserved = reservedInOrder(scene, order, rules);
  const candidates = reserved.map((candidate, i) => {
    const sooner = candidateOf(scene, scene.yard, order[i], rules);
    if (sooner === undefined || sooner.readyAt > candidate.readyAt - SAME) return candidate;
    return isDelaying(scene, sooner, order.slice(0, i), reserved, rules) ? candidate : sooner;
  });
  // Nobody starts before; whoever is ready by then is ready together.
  const gate = Math.min(
    ...candidates.map(({ rider, readyAt }) =>
      Math.max(readyAt, ...gapsBehind(scene, rider.rider, rules.costs).map(({ until }) => until)),
    ),
  );
  const rank = ({ rider, readyAt }: Candidate): readonly number[] => [
    Math.max(gate, readyAt),
    rider.rider === scene.called ? 0 : 1,
    rider.counted,
    rules.costs.runMinutes(rider.rider),
  ];
  // Sorting keeps the order of the queue where the ranks are equal.
  const [first] = candidates.toSorted((a, b) => firstDifference(rank(a), rank(b)));
  return first;
}

/** Riders with something left to ride, in the order in which bikes and parts are given out. */
function inOrder({ queues, riders, called }: Scene): readonly Demand[] {
  const rank = ({ rider }: Demand): readonly number[] => {
    const state = riders.get(rider);
    return [
      rider === called ? 0 : 1,
      state?.counted ?? 0,
      state?.finishedAt ?? Number.NEGATIVE_INFINITY,
    ];
  };
  return queues
    .filter(({ rides }) => rides.length > 0)
    .toSorted((a, b) => firstDifference(rank(a), rank(b)));
}

/** Everybody's next start if bikes and parts are given out in this order. */
function reservedInOrder(
  scene: Scene,
  order: readonly Demand[],
  rules: Rules,
): readonly Candidate[] {
  let { yard } = scene;
  return order.flatMap((demand) => {
    const candidate = candidateOf(scene, yard, demand, rules);
    if (candidate === undefined) return [];
    yard = reserve(yard, candidate, rules);
    return [candidate];
  });
}

function reserve(yard: Yard, { rider, fitting, readyAt }: Candidate, { costs }: Rules): Yard {
  return takenOut(yard, fitting, rider.rider, readyAt + costs.lapMinutes(rider.rider));
}

function candidateOf(
  scene: Scene,
  yard: Yard,
  demand: Demand | undefined,
  rules: Rules,
): Candidate | undefined {
  const [ride] = demand?.rides ?? [];
  const rider = demand === undefined ? undefined : scene.riders.get(demand.rider);
  if (ride === undefined || rider === undefined) return undefined;
  const fits = rules.fitsOf(rider.rider, ride.setup);
  const fitting = soonestFitting(yard, fits, rider.rider, ride.setup, rules);
  if (fitting === undefined) return undefined;
  return { rider, ride, fitting, readyAt: Math.max(readyToRide(rider), fitting.readyAt) };
}

/** Whether somebody earlier in the order would start later if this one went first. */
function isDelaying(
  scene: Scene,
  first: Candidate,
  before: readonly Demand[],
  reserved: readonly Candidate[],
  rules: Rules,
): boolean {
  const after = { ...scene, yard: reserve(scene.yard, first, rules) };
  return reservedInOrder(after, before, rules).some(
    ({ readyAt }, i) => readyAt > (reserved[i]?.readyAt ?? readyAt) + SAME,
  );
}

function readyToRide({ backAt, restedAt }: RiderState): number {
  return Math.max(0, backAt, restedAt);
}

/** Everybody who started before, the one who holds this rider longest first. */
function gapsBehind(
  { started }: Scene,
  rider: RiderId,
  costs: CallUpCosts,
): readonly (Started & { readonly gapS: number; readonly until: number })[] {
  return started
    .filter((ahead) => ahead.rider !== rider)
    .map((ahead) => {
      const gapS = costs.gapS(ahead.rider, rider);
      return { ...ahead, gapS, until: ahead.at + gapS / 60 };
    })
    .toSorted((a, b) => b.until - a.until);
}

/** The row of a start, behind whoever is ahead. */
function startOf(
  scene: Scene,
  { rider, ride, fitting, readyAt }: Candidate,
  { costs }: Rules,
): { readonly row: CallUp; readonly lapEnd: number } {
  const gaps = gapsBehind(scene, rider.rider, costs);
  const at = Math.max(readyAt, gaps[0]?.until ?? readyAt);
  const near = gaps.find(
    (ahead) => ahead.until >= at || ahead.at + costs.runMinutes(ahead.rider) > at,
  );
  const row = {
    rider: rider.rider,
    setup: ride.setup,
    bike: fitting.bike?.id ?? null,
    parts: fitting.parts,
    // A swap before the day is done by its first minute.
    isReady: readyAt <= 0 && !(fitting.isSwap && Number.isFinite(fitting.swapAt)),
    notBefore: at,
    why: whyThen(rider, fitting, near),
    riderReadyAt: readyToRide(rider),
    behind: near === undefined ? null : { rider: near.rider, gapS: near.gapS },
    isCalled: rider.rider === scene.called,
  };
  return { row, lapEnd: at + costs.lapMinutes(rider.rider) };
}

/** What the start waits for last; how many runs the rider has where it waits for nothing. */
function whyThen(
  rider: RiderState,
  fitting: Fitting,
  ahead: (Started & { readonly until: number }) | undefined,
): string {
  const causes = [
    { until: fitting.readyAt, words: gearWords(rider, fitting) },
    { until: rider.backAt, words: "on the way back up" },
    { until: rider.restedAt, words: "rests" },
    ...(ahead === undefined ? [] : [{ until: ahead.until, words: `starts behind ${ahead.rider}` }]),
  ];
  const counted = `counted runs so far: ${String(rider.counted)}`;
  return causes
    .filter(({ until, words }) => until >= 0 && words !== "")
    .reduce((last, cause) => (cause.until > last.until ? cause : last), {
      until: Number.NEGATIVE_INFINITY,
      words: counted,
    }).words;
}

/** Empty: the bike stands there with all that is needed. */
function gearWords({ rider }: RiderState, fitting: Fitting): string {
  const { id, by } = fitting.lastFree;
  const isOut = fitting.freeAt > 0 && by !== null && by !== rider;
  const wait = isOut ? [`${id ?? "the bike"} comes back with ${by}`] : [];
  const mechanic = fitting.swapAt > fitting.freeAt ? ["no mechanic is free before"] : [];
  const from = fitting.from === null ? "" : `from ${fitting.from} `;
  const minutes = String(Math.round(fitting.swapMinutes * 10) / 10);
  const swap = fitting.isSwap ? [`swap ${from}to ${fitting.setup}, ${minutes} min`] : [];
  return [...wait, ...mechanic, ...swap].join(", then ");
}

function afterStart(
  scene: Scene,
  { rider, ride, fitting }: Candidate,
  at: number,
  lapEnd: number,
  costs: CallUpCosts,
): Scene {
  const finishedAt = at + costs.runMinutes(rider.rider);
  return {
    riders: new Map(scene.riders).set(rider.rider, {
      rider: rider.rider,
      counted: rider.counted + (ride.isCounted ? 1 : 0),
      finishedAt,
      backAt: lapEnd,
      restedAt: finishedAt + costs.restMinutes,
    }),
    yard: takenOut(scene.yard, fitting, rider.rider, lapEnd),
    // Whoever is back up holds nobody.
    started: [
      ...scene.started.filter((each) => each.at + costs.lapMinutes(each.rider) > at),
      { rider: rider.rider, at },
    ],
    queues: scene.queues.map((queue) =>
      queue.rider === rider.rider ? { ...queue, rides: queue.rides.slice(1) } : queue,
    ),
    called: scene.called === rider.rider ? null : scene.called,
  };
}

function neverRow(gear: Gear, rider: RiderId, setup: SetupId, called: RiderId | null): CallUp {
  return {
    rider,
    setup,
    bike: null,
    parts: [],
    isReady: false,
    notBefore: null,
    why: gearFor(gear, rider, setup).why ?? "",
    riderReadyAt: 0,
    behind: null,
    isCalled: rider === called,
  };
}
