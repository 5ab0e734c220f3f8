// Runs that were entered at a speed of their own, and set-ups that were entered at different ones;
// called by the remarks on entry speed. Nothing here touches a time.
import { mean, sampleStandardDeviation } from "simple-statistics";
import type { ComparisonInput } from "../domain/comparison.ts";
import type { DayFacts } from "../domain/day-facts.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { studentQuantile } from "./student-t.ts";

/** A counted run with its speed at the start gate, m/s. */
interface EnteredRun {
  readonly run: Run;
  readonly speedMS: number;
}

/** A run that was not entered as the rider's others of that day were. */
export interface OddEntry extends EnteredRun {
  /** Of the others, m/s. */
  readonly othersMS: number;
  readonly othersSpreadMS: number;
}

/** Entry speeds on one set-up. */
export interface SetupEntry {
  readonly setup: SetupId;
  readonly runs: number;
  readonly meanMS: number;
  /** Null for a single run. */
  readonly spreadMS: number | null;
}

/** Two set-ups that a rider entered at different speeds; `quicker` had the higher one. */
export interface EntryGap {
  readonly quicker: SetupEntry;
  readonly slower: SetupEntry;
  /** Above 0, m/s. */
  readonly gapMS: number;
}

/**
 * Share of days with nothing odd on which some run is asked about at one look, shared among the runs
 * (Bonferroni). chosen: looked at after every one of 8, 12 and 20 runs there is a question on 12, 16
 * and 19 % of such days; of entries that scatter by 0.3 m/s one that is 1.1 m/s off is found on 60 %
 * of days of 12 runs, with 2 % on 44 %; test/stats/entry-speeds.test.ts works it out.
 */
const FALSE_DAYS = 0.05;
/** chosen: the scatter of four others is hardly known; same test. */
const FEWEST_RUNS = 5;
/** chosen: 0.3 m/s at 7 m/s, fading over 2 to 4 s, is worth 0.1 to 0.2 s, below what a run tells; same test. */
const LEAST_ODD_MS = 0.3;
/** Level of the difference of means, two-sided. chosen: it is looked at after every run; same test. */
const GAP_LEVEL = 0.01;
/** chosen: a mean of two is as odd as its odder one. */
const FEWEST_OF_SETUP = 3;
/** chosen: three times what a bike measured 1 % wrong does at 7 m/s. */
const LEAST_GAP_MS = 0.2;

/** The counted runs of a rider of which the entry speed is known. */
function enteredRuns(
  { runs }: ComparisonInput,
  rider: RiderId,
  entries: DayFacts["entries"],
): readonly EnteredRun[] {
  const speeds = new Map(entries.map(({ runId, speedMS }) => [runId, speedMS]));
  return runs.flatMap((run) => {
    const speedMS = speeds.get(run.runId);
    const isCounted = run.rider === rider && run.status === "ok" && run.k !== null;
    return isCounted && speedMS !== undefined ? [{ run, speedMS }] : [];
  });
}

/**
 * Runs whose entry speed lies off the mean of the rider's other runs of the day by more than their
 * scatter says: externally studentised, two-sided, at 5 % a day shared among its runs. The oddest
 * first. Two alike hide each other when there are few runs: this asks, it finds no more than it can.
 *
 * @param entries - speeds at the start gate
 * @see Belsley, Kuh & Welsch (1980), Regression Diagnostics, 2.1 (RSTUDENT), with a mean alone
 */
export function oddEntries(
  input: ComparisonInput,
  rider: RiderId,
  entries: DayFacts["entries"],
): readonly OddEntry[] {
  const entered = enteredRuns(input, rider, entries);
  const days = [...new Set(entered.map(({ run }) => run.day))];
  return days
    .flatMap((day) => oddOfDay(entered.filter(({ run }) => run.day === day)))
    .toSorted((a, b) => Math.abs(b.speedMS - b.othersMS) - Math.abs(a.speedMS - a.othersMS));
}

function oddOfDay(entered: readonly EnteredRun[]): readonly OddEntry[] {
  const n = entered.length;
  if (n < FEWEST_RUNS) return [];
  const limit = studentQuantile(FALSE_DAYS / n / 2, n - 2);
  return entered.flatMap((each) => {
    const others = entered.filter((other) => other !== each).map(({ speedMS }) => speedMS);
    const othersMS = mean(others);
    const othersSpreadMS = sampleStandardDeviation(others);
    const apart = Math.abs(each.speedMS - othersMS);
    const isOdd = apart >= LEAST_ODD_MS && apart > limit * othersSpreadMS * Math.sqrt(n / (n - 1));
    return isOdd ? [{ ...each, othersMS, othersSpreadMS }] : [];
  });
}

/** Mean entry speed of a rider on each set-up, in the sheet's order; set-ups without one left out. */
export function entriesBySetup(
  input: ComparisonInput,
  rider: RiderId,
  entries: DayFacts["entries"],
): readonly SetupEntry[] {
  const entered = enteredRuns(input, rider, entries);
  return input.setups.flatMap(({ id: setup }): readonly SetupEntry[] => {
    const speeds = entered.filter(({ run }) => run.setup === setup).map(({ speedMS }) => speedMS);
    if (speeds.length === 0) return [];
    const spreadMS = speeds.length < 2 ? null : sampleStandardDeviation(speeds);
    return [{ setup, runs: speeds.length, meanMS: mean(speeds), spreadMS }];
  });
}

/**
 * Whether a rider entered two set-ups at speeds that differ by more than chance: Welch's t.
 *
 * @returns null with fewer than three runs on either, or where the gap is below 0.2 m/s or not
 *   beyond the scatter (p of 1 % or more)
 * @see Welch (1947), Biometrika 34, 28-35; degrees of freedom by Satterthwaite's formula
 */
export function entryGap(a: SetupEntry, b: SetupEntry): EntryGap | null {
  const [quicker, slower] = a.meanMS >= b.meanMS ? [a, b] : [b, a];
  const gapMS = quicker.meanMS - slower.meanMS;
  if (Math.min(a.runs, b.runs) < FEWEST_OF_SETUP || gapMS < LEAST_GAP_MS) return null;
  const varianceOf = ({ runs, spreadMS }: SetupEntry): number => (spreadMS ?? 0) ** 2 / runs;
  const [u, v] = [varianceOf(a), varianceOf(b)];
  if (u + v === 0) return { quicker, slower, gapMS };
  const df = (u + v) ** 2 / (u ** 2 / (a.runs - 1) + v ** 2 / (b.runs - 1));
  const isBeyond = gapMS > studentQuantile(GAP_LEVEL / 2, df) * Math.sqrt(u + v);
  return isBeyond ? { quicker, slower, gapMS } : null;
}

/**
 * What a difference of the entry speed is worth in the time if it fades over 2 to 4 s: v does the
 * distance dv x tau more, and dv x tau / v is the time for it. Derived, not measured: 0.5 m/s is
 * worth 0.1 s at 10 m/s and 2 s, 0.4 s at 5 m/s and 4 s.
 *
 * @param speedMS - usual speed, m/s
 * @returns low and high, s, above 0; null from standing or nearly so, where the bike is still picking up
 */
export function entryWorthS(
  differenceMS: number,
  speedMS: number,
): readonly [number, number] | null {
  if (speedMS < SLOWEST_ROLLING_MS) return null;
  const worth = Math.abs(differenceMS) / speedMS;
  return [2 * worth, 4 * worth];
}

/** chosen: below a brisk roll the start gate stands where the rider pushes off. */
const SLOWEST_ROLLING_MS = 4;
