// Whether a rider is up to speed, from the laps before the first run that counts; called by
// next-setup.ts. What is still to be learnt at run 1 costs power, not honesty: it need not be strict.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { RiderId } from "../domain/session.ts";

/** Fewest laps, and those that the fall is judged over. */
const FEWEST_LAPS = 4;
/**
 * Laps after which to begin anyway. chosen: who still learns then needs a day;
 * test/advisor/warm-up.test.ts.
 */
const MOST_LAPS = 8;
/**
 * Fall over the last four laps that is still up to speed, in run-to-run spreads. chosen: a rider who
 * has nothing to learn is kept for 4.2 laps on average; test/advisor/warm-up.test.ts holds the rates.
 */
const MOST_FALL = 1.5;

/** How far the warm-up has come. */
export interface WarmUpState {
  /** Timed warm-up laps. */
  readonly laps: number;
  /** From the first to the last of the last four laps, on the line through them, s; null below four. */
  readonly fallS: number | null;
  /** A third of it: what every lap still finds, s; below 0: the laps get slower. */
  readonly perRunS: number | null;
  /** Largest fall that is still up to speed, s; null: no usual spread is known. */
  readonly limitS: number | null;
  /** Laps enough and no more than that to find; without a known spread laps enough. */
  readonly isSettled: boolean;
  /** Settled, or so many laps that waiting on is pointless. */
  readonly isOver: boolean;
}

/**
 * The state of a warm-up: settled with at least four laps and a fall over the last four of at most
 * 1.5 spreads, on one side only (who gets slower is tiring, which the session drift allows for); over
 * after eight laps in any case.
 *
 * The line is that of least squares through places 1 to 4: slope = sum of (i - 2.5) y_i / 5.
 *
 * @param timesS - the warm-up laps in order, s
 * @param sigma0S - the rider's usual run-to-run spread, s; null: not known, and the warm-up itself,
 *   which has a trend, is no judge of it
 */
export function warmUpState(timesS: readonly number[], sigma0S: number | null): WarmUpState {
  const laps = timesS.length;
  const last = timesS.slice(-FEWEST_LAPS);
  const isEnough = laps >= FEWEST_LAPS;
  const slope = last.reduce((sum, y, i) => sum + (i - 1.5) * y, 0) / 5;
  const fallS = isEnough ? -3 * slope : null;
  const limitS = sigma0S === null ? null : MOST_FALL * sigma0S;
  const isSettled = fallS !== null && (limitS === null || fallS <= limitS);
  return {
    laps,
    fallS,
    perRunS: fallS === null ? null : fallS / 3,
    limitS,
    isSettled,
    isOver: isSettled || laps >= MOST_LAPS,
  };
}

/**
 * The warm-up of a rider on the newest day: every timed warm-up lap, on whatever set-up, practice
 * among them.
 *
 * @returns null once the rider has begun to be compared that day, or rode before that
 */
export function warmUpToday(input: ComparisonInput, rider: RiderId): WarmUpState | null {
  if (input.isWarm === true) return null;
  const day = input.runs.reduce((newest, run) => Math.max(newest, run.day), 0);
  const own = input.runs.filter((run) => run.rider === rider && run.day === day);
  if (own.some((run) => run.k !== null)) return null;
  const timesS = own.flatMap(({ status, timeS }) =>
    status === "warm-up" && timeS !== null ? [timeS] : [],
  );
  return warmUpState(timesS, input.settings.spreadS);
}

/** What the words need to know of the rest of the suggestion. */
export interface AfterWarmUp {
  readonly mounted: string | null;
  /** What is suggested after the warm-up. */
  readonly setup: string;
  /** `practice run 2 of 3 on B`; null: none is due. */
  readonly practice: string | null;
  /** Why that is suggested, for when the warm-up is over. */
  readonly reason: string;
  /** Whether the plan is long enough for `learning` to help, and has another drift. */
  readonly isLearningOffered: boolean;
}

/** The line of the suggestion with the warm-up in it. Only ids of set-ups and numbers go in. */
export function warmUpWords(state: WarmUpState, after: AfterWarmUp): string {
  const { practice, mounted, setup, reason } = after;
  if (state.isOver) return practice === null ? overWords(state, after) : reason;
  // Practice on what is on the bike is a warm-up lap too.
  if (practice !== null && setup === mounted) return `${reason}; ${lapWords(state)}`;
  const head = headWords(state, mounted === null ? "" : ` on ${mounted}`);
  return practice === null && setup === mounted ? head : `${head}; then ${practice ?? setup}`;
}

function headWords(state: WarmUpState, where: string): string {
  const { laps } = state;
  if (laps === 0) {
    return `warm-up first${where}: at least ${String(FEWEST_LAPS)} laps, not counted (w marks them)`;
  }
  if (laps < FEWEST_LAPS) return `${lapWords(state)}${where}, not counted`;
  return `${lapWords(state)}: another warm-up lap${where}`;
}

function lapWords({ laps, perRunS }: WarmUpState): string {
  if (perRunS === null) return `warm-up ${String(laps + 1)} of at least ${String(FEWEST_LAPS)}`;
  return `still finding ${findingWords(perRunS)} a run`;
}

function overWords({ laps, isSettled, limitS, perRunS }: WarmUpState, after: AfterWarmUp): string {
  const done = `${String(laps)} warm-up laps`;
  const { reason } = after;
  if (limitS === null) return `${done}, not judged: name your usual spread (spread_s); ${reason}`;
  if (isSettled) return `up to speed after ${done}; ${reason}`;
  const begin = `${done} and still finding ${findingWords(perRunS ?? 0)} a run: begin anyway`;
  return `${begin}; ${after.isLearningOffered ? 'drift = "learning" may serve better' : reason}`;
}

function findingWords(perRunS: number): string {
  return `${perRunS.toFixed(perRunS < 0.1 ? 2 : 1)} s`;
}
