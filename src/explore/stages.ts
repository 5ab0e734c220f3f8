// How the runs of a day are laid out: one setting, two on a grid, or two one after the other; called
// by explore.ts.
import type { ExploringPhase, TriedRun } from "../domain/exploration.ts";
import type { DriftModel } from "../domain/session.ts";
import { driftTerms } from "../stats/design.ts";
import { item } from "../stats/entry.ts";
import { bestValues } from "./best-values.ts";
import { type CurveFit, fitCurve } from "./curve-fit.ts";
import {
  AT_LIMITS,
  gridOf,
  INSIDE_LIMITS,
  type NextValues,
  nextValues,
  openingOf,
  roundBest,
} from "./next-values.ts";
import type { Scale } from "./scale.ts";

/** Fewest planned runs for a grid of two settings: nine places, out and back. */
const GRID_RUNS = 18;
/** Runs of the opening of one setting. */
export const OPENING_RUNS = 6;

/** One setting; two at once; two one after the other. */
type Way = "one" | "grid" | "in-turn";

/** What the rules of a day need to know of it. */
export interface Day {
  readonly scales: readonly Scale[];
  readonly way: Way;
  readonly plannedRuns: number | null;
  readonly seed: number;
  readonly drift: DriftModel;
}

/**
 * chosen: below 18 runs the fit with the product of both has too little left to judge by; the test
 * of the regret of two settings holds both ways.
 */
export function wayOf(settings: number, plannedRuns: number | null): Way {
  if (settings < 2) return "one";
  return plannedRuns === null || plannedRuns >= GRID_RUNS ? "grid" : "in-turn";
}

/** Counted runs that a first curve takes: its coefficients and one to judge it by. */
export function runsForCurve({ way, drift }: Day): number {
  return 1 + driftTerms(drift) + (way === "grid" ? 5 : 2) + 1;
}

/** The fit of a day's runs. */
export function fitOf(day: Day, runs: readonly TriedRun[]): CurveFit | null {
  return fitCurve(day.scales, runs, day.drift, day.way === "grid");
}

/** A run to ride, and the part of the day that it belongs to. */
export interface StagedValues extends NextValues {
  readonly phase: ExploringPhase;
  /** Runs that were planned first in this part. */
  readonly of: number;
  /** The setting that is varied, from 0; null on the grid. */
  readonly varied: number | null;
}

/** What to ride next, the number of planned runs left aside. */
export function stagedValues(day: Day, runs: readonly TriedRun[]): StagedValues {
  if (day.way === "grid") return onGrid(day, runs);
  const held = day.scales.map((scale) => scale.held);
  const first = day.way === "one" ? Number.POSITIVE_INFINITY : firstRuns(day.plannedRuns ?? 0);
  if (runs.length < first) return alongOne(day, runs, 0, 0, held);
  return alongOne(day, runs, first, 1, heldValues(day, runs.slice(0, first)));
}

/**
 * Runs on the first of two settings tried in turn: half of them, whole pairs, at least an opening.
 */
function firstRuns(plannedRuns: number): number {
  return Math.max(OPENING_RUNS, 2 * Math.round(plannedRuns / 4));
}

/**
 * The first setting at its fitted best, the second at present. chosen: also while its gain is not
 * clear, which after half the runs it hardly ever is; held at the present value, 12 runs lose .34
 * spreads instead of .23 where the settings interact. The test of the regret holds it.
 */
function heldValues(day: Day, runs: readonly TriedRun[]): readonly number[] {
  const fit = fitOf(day, runs);
  const held = day.scales.map((scale) => scale.held);
  return fit === null || !item(fit.isKnown, 0)
    ? held
    : [item(bestValues(fit), 0), ...held.slice(1)];
}

/** The opening of one setting, then pairs round its best, the other held. */
function alongOne(
  day: Day,
  runs: readonly TriedRun[],
  from: number,
  varied: number,
  held: readonly number[],
): StagedValues {
  const scale = item(day.scales, varied);
  const at = (value: number): readonly number[] =>
    held.map((own, i) => (i === varied ? value : own));
  const shares = day.way === "one" ? INSIDE_LIMITS : AT_LIMITS;
  const opening = openingOf(scale, shares, day.seed + varied);
  const next = nextValues(day.scales, opening.map(at), runs.slice(from), (soFar, before) => {
    const fit = fitOf(day, [...runs.slice(0, from), ...soFar]);
    if (fit === null || !item(fit.isKnown, varied)) {
      return [at(item(opening, before % opening.length))];
    }
    const best = item(bestValues(fit), varied);
    return roundBest(scale, best, soFar.length, pairSeed(day, before), false).map(at);
  });
  return {
    ...next,
    phase: next.place === null ? "narrowing" : "opening",
    of: opening.length,
    varied,
  };
}

/** The grid, then the best of both and values either side of it, in one setting at a time. */
function onGrid(day: Day, runs: readonly TriedRun[]): StagedValues {
  const grid = gridOf(day.scales, day.seed);
  let varied: number | null = null;
  const next = nextValues(day.scales, grid, runs, (soFar, before) => {
    const fit = fitOf(day, soFar);
    if (fit === null) return [item(grid, before % grid.length)];
    const best = bestValues(fit);
    // The second setting first: it is the cheaper one to change.
    const own = 1 - (before % 2);
    varied = own;
    const scale = item(day.scales, own);
    const values = roundBest(scale, item(best, own), soFar.length, pairSeed(day, before), true);
    return values.map((value) => best.map((each, i) => (i === own ? value : each)));
  });
  const phase = next.place === null ? "narrowing" : "grid";
  return { ...next, phase, of: grid.length, varied: next.place === null ? varied : null };
}

/** Another draw for each group of a day. */
function pairSeed(day: Day, before: number): number {
  return day.seed + 1000 * (before + 1);
}
