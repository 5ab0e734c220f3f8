// The hours of a planned day, ridden through from the arrival to the packing; called by plan-day.ts,
// timetable.ts and the warnings.
import type { Break } from "../domain/day-hours.ts";
import { type RiderId, type SetupId, type SwapCost, swapMinutes } from "../domain/session.ts";
import { planningOrder } from "../stats/design.ts";
import { presentAndFound } from "./plan-exploring.ts";
import { firstRider, ordersOf, type PlanSheet, setupsToPractise } from "./plan-figures.ts";
import { PRACTICE_RUNS } from "./practice-runs.ts";

/**
 * Warm-up laps before anything else. chosen: fewer leave most riders still learning the stretch;
 * what is left of it costs power, not honesty.
 */
export const WARM_UP_LAPS = 4;
/**
 * Minutes of a pause after which a rider rides one warm-up lap before the next counted run. chosen:
 * what people who test take; test/advisor/plan-hours.test.ts.
 */
const LONG_BREAK = 20;
/**
 * Half a day, minutes in a row, and the pause after which it begins anew. chosen: five hours wherever
 * they lie and a lunch break, as while riding, so that no time of day is needed;
 * test/advisor/plan-hours.test.ts.
 */
const HALF_DAY = 300;
const LUNCH = 60;

/** Something that takes place on a planned day. */
interface DayStep {
  /** Minutes from the first start; below 0 before it. */
  readonly at: number;
  /** Holds places of swaps and names of breaks as they were typed. */
  readonly what: string;
}

/** A day as planned. */
export interface PlannedDay {
  readonly steps: readonly DayStep[];
  /** Minutes after midnight; null without an arrival. */
  readonly firstStart: number | null;
  /** Minutes from the first start; the last lap is counted whole, the way back up included. */
  readonly lastFinish: number;
  /** The same, until everything is packed. */
  readonly packed: number;
  /** Most starts of one rider in half a day, warm-ups and practice included. */
  readonly busiest: { readonly rider: RiderId; readonly runs: number } | null;
  /** Breaks whose time never comes before a run. */
  readonly missedBreaks: readonly Break[];
}

/** Set-up of every rider who is to ride one. */
type Targets = ReadonlyMap<RiderId, SetupId>;

/** What is ridden on a day. */
interface DayRides {
  readonly orders: ReadonlyMap<RiderId, readonly SetupId[]>;
  /** What is practised one after another, each by whoever needs it. */
  readonly practice: readonly Targets[];
  /** Words for counted run `run`, from 0. */
  readonly runWords: (run: number, targets: Targets) => string;
}

/** Minutes of a lap and of what it consists of. */
export interface Pace {
  /** A run and the way back up; at least the run. */
  readonly lap: number;
  /** 0 where it is not known. */
  readonly run: number;
  /** Least rest between a finish and the next start. */
  readonly rest: number;
}

/** The pace of a sheet; null without a lap time. */
export function paceOf({ settings, hours }: PlanSheet): Pace | null {
  if (settings.lapMinutes === null) return null;
  const run = (settings.expectedRunS ?? 0) / 60;
  return { lap: Math.max(settings.lapMinutes, run), run, rest: hours.restMinutes ?? 0 };
}

/**
 * The days of a plan: riders ride side by side, the slowest swap or the longest rest holds all.
 * Breaks are those of each day; practice is on the first.
 *
 * @param sheet - with a number of runs
 * @returns empty without a lap time or a run
 */
export function plannedDays(sheet: PlanSheet): readonly PlannedDay[] {
  const pace = paceOf(sheet);
  if (pace === null) return [];
  return ridesOf(sheet).map((rides) => rideDay(sheet, rides, pace));
}

/**
 * Counted runs and the swaps between them, of one rider alone.
 *
 * @param order - set-ups in the order that they are ridden in
 */
export function ridingMinutes(sheet: PlanSheet, order: readonly SetupId[], pace: Pace): number {
  let start = 0;
  order.slice(1).forEach((setup, i) => {
    const swap = swapMinutes(sheet.swaps, order[i] ?? setup, setup);
    start += Math.max(pace.lap + swap, pace.run + pace.rest);
  });
  return order.length === 0 ? 0 : start + pace.lap;
}

/** Minutes after midnight of `08:30`. */
export function minutesOfDay(time: string): number {
  const [hours = 0, minutes = 0] = time.split(":").map(Number);
  return 60 * hours + minutes;
}

/** What is ridden on each day. */
function ridesOf(sheet: PlanSheet): readonly DayRides[] {
  if (sheet.explored != null) return exploringRides(sheet, sheet.explored.checkRuns);
  const riders = sheet.riders.length > 0 ? sheet.riders : [firstRider(sheet)];
  const orders = riders.map((rider) => ordersOf(sheet, rider));
  const days = Math.max(0, ...orders.map((own) => own.length));
  return Array.from({ length: days }, (_, day) => {
    const today = new Map(riders.map((rider, i) => [rider.id, orders[i]?.[day] ?? []] as const));
    return {
      orders: today,
      practice: day === 0 ? practiceTargets(sheet) : [],
      runWords: (run, targets) => `run ${String(run + 1)}${on(targets, today.size === 1)}`,
    };
  });
}

/** Values are tried first, then the one found is ridden against the present one, back to back. */
function exploringRides(sheet: PlanSheet, checkRuns: number): readonly DayRides[] {
  const [present, found] = presentAndFound(sheet);
  const tried = sheet.settings.plannedRuns ?? 0;
  const order = [
    ...Array.from({ length: tried }, () => present),
    ...planningOrder([present, found], checkRuns),
  ];
  const runWords = (run: number): string => {
    if (run < tried) return `exploring run ${String(run + 1)}`;
    const whose = order[run] === present ? "present values" : "values found";
    return `closing check, run ${String(run - tried + 1)} on the ${whose}`;
  };
  return [{ orders: new Map([[firstRider(sheet).id, order]]), practice: [], runWords }];
}

function practiceTargets(sheet: PlanSheet): readonly Targets[] {
  const wanted = new Map(
    sheet.riders.map((rider) => [rider.id, setupsToPractise(sheet, rider)] as const),
  );
  const most = Math.max(0, ...[...wanted.values()].map((setups) => setups.length));
  return Array.from({ length: most }, (_, i) => targetsAt(wanted, i));
}

function rideDay(sheet: PlanSheet, rides: DayRides, pace: Pace): PlannedDay {
  const { hours, gear, swaps } = sheet;
  const arrived = hours.arriveAt === null ? null : minutesOfDay(hours.arriveAt);
  const isAlone = rides.orders.size === 1;
  // From the arrival, or from when the gates go up.
  let now = 0;
  const steps: DayStep[] = [];
  const starts = new Map<RiderId, number[]>([...rides.orders.keys()].map((id) => [id, []]));
  const mounted = new Map<RiderId, SetupId>();
  let waiting: readonly Break[] = hours.breaks;

  /** A break comes before the first ride that would start at its time or later. */
  const takeBreaks = (run: number): number => {
    const isDue = (each: Break): boolean =>
      each.afterRun === null
        ? arrived !== null && each.at !== null && minutesOfDay(each.at) <= arrived + now
        : run > 0 && each.afterRun <= run;
    const due = waiting.filter(isDue);
    waiting = waiting.filter((each) => !due.includes(each));
    for (const { name, minutes } of due) {
      steps.push({ at: now, what: `${name ?? "break"} (${amount(minutes)} min)` });
      now += minutes;
    }
    return due.reduce((sum, each) => sum + each.minutes, 0);
  };
  const ride = (what: string, targets: Targets, laps: number): void => {
    const changed = changes(mounted, targets, swaps);
    const swap = inRounds(changed, gear.mechanics);
    for (const [rider, setup] of targets) mounted.set(rider, setup);
    const began = now;
    now += swap.minutes;
    for (let lap = 0; lap < laps; lap += 1) {
      const rested = [...targets.keys()].map(
        (rider) => (starts.get(rider)?.at(-1) ?? Number.NEGATIVE_INFINITY) + pace.run + pace.rest,
      );
      now = Math.max(now, ...rested);
      if (lap === 0)
        steps.push({ at: swap.minutes > 0 ? began : now, what: swapWords(swap, changed) + what });
      for (const rider of targets.keys()) starts.get(rider)?.push(now);
      now += pace.lap;
    }
  };

  if (arrived !== null) steps.push({ at: now, what: "arrival" });
  if (hours.gatesMinutes !== null && hours.gatesMinutes > 0) {
    steps.push({ at: now, what: `gates up and checked (${amount(hours.gatesMinutes)} min)` });
    now += hours.gatesMinutes;
  }
  takeBreaks(0);
  const first = now;
  ride(`warm-up, ${String(WARM_UP_LAPS)} laps`, targetsAt(rides.orders, 0), WARM_UP_LAPS);
  for (const targets of rides.practice) {
    takeBreaks(0);
    ride(`practice, ${String(PRACTICE_RUNS)} runs${on(targets, false)}`, targets, PRACTICE_RUNS);
  }
  const runs = Math.max(0, ...[...rides.orders.values()].map((order) => order.length));
  for (let run = 0; run < runs; run += 1) {
    const targets = targetsAt(rides.orders, run);
    const pause = takeBreaks(run);
    if (pause > LONG_BREAK) ride(`warm-up lap after the break${on(targets, isAlone)}`, targets, 1);
    ride(rides.runWords(run, targets), targets, 1);
  }
  const last = now;
  steps.push({ at: last, what: "last finish" });
  const packed = last + (hours.packMinutes ?? 0);
  if (packed > last) steps.push({ at: packed, what: "everything packed" });
  return {
    steps: steps.map((step) => ({ ...step, at: step.at - first })),
    firstStart: arrived === null ? null : arrived + first,
    lastFinish: last - first,
    packed: packed - first,
    busiest: busiestOf(starts, pace),
    missedBreaks: waiting,
  };
}

/** Swaps that bring every bike to its target, with what each takes. */
function changes(
  mounted: ReadonlyMap<RiderId, SetupId>,
  targets: Targets,
  swaps: readonly SwapCost[],
): readonly SwapCost[] {
  return [...targets].flatMap(([rider, to]) => {
    const from = mounted.get(rider) ?? to;
    const minutes = swapMinutes(swaps, from, to);
    return minutes > 0 ? [{ from, to, minutes, place: placeOf(swaps, from, to) }] : [];
  });
}

/** Where a swap is done; the way back is done at the same place unless it has one of its own. */
function placeOf(swaps: readonly SwapCost[], from: SetupId, to: SetupId): string | null {
  const there = swaps.find((s) => s.from === from && s.to === to);
  const back = swaps.find((s) => s.from === to && s.to === from);
  return (there ?? back)?.place ?? null;
}

/**
 * Minutes until all swaps are done: as many at once as there are mechanics, the longest first, each
 * round as long as its longest.
 *
 * @param mechanics - null: as many as are wanted
 */
function inRounds(
  changed: readonly SwapCost[],
  mechanics: number | null,
): { readonly minutes: number; readonly rounds: number } {
  const longestFirst = changed.map((swap) => swap.minutes).toSorted((a, b) => b - a);
  const atOnce = Math.max(1, mechanics ?? longestFirst.length);
  const rounds = longestFirst.filter((_, i) => i % atOnce === 0);
  return { minutes: rounds.reduce((sum, longest) => sum + longest, 0), rounds: rounds.length };
}

/** `swap (12 min, car), `, or nothing. */
function swapWords(
  { minutes, rounds }: ReturnType<typeof inRounds>,
  changed: readonly SwapCost[],
): string {
  if (minutes <= 0) return "";
  const places = [...new Set(changed.flatMap(({ place }) => place ?? []))];
  const where = places.length === 0 ? "" : `, ${places.join(" and ")}`;
  const queue = rounds > 1 ? ` in ${String(rounds)} rounds` : "";
  return `swap (${amount(minutes)} min${queue}${where}), `;
}

function targetsAt(orders: ReadonlyMap<RiderId, readonly SetupId[]>, run: number): Targets {
  return new Map(
    [...orders].flatMap(([rider, order]) => {
      const setup = order[run];
      return setup === undefined ? [] : [[rider, setup] as const];
    }),
  );
}

/** ` on B` of a rider alone, else `: R1 on B, R2 on A`. */
function on(targets: Targets, isAlone: boolean): string {
  if (isAlone) return ` on ${[...targets.values()].join("")}`;
  return `: ${[...targets].map(([rider, setup]) => `${rider} on ${setup}`).join(", ")}`;
}

function busiestOf(
  starts: ReadonlyMap<RiderId, readonly number[]>,
  { run }: Pace,
): PlannedDay["busiest"] {
  let busiest: PlannedDay["busiest"] = null;
  for (const [rider, own] of starts) {
    let since = 0;
    own.forEach((at, i) => {
      if (at - (own[i - 1] ?? at) - run >= LUNCH) since = i;
      const runs = own.slice(since, i + 1).filter((start) => at - start < HALF_DAY).length;
      if (runs > (busiest?.runs ?? 0)) busiest = { rider, runs };
    });
  }
  return busiest;
}

function amount(minutes: number): string {
  return String(Math.round(minutes * 10) / 10);
}
