// The hours of a planned day, from the first start; called by plan-day.ts.
import type { TimetableLine } from "../domain/plan.ts";
import { type SetupId, swapMinutes } from "../domain/session.ts";
import { type PlanSheet, riderOrder } from "./plan-figures.ts";
import { PRACTICE_RUNS } from "./practice-runs.ts";

/**
 * Warm-up laps before anything else. chosen: fewer leave most riders still learning the stretch;
 * what is left of it costs power, not honesty.
 */
export const WARM_UP_LAPS = 4;

/**
 * Warm-up, practice on what is new, then every run with its swaps; riders ride at the same time and
 * the slowest swap holds all.
 *
 * @param runs - counted runs of each rider
 * @returns empty without a lap time
 */
export function timetableOf(sheet: PlanSheet, runs: number): readonly TimetableLine[] {
  const lap = sheet.settings.lapMinutes;
  if (lap === null || runs === 0) return [];
  const lines: TimetableLine[] = [];
  let minutes = 0;
  const add = (what: string, takes: number): void => {
    lines.push({ at: clock(minutes), what });
    minutes += takes;
  };
  const orders = sheet.riders.map((rider, i) => ({
    rider: rider.id,
    order: riderOrder(sheet, runs, i),
  }));
  add(`warm-up, ${String(WARM_UP_LAPS)} laps`, WARM_UP_LAPS * lap);
  const mounted = new Map(orders.map(({ rider, order }) => [rider, order[0] ?? ""]));
  const swapTo = (targets: ReadonlyMap<string, SetupId>): number => {
    let longest = 0;
    for (const [rider, setup] of targets) {
      longest = Math.max(longest, swapMinutes(sheet.swaps, mounted.get(rider) ?? setup, setup));
      mounted.set(rider, setup);
    }
    return longest;
  };
  const most = Math.max(0, ...sheet.riders.map((rider) => rider.newTo.length));
  for (let i = 0; i < most; i += 1) {
    const targets = new Map(
      sheet.riders.flatMap((rider) => {
        const setup = rider.newTo[i];
        return setup === undefined ? [] : [[rider.id, setup] as const];
      }),
    );
    const swap = swapTo(targets);
    add(swapping(`practice, ${String(PRACTICE_RUNS)} runs: ${who(targets)}`, swap), swap);
    minutes += PRACTICE_RUNS * lap;
  }
  for (let run = 0; run < runs; run += 1) {
    const targets = new Map(orders.map(({ rider, order }) => [rider, order[run] ?? ""]));
    const swap = swapTo(targets);
    const [only] = orders.length === 1 ? [...targets.values()] : [];
    const what = only === undefined ? `: ${who(targets)}` : ` on ${only}`;
    add(swapping(`run ${String(run + 1)}${what}`, swap), swap + lap);
  }
  add("last finish", 0);
  return lines;
}

function who(targets: ReadonlyMap<string, SetupId>): string {
  return [...targets].map(([rider, setup]) => `${rider} on ${setup}`).join(", ");
}

function swapping(what: string, minutes: number): string {
  return minutes > 0 ? `swap (${String(Math.round(minutes * 10) / 10)} min), ${what}` : what;
}

function clock(minutes: number): string {
  const whole = Math.round(minutes);
  return `${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, "0")}`;
}
