// A session that explores: the tried runs, what they say, what goes on the bike next, and both as
// `compare --json` prints them; called by the summary, the commands and the screens.
import { runOnCourse } from "../advisor/next-rider.ts";
import { lapMinutes, minutesLeft } from "../advisor/time-left.ts";
import type { ComparisonInput, Next, RiderComparison, Stop } from "../domain/comparison.ts";
import type { Exploration, TriedRun } from "../domain/exploration.ts";
import type { Explored, ExploredSetting, FoundCheck } from "../domain/explored.ts";
import {
  isInLimits,
  setupOfValues,
  valuesByKey,
  valuesName,
  valuesOf,
} from "../domain/explored-values.ts";
import type { Remark } from "../domain/remark.ts";
import { baselineOf, type Rider } from "../domain/session.ts";
import { explore } from "../explore/explore.ts";
import { type CountedRun, sortedRuns } from "../stats/counted-runs.ts";
import { isOfCheck } from "./found-check.ts";

export { HELP as EXPLORE_HELP } from "../explore/help.ts";

/** What a session explores; `check` null while values are still tried. */
export interface Exploring {
  readonly explored: Explored;
  readonly check: FoundCheck | null;
}

/** The suggestion while values are tried: the set-up is there or would be made. */
interface NextValues extends Next {
  /** By key of the setting; null where no set-up is named. */
  readonly values: Readonly<Record<string, number>> | null;
}

/** The parts of a comparison while values are tried: counts and the suggestion, no pairs. */
export interface ExploredParts {
  readonly riders: readonly RiderComparison[];
  readonly next: NextValues;
  readonly remarks: readonly Remark[];
}

/** Counted runs of the one who explores, those at values inside the limits apart. */
interface SortedTries {
  readonly tried: readonly (CountedRun & { readonly values: readonly number[] })[];
  readonly others: readonly CountedRun[];
}

/**
 * What the tried runs say: all of them, or those before the closing check.
 *
 * A run with a struck-out sector has no time to go by. The words of the trade come last.
 *
 * @returns null while the present set-up has no value inside the limits to compare with
 */
export function explorationOf(input: ComparisonInput, exploring: Exploring): Exploration | null {
  const { settings } = exploring.explored;
  const present = presentValues(input, settings);
  if (present === null) return null;
  const { drift, seed } = input.settings;
  const tried = sortedTries(input, exploring).tried.map(
    ({ k, values, timeS }): TriedRun => ({ k, values, timeS }),
  );
  const plannedRuns = input.riders[0]?.plannedRuns ?? input.settings.plannedRuns;
  const found = explore(exploring.explored, present, tried, { plannedRuns, seed, drift });
  return { ...found, words: [...found.words, ...pressureWords(settings)] };
}

/** The comparison's parts while values are tried. */
export function exploredParts(
  input: ComparisonInput,
  exploring: Exploring,
  exploration: Exploration | null,
): ExploredParts {
  const tries = sortedTries(input, exploring);
  const [rider] = input.riders;
  return {
    riders: input.riders.map((each) =>
      riderCounts(input, each, each === rider ? tries.tried.length : 0, exploration),
    ),
    next: nextOf(input, exploring, exploration),
    remarks: rider === undefined ? [] : remarksOn(rider, tries),
  };
}

function presentValues(
  { setups }: ComparisonInput,
  settings: readonly ExploredSetting[],
): readonly number[] | null {
  if (setups.length === 0) return null;
  const values = valuesOf(baselineOf(setups), settings);
  const isKnown = settings.every(
    (setting, i) => setting.high > setting.low && isInLimits(setting, values?.[i] ?? Number.NaN),
  );
  return isKnown ? values : null;
}

/** Only one rider explores, the first: what is best for one need not be for another. */
function sortedTries(input: ComparisonInput, { explored, check }: Exploring): SortedTries {
  const rider = input.riders[0]?.id;
  const counted = rider === undefined ? [] : sortedRuns(input, [rider]).counted;
  const before = counted.filter((run) => check === null || !isOfCheck(run, check));
  const valuesAt = new Map(
    input.setups.map((setup) => [setup.id, valuesOf(setup, explored.settings)]),
  );
  const tried = before.flatMap((run) => {
    const values = valuesAt.get(run.setup) ?? null;
    if (values === null || run.voidSectors.length > 0) return [];
    const isInside = explored.settings.every((setting, i) =>
      isInLimits(setting, values[i] ?? Number.NaN),
    );
    return isInside ? [{ ...run, values }] : [];
  });
  const ids = new Set(tried.map((run) => run.runId));
  return { tried, others: before.filter((run) => !ids.has(run.runId)) };
}

function riderCounts(
  input: ComparisonInput,
  rider: Rider,
  tried: number,
  exploration: Exploration | null,
): RiderComparison {
  const { counts } = sortedRuns(input, [rider.id]);
  return {
    rider: rider.id,
    counted_runs: tried,
    void_runs: counts.void,
    warm_up_runs: counts.warmUp,
    dnf_runs: counts.dnf,
    unsure_runs: counts.unsure,
    spread_s: tried > 0 ? (exploration?.spreadS ?? null) : null,
    drift_s_per_run: null,
    learning_s: null,
    df: tried > 0 ? (exploration?.df ?? null) : null,
    setup_spreads: [],
    parts: [{ part: "whole", sector: null, name: null, pairs: [] }],
  };
}

function nextOf(
  input: ComparisonInput,
  { explored }: Exploring,
  exploration: Exploration | null,
): NextValues {
  const { settings } = explored;
  const [rider] = input.riders;
  if (rider === undefined) return nothing(null, "no rider is declared");
  if (exploration === null) {
    const id = input.setups.length === 0 ? "the present set-up" : baselineOf(input.setups).id;
    const keys = settings.map(({ key }) => key).join(" and ");
    return nothing(rider.id, `write ${keys} of ${id} on its sheet, inside the limits`);
  }
  const own = input.runs.filter((run) => run.rider === rider.id);
  const out = runOnCourse(own);
  const lap = lapMinutes(input, rider.id);
  const left = minutesLeft(input, lap);
  // The run in progress will have taken a lap by the time the next one can start.
  const free = left === null ? null : left - (out === undefined ? 0 : (lap ?? 0));
  if (exploration.next === null) {
    return nothing(rider.id, whenDone(explored, exploration, lap, free));
  }
  if (free !== null && lap !== null && free < lap) {
    const minutes = String(Math.max(0, Math.floor(free)));
    const far = soFar(explored, exploration);
    return nothing(
      rider.id,
      `day over: no run fits in the ${minutes} min left; ${far}`,
      "day-over",
    );
  }
  const of = setupOfValues(input.setups, settings, exploration.next);
  if (of === undefined) return nothing(rider.id, "no set-up is declared");
  const name = valuesName(settings, exploration.next);
  if (out !== undefined && out.setup === of.setup.id) {
    return nothing(rider.id, `${name} is being ridden: what comes next follows from its time`);
  }
  return {
    rider: rider.id,
    setup: of.setup.id,
    because: `${own.length === 0 ? `${WARM_UP}; then ` : ""}${name}: ${exploration.because}`,
    band_now_s: null,
    band_after_s: null,
    stop: null,
    values: valuesByKey(settings, exploration.next),
  };
}

const WARM_UP = "warm up first, not counted: the damper is still cold";

function nothing(rider: string | null, because: string, stop: Stop | null = null): NextValues {
  return { rider, setup: null, because, band_now_s: null, band_after_s: null, stop, values: null };
}

/** What to do with the value found, once the planned runs are ridden. */
function whenDone(
  explored: Explored,
  exploration: Exploration,
  lap: number | null,
  left: number | null,
): string {
  const now = presentName(explored, exploration);
  const best = foundOf(exploration);
  if (best === null) return `no other value shows itself: keep ${now}`;
  const found = valuesName(explored.settings, best);
  if (exploration.isKept) {
    return `the gain at ${found} is not clear: keep ${now}, or begin the closing check all the same`;
  }
  const takes = lap === null ? 0 : explored.checkRuns * lap;
  const runs = `${String(explored.checkRuns)} runs`;
  const time = lap === null ? runs : `${runs}, about ${takes.toFixed(0)} min`;
  const short = left !== null && left < takes ? `; ${String(Math.floor(left))} min are left` : "";
  return `begin the closing check of ${found} (${time}${short}), or keep ${now}`;
}

function soFar(explored: Explored, exploration: Exploration): string {
  const best = foundOf(exploration);
  const now = presentName(explored, exploration);
  if (best === null || exploration.isKept) return `no clear gain so far: keep ${now}`;
  return `${valuesName(explored.settings, best)} looks quicker than ${now}, not checked`;
}

function presentName({ settings }: Explored, exploration: Exploration): string {
  return valuesName(
    settings,
    exploration.settings.map((each) => each.present),
  );
}

/** The best values where they are known and are not the present ones. */
function foundOf({ settings }: Exploration): readonly number[] | null {
  const best = settings.map((each) => each.best ?? each.present);
  return settings.some((each, i) => best[i] !== each.present) ? best : null;
}

function remarksOn(rider: Rider, { tried, others }: SortedTries): readonly Remark[] {
  const about = { rider: rider.id, setup: null, run: null } as const;
  const left: readonly Remark[] =
    others.length === 0
      ? []
      : [
          {
            ...about,
            level: "warn",
            kind: "not-tried",
            text: `${runsWords(others)} ${others.length === 1 ? "is" : "are"} not counted here: no value inside the limits, or a sector struck out`,
          },
        ];
  const grounds = new Set(tried.map((run) => run.ground));
  const ground: readonly Remark[] =
    grounds.size < 2
      ? []
      : [
          {
            ...about,
            level: "warn",
            kind: "ground-while-exploring",
            text: "a step of the ground was marked between these runs: the curve takes no account of it",
          },
        ];
  return [...left, ...ground];
}

function runsWords(runs: readonly CountedRun[]): string {
  const ks = runs.map((run) => String(run.k));
  return `${runs.length === 1 ? "run" : "runs"} ${ks.join(", ")}`;
}

/** Pressure and damping go together; a test step is as small as a warm tyre's rise. */
function pressureWords(settings: readonly ExploredSetting[]): readonly string[] {
  const pressures = settings.filter(({ key }) => key.includes("pressure"));
  if (pressures.length === 0) return [];
  const isTyre = pressures.every(({ key }) => !/^(fork|shock)_/.test(key));
  return [
    isTyre
      ? "with another pressure check whether the rebound still suits; read it with one gauge, the tyre as warm each time"
      : "with another pressure check the rebound before a run counts",
  ];
}

/** What the screens' Enter needs: a summary, as far as it bears on exploring. */
interface ExploredSummary {
  readonly exploration: Exploration | null;
  readonly check: FoundCheck | null;
  readonly comparison: { readonly next: Next };
}

/** Values to put on the bike next, one for each setting; null where none are suggested. */
export function nextValues({
  exploration,
  check,
  comparison,
}: ExploredSummary): readonly number[] | null {
  return check !== null || comparison.next.setup === null ? null : (exploration?.next ?? null);
}

/** Values that a closing check could be begun with; null before the best is known or if it is on the bike. */
export function foundValues({ exploration, check }: ExploredSummary): readonly number[] | null {
  return exploration === null || check !== null ? null : foundOf(exploration);
}

/** Values that were ridden, and how often. */
export interface ValuesRidden {
  /** `1.60 bar` */
  readonly name: string;
  readonly values: readonly number[];
  readonly runs: number;
  /** Mean run time as it was ridden, s. */
  readonly meanS: number;
}

/** The values of the tried runs, from low to high. */
export function valuesRidden(
  input: ComparisonInput,
  exploring: Exploring,
): readonly ValuesRidden[] {
  const { settings } = exploring.explored;
  const times = new Map<string, { values: readonly number[]; times: number[] }>();
  for (const { values, timeS } of sortedTries(input, exploring).tried) {
    const name = valuesName(settings, values);
    const own = times.get(name) ?? { values, times: [] };
    own.times.push(timeS);
    times.set(name, own);
  }
  return [...times]
    .map(([name, { values, times: own }]) => ({
      ...{ name, values, runs: own.length },
      meanS: own.reduce((sum, timeS) => sum + timeS, 0) / own.length,
    }))
    .sort((a, b) => compareValues(a.values, b.values));
}

function compareValues(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0);
}

/** The exploration as `compare --json` prints it. */
export function explorationJson(
  exploration: Exploration,
  check: FoundCheck | null,
): Readonly<Record<string, unknown>> {
  const settings = exploration.settings.map((each) => each.setting);
  return {
    phase: exploration.phase,
    runs: exploration.runs,
    planned_runs: exploration.plannedRuns,
    settings: exploration.settings.map((found) => ({
      ...found.setting,
      present: found.present,
      best: found.best,
      as_good: found.asGood,
      at_low: found.atLow,
      at_high: found.atHigh,
      curve: found.curve.map((point) => ({
        value: point.value,
        gain_s: point.gainS,
        band_s: point.bandS,
        is_as_good: point.isAsGood,
      })),
    })),
    spread_s: exploration.spreadS,
    df: exploration.df,
    gain_s: exploration.gainS,
    gain_error_s: exploration.gainErrorS,
    is_kept: exploration.isKept,
    next: exploration.next === null ? null : valuesByKey(settings, exploration.next),
    because: exploration.because,
    words: exploration.words,
    check: check === null ? null : { setup: check.setup, runs: check.runs },
  };
}
