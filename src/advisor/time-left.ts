// Minutes of the day: what a lap and a swap take, what is used and what is left, from the journal and
// never from the wall clock; called by question.ts, by the rest of riders and by the summary.
import { median } from "simple-statistics";
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import { type RiderId, type SetupId, swapMinutes } from "../domain/session.ts";
import type { RideCosts } from "./suggestion-rule.ts";

/** What minutes are read from. */
export type TimeBasis = Pick<ComparisonInput, "settings" | "runs" | "swaps" | "hours">;

/** Times that something must have taken before their median replaces the sheet's figure. */
const TIMES_TO_TRUST = 3;
/** Minutes beyond lap and swap that are a break and no lap any more. */
export const BREAK_MINUTES = 20;
const US_A_MINUTE = 60e6;

/** From one start of a rider to the next, on one day. */
export interface Interval {
  readonly from: Run;
  readonly to: Run;
  readonly minutes: number;
}

/**
 * Minutes of a lap, a run and the way back up: the running median of the rider's laps today, start
 * to start, once there are three without a swap between; before that of all three or more less the
 * sheet's swaps; else what the sheet says. Breaks are no laps.
 *
 * @returns null if neither is known
 */
export function lapMinutes(input: TimeBasis, rider: RiderId): number | null {
  return costsToday(input, rider).lapMinutes;
}

/**
 * What a ride costs a rider: the lap, and for the swap between two set-ups the running median of
 * what the day's laps with that swap took longer, not below 0, once there are three of them; else
 * what the sheet says. Both ways of a swap are one, unless the sheet gives them different minutes.
 *
 * @param day - of a merged session; by default the newest that was ridden
 */
export function costsToday(input: TimeBasis, rider: RiderId, day = newestDay(input)): RideCosts {
  const sheet = (from: SetupId, to: SetupId): number => swapMinutes(input.swaps, from, to);
  const all = intervalsOf(input, rider, day);
  if (all.length < TIMES_TO_TRUST) {
    return { lapMinutes: input.settings.lapMinutes, swapMinutes: sheet };
  }
  const swapOf = ({ from, to }: Interval): number => sheet(from.setup, to.setup);
  const withoutSwap = (times: readonly Interval[]): readonly number[] =>
    times.map((time) => time.minutes - swapOf(time)).filter((minutes) => minutes > 0);
  const roughly = medianOr(withoutSwap(all), input.settings.lapMinutes);
  if (roughly === null) return { lapMinutes: null, swapMinutes: sheet };
  const isBreak = isPlannedBreak(input, rider, day);
  const ridden = all.filter(
    (time) => time.minutes <= roughly + swapOf(time) + BREAK_MINUTES && !isBreak(time),
  );
  const stays = ridden.filter(({ from, to }) => from.setup === to.setup);
  const lap = medianOr(
    stays.map(({ minutes }) => minutes),
    medianOr(withoutSwap(ridden), input.settings.lapMinutes),
  );
  return { lapMinutes: lap, swapMinutes: swapsTaken(ridden, lap, sheet) };
}

function swapsTaken(
  ridden: readonly Interval[],
  lap: number | null,
  sheet: RideCosts["swapMinutes"],
): RideCosts["swapMinutes"] {
  if (lap === null) return sheet;
  const taken = new Map<string, number[]>();
  const nameOf = (from: SetupId, to: SetupId): string => {
    const isOneWay = sheet(from, to) !== sheet(to, from);
    return (isOneWay ? [from, to] : [from, to].toSorted()).join(" ");
  };
  for (const { from, to, minutes } of ridden) {
    if (from.setup === to.setup) continue;
    const name = nameOf(from.setup, to.setup);
    const times = taken.get(name) ?? [];
    times.push(minutes - lap);
    taken.set(name, times);
  }
  return (from, to) => {
    const minutes = taken.get(nameOf(from, to)) ?? [];
    if (from === to || minutes.length < TIMES_TO_TRUST) return sheet(from, to);
    return Math.max(0, median(minutes));
  };
}

function medianOr(minutes: readonly number[], otherwise: number | null): number | null {
  return minutes.length >= TIMES_TO_TRUST ? median([...minutes]) : otherwise;
}

/** From start to start of a rider on a day, in run order. */
export function intervalsOf(input: TimeBasis, rider: RiderId, day: number): readonly Interval[] {
  const starts = input.runs.filter(
    (run) => run.day === day && run.rider === rider && run.startedAt !== null,
  );
  return starts.slice(1).flatMap((to, i) => {
    const from = starts[i];
    if (from?.startedAt == null || to.startedAt === null) return [];
    const minutes = (to.startedAt - from.startedAt) / US_A_MINUTE;
    return minutes > 0 ? [{ from, to, minutes }] : [];
  });
}

/** Whether a break of the sheet lies between two starts: after so many counted runs, or at its hour. */
function isPlannedBreak(
  { runs, hours, settings }: TimeBasis,
  rider: RiderId,
  day: number,
): (time: Interval) => boolean {
  const counted = runs.filter((r) => r.rider === rider && r.day === day && r.status === "ok");
  const after = new Set(
    hours.breaks.map(({ afterRun }) => (afterRun === null ? undefined : counted[afterRun - 1])),
  );
  const hoursOfBreaks = hours.breaks.flatMap(({ at }) => (at === null ? [] : [at]));
  return ({ from, to }) => {
    if (after.has(from)) return true;
    if (hoursOfBreaks.length === 0) return false;
    const [left, back] = [from, to].map((run) => timeOfDay(run.startedAt ?? 0, settings.zone));
    return hoursOfBreaks.some((at) => left !== undefined && left <= at && at < (back ?? at));
  };
}

/** `09:05` */
function timeOfDay(us: number, timeZone: string): string {
  const format = { hour: "2-digit", minute: "2-digit", timeZone } as const;
  return new Date(us / 1000).toLocaleTimeString("en-GB", format);
}

/**
 * Minutes used today: first start, warm-ups included, to last finish; runs without times count a
 * lap each, and the swaps between them.
 *
 * @param lap - minutes of a lap
 */
export function minutesUsed(input: TimeBasis, lap: number): number {
  const runs = runsToday(input);
  const timed = runs.filter((run) => run.startedAt !== null);
  const first = Math.min(...timed.map((run) => run.startedAt ?? 0));
  const last = Math.max(...timed.map((run) => run.finishedAt ?? run.startedAt ?? 0));
  const measured = timed.length === 0 ? 0 : (last - first) / US_A_MINUTE;
  const untimed = runs.filter((run) => run.startedAt === null);
  return measured + untimed.length * lap + swapsBetween(input, untimed);
}

/**
 * Minutes left of the session's, null if it names none or the lap is not known.
 *
 * @param lap - minutes of a lap, or null
 */
export function minutesLeft(input: TimeBasis, lap: number | null): number | null {
  const { minutes } = input.settings;
  return minutes === null || lap === null ? null : minutes - minutesUsed(input, lap);
}

/** The day of the last run; each day of a merged session has its own hours. */
function newestDay({ runs }: Pick<ComparisonInput, "runs">): number {
  return runs.at(-1)?.day ?? 0;
}

/** Runs of the newest day, in run order. */
export function runsToday(input: Pick<ComparisonInput, "runs">): readonly Run[] {
  const day = newestDay(input);
  return input.runs.filter((run) => run.day === day);
}

function swapsBetween(input: TimeBasis, runs: readonly Run[]): number {
  const mounted = new Map<RiderId, string>();
  let minutes = 0;
  for (const run of runs) {
    const before = mounted.get(run.rider);
    if (before !== undefined) minutes += swapMinutes(input.swaps, before, run.setup);
    mounted.set(run.rider, run.setup);
  }
  return minutes;
}
