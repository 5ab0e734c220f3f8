// Finds the quickest value of one or two settings from the runs at values tried, and says what to
// ride next; called by summarise.

import type { Exploration, TriedRun } from "../domain/exploration.ts";
import type { Explored } from "../domain/explored.ts";
import type { DriftModel } from "../domain/session.ts";
import { item } from "../stats/entry.ts";
import { bestValues, gainOf } from "./best-values.ts";
import { reasonFor } from "./reason.ts";
import { scaleOf } from "./scale.ts";
import { foundSetting, unknownSetting } from "./setting-curve.ts";
import { type Day, fitOf, stagedValues, wayOf } from "./stages.ts";
import { wordsOf } from "./words.ts";

/**
 * What the runs say of the settings, and the values to ride next. The same for the same runs in any
 * order of the list: `k` is what counts.
 *
 * @param present - values on the bike before anything was tried, in the sheet's order
 * @param tried - counted runs, k from 1; at any values
 * @param options - plannedRuns null: no number was planned; seed: the session's
 * @throws {RangeError} if a run or the present set-up lacks a value of an explored setting
 */
export function explore(
  explored: Explored,
  present: readonly number[],
  tried: readonly TriedRun[],
  options: {
    readonly plannedRuns: number | null;
    readonly seed: number;
    readonly drift: DriftModel;
  },
): Exploration {
  const scales = explored.settings.map((setting, i) => scaleOf(setting, item(present, i)));
  const way = wayOf(scales.length, options.plannedRuns);
  const day: Day = { scales, way, ...options };
  const runs = tried.toSorted((a, b) => a.k - b.k);
  const fit = fitOf(day, runs);
  const best = fit && bestValues(fit);
  const gain = fit && best && gainOf(fit, best);
  const isDone = options.plannedRuns !== null && runs.length >= options.plannedRuns;
  const next = isDone ? null : stagedValues(day, runs);
  const known = {
    runs: runs.length,
    plannedRuns: options.plannedRuns,
    settings: scales.map((scale, i) =>
      fit && best ? foundSetting(fit, i, best) : unknownSetting(scale),
    ),
    spreadS: fit?.spreadS ?? null,
    df: fit?.df ?? null,
    gainS: gain?.timeS ?? null,
    gainErrorS: gain && fit.spreadS > 0 ? gain.errorS : null,
    isKept: gain?.isKept ?? true,
  };
  return {
    ...known,
    phase: next?.phase ?? "done",
    next: next?.values ?? null,
    because: reasonFor(day, known, next),
    words: wordsOf(day, known, fit),
  };
}
