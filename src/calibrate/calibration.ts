// The answer as `calibrate --json` prints it, made from the counts; the field names are the JSON's
// own: scripts outside rely on them. Called by the command line.

import { FEWEST_RIDERS } from "../stats/together.ts";
import { type Cell, cellsOf } from "./cell.ts";
import { forecastRuns } from "./ride-block.ts";
import { type ForecastTally, sumOf, type Tally } from "./tally.ts";
import { runsOf, type Trial } from "./trial.ts";

export interface CalibrationCell {
  readonly drift: string;
  readonly spread_ratio: number;
  readonly setup_learning_spreads: number;
  /** Share of runs. */
  readonly mistakes: number;
  readonly effect_spreads: number;
  /** Share of days on which a difference was called at any look. */
  readonly called: number;
  /** Its simulation error. */
  readonly called_se: number;
  /** Share of days with any wrong verdict at any look. */
  readonly wrong: number;
  readonly no_difference: number;
  /** Share of days decided, at the first look that decided them, the true best leading. */
  readonly decided: number;
  /** Share of days decided otherwise: with another leader, or where nothing differs. */
  readonly decided_wrong: number;
  /** Counted runs up to the decision, or to the end of the day. */
  readonly mean_runs: number;
  readonly mean_swaps: number;
  /** Laps and swaps up to there; null without a lap time. */
  readonly mean_minutes: number | null;
  /** The same days judged by all riders together; left out for fewer than three. */
  readonly together?: {
    readonly called: number;
    readonly called_se: number;
    readonly wrong: number;
    readonly no_difference: number;
  };
}

/**
 * Days whose step of the ground is marked, that end otherwise, or on which another set-up scatters
 * differently.
 */
export interface CellBeside extends CalibrationCell {
  /** Set-up whose spread is `spread_ratio` times that of the others. */
  readonly odd_setup: string;
  readonly ending: string;
  /** The operator marked the step of the ground when it happened. */
  readonly ground_marked: boolean;
}

interface CalibrationForecast {
  /** Counted runs after which it was made. */
  readonly at_run: number;
  /** Mean chance given of a verdict within the plan. */
  readonly predicted: number;
  /** Share of days on which it came. */
  readonly observed: number;
  readonly days: number;
}

/** Of the forecasts that named a number of runs. */
interface NamedRuns {
  readonly at_run: number;
  readonly days: number;
  /** Share of days on which the verdict had come by then. */
  readonly came_true: number;
}

export interface Calibration {
  readonly format: "swaplap-calibration";
  readonly version: 1;
  /** Of each cell. */
  readonly days: number;
  readonly seed: number;
  /** What was simulated. */
  readonly plan: {
    readonly setups: readonly string[];
    readonly baseline: string;
    /** The set-up that differs. */
    readonly candidate: string;
    readonly rider: string;
    readonly riders: number;
    readonly days: number;
    readonly new_to: readonly string[];
    readonly runs: number;
    readonly drift: string;
    readonly bands: string;
    readonly spreads: string;
    readonly confidence: number;
    readonly margin_s: number | null;
    readonly spread_s: number;
    readonly lap_minutes: number | null;
    readonly minutes: number | null;
    readonly order: string;
    /** Which kinds of day. */
    readonly kinds: string;
    readonly notes: readonly string[];
    readonly named_runs: readonly NamedRuns[];
  };
  readonly cells: readonly CalibrationCell[];
  readonly beside: readonly CellBeside[];
  readonly forecast: readonly CalibrationForecast[];
}

/**
 * The answer.
 *
 * @param tallies - of `cellsOf`, in its order, each of the same number of days, at least one
 */
export function calibrationOf(trial: Trial, seed: number, tallies: readonly Tally[]): Calibration {
  const { settings, setups, riders } = trial.sheet;
  const cells = cellsOf(trial).flatMap((cell, i) => {
    const tally = tallies[i];
    return tally === undefined ? [] : [{ cell, row: cellOf(trial, cell, tally) }];
  });
  const { forecasts } = sumOf(tallies, forecastRuns(trial));
  return {
    format: "swaplap-calibration",
    version: 1,
    days: tallies[0]?.days ?? 0,
    seed,
    plan: {
      setups: setups.map((setup) => setup.id),
      baseline: (setups.find((setup) => setup.baseline) ?? setups[0])?.id ?? "",
      candidate: trial.candidate,
      rider: trial.rider.id,
      riders: riders.length,
      days: settings.days,
      new_to: trial.rider.newTo,
      runs: runsOf(trial, trial.rider),
      drift: settings.drift,
      bands: settings.bands,
      spreads: settings.spreads,
      confidence: settings.confidence,
      margin_s: settings.marginS,
      spread_s: trial.spreadS,
      lap_minutes: settings.lapMinutes,
      minutes: settings.minutes,
      order: trial.order,
      kinds: trial.kinds,
      notes: trial.notes,
      named_runs: forecasts.flatMap(({ atRun, named, cameTrue }) =>
        named === 0 ? [] : [{ at_run: atRun, days: named, came_true: cameTrue / named }],
      ),
    },
    cells: cells.filter(({ cell }) => isMain(cell)).map(({ row }) => row),
    beside: cells
      .filter(({ cell }) => !isMain(cell))
      .map(({ cell, row }) => ({
        ...row,
        odd_setup: cell.odd === "candidate" ? trial.candidate : trial.baseline,
        ending: cell.ending,
        ground_marked: cell.isMarked,
      })),
    forecast: forecasts.flatMap(forecastRows),
  };
}

/**
 * One of the contract's cells: the candidate is the odd one, and more scattered; the plan is ridden;
 * nobody marks the ground.
 */
function isMain({ odd, ending, spreadRatio, isMarked }: Cell): boolean {
  return odd === "candidate" && ending === "planned" && spreadRatio >= 1 && !isMarked;
}

function cellOf(trial: Trial, cell: Cell, tally: Tally): CalibrationCell {
  const isTimed = trial.sheet.settings.lapMinutes !== null;
  const { days, together } = tally;
  const called = tally.called / days;
  return {
    drift: cell.drift,
    spread_ratio: cell.spreadRatio,
    setup_learning_spreads: cell.setupLearning,
    mistakes: cell.mistakes,
    effect_spreads: cell.effect,
    called,
    called_se: shareError(called, days),
    wrong: tally.wrong / days,
    no_difference: tally.noDifference / days,
    decided: tally.decided / days,
    decided_wrong: tally.decidedWrong / days,
    mean_runs: tally.runs / days,
    mean_swaps: tally.swaps / days,
    mean_minutes: isTimed ? tally.minutes / days : null,
    ...(trial.sheet.riders.length < FEWEST_RIDERS
      ? {}
      : {
          together: {
            called: together.called / days,
            called_se: shareError(together.called / days, days),
            wrong: together.wrong / days,
            no_difference: together.noDifference / days,
          },
        }),
  };
}

function forecastRows({ atRun, bins }: ForecastTally): readonly CalibrationForecast[] {
  return bins
    .filter((bin) => bin.days > 0)
    .map(({ days, predicted, observed }) => ({
      at_run: atRun,
      predicted: predicted / days,
      observed: observed / days,
      days,
    }));
}

/** Standard error of a share counted over so many independent days. */
export function shareError(share: number, days: number): number {
  return Math.sqrt((share * (1 - share)) / days);
}
