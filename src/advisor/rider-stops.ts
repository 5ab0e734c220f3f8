// Why a rider had better not be sent again just now: tired or unsafe, or held after a crash; called by
// next-setup.ts, next-rider.ts and whoever asks the rider.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Measure } from "../domain/happening.ts";
import {
  BIKE_CHECKED_KEY,
  EXERTION_KEY,
  HEAD_KNOCK_KEY,
  RIDES_ON_KEY,
} from "../domain/measure-keys.ts";
import type { Run } from "../domain/run.ts";
import type { Rider, RiderId } from "../domain/session.ts";
import { voidCause } from "../domain/void-reason.ts";
import { slowingOf } from "./rider-slowing.ts";
import { runsToday } from "./time-left.ts";

/** What stops are read from. */
export type StopBasis = Pick<
  ComparisonInput,
  "runs" | "setups" | "incidents" | "measures" | "hours" | "settings"
>;

export type StopKind =
  | "slower"
  | "mistakes"
  | "exertion"
  | "most-runs"
  | "bike-not-checked"
  | "head-knock";

export interface RiderStop {
  readonly rider: RiderId;
  readonly kind: StopKind;
  /**
   * `ask`: answered by a measure `rides_on` of the rider with the kind for its value. `hold`: no
   * answer of the rider ends it; a bike is checked (`bike_checked`), a knock to the head holds all day.
   */
  readonly level: "ask" | "hold";
  /** Without a full stop; only numbers are put in. */
  readonly sentence: string;
}

const LAST_RUNS = 3;
const MISTAKES = 2;
const MISTAKE_KINDS: readonly string[] = ["mistake", "dab", "near-miss"];
/** On a scale of 0 to 10. */
const EXERTION_RISE = 2;
/** chosen: a single one before is as likely to be the odd one. */
const FEWEST_EXERTIONS = 2;
/** chosen: half a day; it begins anew after a pause of an hour, which is a lunch break. */
const HALF_DAY_US = 5 * 3600e6;
const PAUSE_US = 3600e6;

const TIRED = "tired or unsafe? stop or break";

/**
 * The stops that stand for a rider, holds first: on the newest day, and not answered since.
 *
 * Slower over the last four counted runs (see `slowingOf`; an answer holds until four more are
 * ridden); two mistakes, dabs or near misses in the last three runs; exertion up by 2 on the mean of
 * the runs before; the most runs of half a day; a crash without a check of the bike
 * since; a knock to the head. Runs without times of the clock, as imported, stop nobody by themselves: nobody
 * can say whether an answer came after them.
 */
export function riderStops(input: StopBasis, { id }: Pick<Rider, "id">): readonly RiderStop[] {
  const holds = riderHolds(input, id);
  const asks = [slower, mistakes, exertion, mostRuns].flatMap((find) => {
    const cause = find(input, id);
    if (cause === null || isAnswered(input, id, cause)) return [];
    const { kind, why } = cause;
    return [{ rider: id, kind, level: "ask" as const, sentence: `${TIRED}: ${why}` }];
  });
  return [...holds, ...asks];
}

/** Those of them that no answer of the rider ends. */
export function riderHolds(input: StopBasis, rider: RiderId): readonly RiderStop[] {
  const hold = (kind: StopKind, sentence: string): RiderStop => ({
    rider,
    kind,
    level: "hold",
    sentence,
  });
  const stops: RiderStop[] = [];
  const own = measuresToday(input, rider);
  if (own.some(({ key }) => key === HEAD_KNOCK_KEY)) {
    stops.push(hold("head-knock", "knock to the head: no more riding today, see a doctor"));
  }
  const crashed = runsToday(input).findLast((run) => run.rider === rider && isCrash(input, run));
  const at = crashed === undefined ? null : clockOf(crashed);
  if (at === null) return stops;
  if (!own.some((measure) => measure.key === BIKE_CHECKED_KEY && measure.at > at)) {
    stops.push(hold("bike-not-checked", "crash: this bike is held until it has been checked"));
  }
  return stops;
}

/** A reason to ask, and the moment after which an answer holds. */
interface Cause {
  readonly kind: StopKind;
  readonly why: string;
  readonly after: number;
}

function slower(input: StopBasis, rider: RiderId): Cause | null {
  const found = slowingOf(input, rider);
  if (found === null || clockOf(found.last) === null) return null;
  const after = clockOf(found.first);
  if (after === null) return null;
  const why = `the last 4 runs were ${found.slowerS.toFixed(1)} s slower than those before`;
  return { kind: "slower", why, after };
}

function mistakes(input: StopBasis, rider: RiderId): Cause | null {
  const last = runsToday(input)
    .filter((run) => run.rider === rider && run.status !== "on-course")
    .slice(-LAST_RUNS);
  const of = (run: Run): number =>
    input.incidents.filter((i) => i.runId === run.runId && MISTAKE_KINDS.includes(i.kind)).length;
  const count = last.reduce((sum, run) => sum + of(run), 0);
  const latest = last.findLast((run) => of(run) > 0);
  const after = latest === undefined ? null : clockOf(latest);
  if (count < MISTAKES || after === null) return null;
  const why = `${String(count)} mistakes in the last ${String(last.length)} runs`;
  return { kind: "mistakes", why, after };
}

function exertion(input: StopBasis, rider: RiderId): Cause | null {
  const told = exertionsOf(measuresToday(input, rider));
  const last = told.at(-1);
  const before = told.slice(0, -1);
  if (last === undefined || before.length < FEWEST_EXERTIONS) return null;
  const mean = before.reduce((sum, each) => sum + each.value, 0) / before.length;
  if (last.value - mean < EXERTION_RISE) return null;
  const why = `exertion ${figure(last.value)} after ${figure(mean)} on the runs before`;
  return { kind: "exertion", why, after: last.at };
}

function mostRuns(input: StopBasis, rider: RiderId): Cause | null {
  const most = input.hours.mostRunsHalfDay;
  if (most === null) return null;
  const starts = runsToday(input).filter((run) => run.rider === rider && run.startedAt !== null);
  const last = starts.at(-1);
  const lastStart = last?.startedAt ?? null;
  const after = last === undefined ? null : clockOf(last);
  if (lastStart === null || after === null) return null;
  const pause = starts.findLastIndex((run, i) => {
    const before = starts[i - 1];
    const back = before === undefined ? null : clockOf(before);
    return back !== null && (run.startedAt ?? 0) - back >= PAUSE_US;
  });
  const since = starts.slice(Math.max(0, pause));
  const count = since.filter((run) => lastStart - (run.startedAt ?? 0) < HALF_DAY_US).length;
  if (count < most) return null;
  const why = `${String(count)} runs in half a day, the most is ${String(most)}`;
  return { kind: "most-runs", why, after };
}

/** What a rider said of each run's exertion, the last word on each, in the order in which it was said. */
export function exertionsOf(
  measures: readonly Measure[],
): readonly { readonly runId: string | null; readonly value: number; readonly at: number }[] {
  const told = measures.flatMap(({ key, value, runId, at }) =>
    key === EXERTION_KEY && typeof value === "number" ? [{ runId, value, at }] : [],
  );
  return told.filter(
    ({ runId }, i) => runId === null || !told.slice(i + 1).some((later) => later.runId === runId),
  );
}

/** A rider's measures of the newest day: of its runs, or taken nearer to it than to the day before. */
function measuresToday(input: StopBasis, rider: RiderId): readonly Measure[] {
  if (input.measures.length === 0) return [];
  const today = runsToday(input);
  const begun = dayBegun(input, today);
  return input.measures.filter((measure) => {
    const run = input.runs.find(({ runId }) => runId === measure.runId);
    if ((measure.rider ?? run?.rider) !== rider) return false;
    return run === undefined ? measure.at > begun : today.includes(run);
  });
}

/** Half-way between the last run of the days before and the first of the newest one. */
function dayBegun({ runs }: StopBasis, today: readonly Run[]): number {
  const day = today[0]?.day;
  const before = runs.flatMap((run) => (run.day === day ? [] : (clockOf(run) ?? [])));
  const first = today.find((run) => run.startedAt !== null)?.startedAt ?? null;
  const last = before.reduce((latest, at) => Math.max(latest, at), Number.NEGATIVE_INFINITY);
  return first === null ? last : (last + first) / 2;
}

function isAnswered(input: StopBasis, rider: RiderId, { kind, after }: Cause): boolean {
  return measuresToday(input, rider).some(
    (measure) => measure.key === RIDES_ON_KEY && measure.value === kind && measure.at > after,
  );
}

function isCrash({ incidents }: StopBasis, run: Run): boolean {
  const isStruckOutForIt = run.status === "void" || run.status === "dnf";
  return (
    incidents.some((each) => each.runId === run.runId && each.kind === "crash") ||
    (isStruckOutForIt && voidCause(run.reason) === "crash")
  );
}

/** When a run was over, or else begun; null: not told by a clock. */
function clockOf({ finishedAt, startedAt }: Run): number | null {
  return finishedAt ?? startedAt;
}

function figure(value: number): string {
  return String(Math.round(value * 10) / 10);
}
