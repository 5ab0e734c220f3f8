// The hours of a planned day, from the first start; called by plan-day.ts.
import type { TimetableLine } from "../domain/plan.ts";
import { type RiderId, type SetupId, swapMinutes } from "../domain/session.ts";
import { ordersOf, type PlanSheet, setupsToPractise } from "./plan-figures.ts";
import { PRACTICE_RUNS } from "./practice-runs.ts";

/**
 * Warm-up laps before anything else. chosen: fewer leave most riders still learning the stretch;
 * what is left of it costs power, not honesty.
 */
export const WARM_UP_LAPS = 4;

/**
 * Warm-up, practice on what is new, then every run with its swaps; riders ride at the same time and
 * the slowest swap holds all. Each further day starts again at 0:00, without practice.
 *
 * @param sheet - with a number of runs
 * @returns empty without a lap time or a run
 */
export function timetableOf(sheet: PlanSheet): readonly TimetableLine[] {
  const orders = sheet.riders.map((rider) => ordersOf(sheet, rider));
  const days = Math.max(0, ...orders.map((own) => own.length));
  return Array.from({ length: days }, (_, day) => dayLines(sheet, day, days)).flat();
}

/** Set-up of every rider who is to ride one. */
type Targets = ReadonlyMap<RiderId, SetupId>;

function dayLines(sheet: PlanSheet, day: number, days: number): readonly TimetableLine[] {
  const lap = sheet.settings.lapMinutes;
  if (lap === null) return [];
  const lines: TimetableLine[] = [];
  let minutes = 0;
  const add = (what: string, takes: number): void => {
    lines.push({ at: clock(minutes), what });
    minutes += takes;
  };
  const orders = new Map(
    sheet.riders.map((rider) => [rider.id, ordersOf(sheet, rider)[day] ?? []] as const),
  );
  const mounted = new Map<RiderId, SetupId>();
  const swapTo = (targets: Targets): number => {
    let longest = 0;
    for (const [rider, setup] of targets) {
      longest = Math.max(longest, swapMinutes(sheet.swaps, mounted.get(rider) ?? setup, setup));
      mounted.set(rider, setup);
    }
    return longest;
  };
  const of = days > 1 ? `day ${String(day + 1)}: ` : "";
  add(`${of}warm-up, ${String(WARM_UP_LAPS)} laps`, WARM_UP_LAPS * lap);
  swapTo(targetsAt(orders, 0));
  for (const targets of day === 0 ? practiceTargets(sheet) : []) {
    const swap = swapTo(targets);
    add(swapping(`practice, ${String(PRACTICE_RUNS)} runs: ${who(targets)}`, swap), swap);
    minutes += PRACTICE_RUNS * lap;
  }
  const runs = Math.max(0, ...[...orders.values()].map((order) => order.length));
  for (let run = 0; run < runs; run += 1) {
    const targets = targetsAt(orders, run);
    const swap = swapTo(targets);
    const [only] = orders.size === 1 ? [...targets.values()] : [];
    const what = only === undefined ? `: ${who(targets)}` : ` on ${only}`;
    add(swapping(`run ${String(run + 1)}${what}`, swap), swap + lap);
  }
  add("last finish", 0);
  return lines;
}

function targetsAt(orders: ReadonlyMap<RiderId, readonly SetupId[]>, run: number): Targets {
  return new Map(
    [...orders].flatMap(([rider, order]) => {
      const setup = order[run];
      return setup === undefined ? [] : [[rider, setup] as const];
    }),
  );
}

/** What is practised one after another, each by whoever needs it. */
function practiceTargets(sheet: PlanSheet): readonly Targets[] {
  const wanted = new Map(
    sheet.riders.map((rider) => [rider.id, setupsToPractise(sheet, rider)] as const),
  );
  const most = Math.max(0, ...[...wanted.values()].map((setups) => setups.length));
  return Array.from({ length: most }, (_, i) => targetsAt(wanted, i));
}

function who(targets: Targets): string {
  return [...targets].map(([rider, setup]) => `${rider} on ${setup}`).join(", ");
}

function swapping(what: string, minutes: number): string {
  return minutes > 0 ? `swap (${String(Math.round(minutes * 10) / 10)} min), ${what}` : what;
}

function clock(minutes: number): string {
  const whole = Math.round(minutes);
  return `${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, "0")}`;
}
