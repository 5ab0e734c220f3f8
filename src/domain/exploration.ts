// What the exploring of one or two settings has come to; worked out by explore, shown by everything.
import type { ExploredSetting } from "./explored.ts";

/** A counted run at known values. */
export interface TriedRun {
  /** Place in the day, as the trend over the day needs it. */
  readonly k: number;
  /** One for each setting, in the sheet's order. */
  readonly values: readonly number[];
  readonly timeS: number;
}

/** The fitted time at one allowed value of a setting, the other at its best. */
export interface CurvePoint {
  readonly value: number;
  /** Fitted time less that of the present values, s: below 0 is quicker. */
  readonly gainS: number;
  /** 95 % band of it, low and high, s; pointwise. */
  readonly bandS: readonly [number, number];
  /** In the set that these runs cannot tell from the best. */
  readonly isAsGood: boolean;
}

/** What is known of one setting. */
export interface SettingFound {
  readonly setting: ExploredSetting;
  readonly present: number;
  /** Fitted best of the allowed values; null before it can be told. */
  readonly best: number | null;
  /** Lowest and highest value that is as good as these runs can tell; null before. */
  readonly asGood: readonly [number, number] | null;
  /** True where the set reaches a limit: the best may lie beyond, and is not looked for there. */
  readonly atLow: boolean;
  readonly atHigh: boolean;
  /** One for each allowed value, low to high; empty before a fit exists. */
  readonly curve: readonly CurvePoint[];
}

export type ExploringPhase = "opening" | "narrowing" | "grid" | "done";

export interface Exploration {
  readonly phase: ExploringPhase;
  /** Counted runs so far, and those planned; null: no number planned. */
  readonly runs: number;
  readonly plannedRuns: number | null;
  readonly settings: readonly SettingFound[];
  /** Run-to-run spread round the curve, s, and its degrees of freedom; null before a fit. */
  readonly spreadS: number | null;
  readonly df: number | null;
  /** Fitted gain of the best values over the present ones, s (below 0: quicker), and its error. */
  readonly gainS: number | null;
  readonly gainErrorS: number | null;
  /** True while the gain is not clear: keep the present values. */
  readonly isKept: boolean;
  /** Values to ride next; null when the planned runs are done. */
  readonly next: readonly number[] | null;
  /** Why, one line for the screen. */
  readonly because: string;
  /** What the runs say so far, sentences without a full stop. */
  readonly words: readonly string[];
}
