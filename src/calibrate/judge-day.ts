// What a simulated day's verdicts are worth, the truth being known; called by ride-block.ts.
import { riderStanding } from "../advisor/rider-standing.ts";
import type { ComparisonInput, Verdict } from "../domain/comparison.ts";
import type { SetupId } from "../domain/session.ts";
import { compareRiders } from "../stats/compare.ts";
import { afterRuns } from "../stats/counted-runs.ts";
import type { Subject } from "../stats/replay.ts";
import { verdictsAtEveryLook } from "./every-look.ts";
import type { RiddenDay } from "./ride-day.ts";
import { noteForecast, type Tally } from "./tally.ts";
import type { Trial } from "./trial.ts";

/**
 * Adds a day to the counts.
 *
 * @param differenceS - true difference of the trial's candidate, s; of every other set-up 0
 */
export function judgeDay(
  trial: Trial,
  promised: Subject,
  day: RiddenDay,
  differenceS: number,
  tally: Tally,
): void {
  const { input, spent } = day;
  const { marginS } = input.settings;
  const looks = verdictsAtEveryLook(promised, input, trial.rider);
  const truths = promised.pairs.map((pair) => truthOf(trial.candidate, pair, differenceS));
  const isAt = (holds: (verdict: Verdict, truthS: number) => boolean): boolean =>
    looks.some((verdicts) => verdicts.some((verdict, p) => holds(verdict, truths[p] ?? 0)));
  tally.days += 1;
  tally.called += Number(isAt((verdict) => isDifference(verdict)));
  tally.wrong += Number(isAt((verdict, truthS) => isWrong(verdict, truthS, marginS)));
  tally.noDifference += Number(isAt((verdict) => verdict === "no-difference"));
  const decided = decidedAt(trial, input, looks) ?? looks.length;
  const until = spent[decided - 1];
  tally.runs += decided;
  tally.swaps += until?.swaps ?? 0;
  tally.minutes += until?.minutes ?? 0;
  for (const forecast of tally.forecasts) {
    if (looks.length <= forecast.atRun) continue;
    const then = compareRiders(afterRuns(input, forecast.atRun))[0]?.parts[0]?.pairs;
    const p = promised.pairs.findIndex((pair) => pair.candidate === trial.candidate);
    const { chance_within_plan: chance = null, more_runs: more = null } =
      then?.find((pair) => pair.setup === trial.candidate) ?? {};
    if (chance === null) continue;
    const later = looks.slice(forecast.atRun).findIndex((verdicts) => isVerdict(verdicts[p]));
    noteForecast(forecast, chance, later >= 0);
    if (more === null) continue;
    forecast.named += 1;
    forecast.cameTrue += Number(later >= 0 && later + 1 <= more);
  }
}

/** A pair's true difference, s. */
function truthOf(
  candidate: SetupId,
  pair: { readonly candidate: SetupId; readonly baseline: SetupId },
  differenceS: number,
): number {
  return pair.candidate === candidate ? differenceS : 0;
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

/**
 * Counted runs at which the rider could have stopped: every set-up has a verdict against the leader.
 * With two set-ups that is the pair's own first verdict. With more, the leader or everybody has a
 * verdict against the baseline then, so looks without any verdict need not be asked.
 */
function decidedAt(
  trial: Trial,
  input: ComparisonInput,
  looks: readonly (readonly Verdict[])[],
): number | undefined {
  if (input.setups.length === 2) {
    const first = looks.findIndex((verdicts) => verdicts.some(isVerdict));
    return first < 0 ? undefined : first + 1;
  }
  const first = looks.findIndex(
    (verdicts, i) =>
      verdicts.some(isVerdict) &&
      riderStanding(afterRuns(input, i + 1), trial.rider)?.isDecided === true,
  );
  return first < 0 ? undefined : first + 1;
}
