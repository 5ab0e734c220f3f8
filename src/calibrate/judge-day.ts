// What a simulated day's verdicts are worth, the truth being known; called by ride-block.ts.
import type { Verdict } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import { compareRiders } from "../stats/compare.ts";
import { afterRuns, sortedRuns } from "../stats/counted-runs.ts";
import type { Subject } from "../stats/replay.ts";
import { FEWEST_RIDERS } from "../stats/together.ts";
import { verdictsAtEveryLook } from "./every-look.ts";
import type { Promises } from "./promises.ts";
import type { Decision, RiderDay } from "./rider-day.ts";
import { noteForecast, type Tally, type VerdictTally } from "./tally.ts";
import type { Trial } from "./trial.ts";
import { pairTruth, type TrueDifference } from "./true-difference.ts";

/**
 * Adds a day to the counts.
 *
 * @param riders - their days, in the sheet's order; the first one's own comparison is judged
 * @param truth - what really differed
 */
export function judgeDay(
  trial: Trial,
  promises: Promises,
  riders: readonly RiderDay[],
  truth: TrueDifference,
  tally: Tally,
): void {
  const [day] = riders;
  if (day === undefined) throw new RangeError("somebody rides");
  const { marginS } = trial.sheet.settings;
  const { subject } = promises.toRider(day.rider, null);
  const truths = truthsOf(trial, subject, truth);
  tally.days += 1;
  noteVerdicts(tally, day.looks, truths, marginS);
  if (riders.length >= FEWEST_RIDERS) {
    const all = togetherSubject(promises, riders);
    const own = truthsOf(trial, all, truth);
    noteVerdicts(tally.together, verdictsAtEveryLook(all), own, marginS);
  }
  if (day.decision !== null) {
    const isRight = isRightDecision(day.decision, truth, trial.spreadS, marginS);
    tally.decided += Number(isRight);
    tally.decidedWrong += Number(!isRight);
  }
  const decided = day.decidedAt ?? day.counted;
  const until = day.spent[decided - 1];
  tally.runs += decided;
  tally.swaps += until?.swaps ?? 0;
  tally.minutes += until?.minutes ?? 0;
  judgeForecasts(trial, day, subject, tally);
}

function judgeForecasts(trial: Trial, day: RiderDay, { pairs }: Subject, tally: Tally): void {
  const p = pairs.findIndex((pair) => pair.candidate === trial.candidate);
  for (const forecast of tally.forecasts) {
    if (day.counted <= forecast.atRun) continue;
    const alone = { ...day.input, riders: [day.rider] };
    const then = compareRiders(afterRuns(alone, forecast.atRun))[0]?.parts[0]?.pairs;
    const { chance_within_plan: chance = null, more_runs: more = null } =
      then?.find((pair) => pair.setup === trial.candidate) ?? {};
    if (chance === null) continue;
    const later = day.looks.slice(forecast.atRun).findIndex((verdicts) => isVerdict(verdicts[p]));
    noteForecast(forecast, chance, later >= 0);
    if (more === null) continue;
    forecast.named += 1;
    forecast.cameTrue += Number(later >= 0 && later + 1 <= more);
  }
}

/** All riders' runs in the order in which they were ridden. */
export function runsInTurn(riders: readonly RiderDay[]): readonly Run[] {
  const turns = Math.max(...riders.map((day) => day.runs.length));
  return Array.from({ length: turns }, (_, turn) =>
    riders.flatMap((day) => day.runs[turn] ?? []),
  ).flat();
}

/** All riders' counted runs, with what was promised to all. */
export function togetherSubject(promises: Promises, riders: readonly RiderDay[]): Subject {
  const [first] = riders;
  if (first === undefined) throw new RangeError("somebody rides");
  const ids = riders.map((day) => day.rider.id);
  const { counted } = sortedRuns({ ...first.input, runs: runsInTurn(riders) }, ids);
  const ends = riders.flatMap((day) => day.end ?? []);
  return { ...promises.toAll(ends), runs: counted };
}

/**
 * Whether nothing that a decision says of the leader is wrong: without a margin, that the leader is
 * quicker than every other set-up.
 */
function isRightDecision(
  { leader, others }: Decision,
  truth: TrueDifference,
  spreadS: number,
  marginS: number | null,
): boolean {
  return others.every(
    ({ setup, verdict }) => !isWrong(verdict, spreadS * pairTruth(truth, setup, leader), marginS),
  );
}

/** Of the pairs, s. */
function truthsOf(
  { spreadS }: Trial,
  { pairs }: Subject,
  truth: TrueDifference,
): readonly number[] {
  return pairs.map(({ candidate, baseline }) => spreadS * pairTruth(truth, candidate, baseline));
}

function noteVerdicts(
  into: VerdictTally,
  looks: readonly (readonly Verdict[])[],
  truths: readonly number[],
  marginS: number | null,
): void {
  const isAt = (holds: (verdict: Verdict, truthS: number) => boolean): boolean =>
    looks.some((verdicts) => verdicts.some((verdict, p) => holds(verdict, truths[p] ?? 0)));
  into.called += Number(isAt(isDifference));
  into.wrong += Number(isAt((verdict, truthS) => isWrong(verdict, truthS, marginS)));
  into.noDifference += Number(isAt((verdict) => verdict === "no-difference"));
}

/**
 * Whether a verdict is wrong: a difference where there is none or the other way, or "no difference
 * worth having" where there is one of the margin or more.
 */
export function isWrong(verdict: Verdict, truthS: number, marginS: number | null): boolean {
  switch (verdict) {
    case "quicker":
      return truthS >= 0;
    case "slower":
      return truthS <= 0;
    case "no-difference":
      return marginS !== null && Math.abs(truthS) >= marginS;
    case "cannot-tell":
      return false;
  }
}

function isDifference(verdict: Verdict): boolean {
  return verdict === "quicker" || verdict === "slower";
}

function isVerdict(verdict: Verdict | undefined): boolean {
  return verdict !== undefined && verdict !== "cannot-tell";
}
