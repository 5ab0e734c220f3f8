// The plan of a day as `plan --json` prints it; the field names are the JSON's own: scripts outside
// rely on them. Made by the advisor, printed by the command line and the console.
import type { SetupId } from "./session.ts";

export interface PracticePlan {
  readonly rider: string;
  readonly setup: string;
  readonly runs: number;
}

export interface TimetableLine {
  /** Time of day where the arrival is known (`09:40`), else hours from the first start (`1:35`). */
  readonly at: string;
  /** Holds places of swaps and names of breaks as they were typed: `safeText` before a terminal. */
  readonly what: string;
}

interface SmallestDifference {
  /** Found on 80 % of days at the spread given, s. */
  readonly at_spread: number;
  /** The same at both ends of what is known of the spread; null when only one figure is known. */
  readonly low: number | null;
  readonly high: number | null;
}

/** One plan on the curve of reach against runs. */
export interface ReachPoint {
  /** Counted runs of one rider. */
  readonly runs: number;
  readonly smallest_difference_s: number;
  /** At both ends of what is known of the spread; null when only one figure is known. */
  readonly low_s: number | null;
  readonly high_s: number | null;
}

export interface Plan {
  readonly format: "swaplap-plan";
  readonly version: 1;
  /** Counted runs of one rider; null without a planned number and without hours to fill. */
  readonly runs: number | null;
  /** The order that everything here is reckoned with; what is ridden may start the other way. */
  readonly order: readonly string[];
  readonly practice: readonly PracticePlan[];
  /** Swaps of one rider between counted runs. */
  readonly swaps: number;
  /** Counted runs and the swaps between them; null without a lap time. */
  readonly minutes: number | null;
  /**
   * Whether everything from first start to last finish fits in the session's hours and in the
   * daylight; null if neither is known.
   */
  readonly fits: boolean | null;
  /** Empty without a lap time. */
  readonly timetable: readonly TimetableLine[];
  readonly smallest_difference_s: SmallestDifference | null;
  /** Half-width of the band after the last planned run, s; null without a spread. */
  readonly end_half_width_s: number | null;
  readonly no_difference_reachable: boolean;
  /** Plain words. */
  readonly warnings: readonly string[];
  /** First start to last finish of the longest day, all included; null without a lap time. */
  readonly day_minutes: number | null;
  /** Spread that all this is reckoned with, s; its degrees of freedom are null where it was only told. */
  readonly spread: { readonly spread_s: number; readonly df: number | null } | null;
  /** `smallest_difference_s` in spreads: known without a spread. */
  readonly smallest_difference_spreads: number | null;
  /** `end_half_width_s` and `no_difference_reachable` at both ends of what is known of the spread. */
  readonly end_half_width_ends_s: { readonly low: number; readonly high: number } | null;
  readonly no_difference_reachable_ends: { readonly low: boolean; readonly high: boolean } | null;
  /** Smallest difference against the number of runs; empty without a spread. */
  readonly curve: readonly ReachPoint[];
  /** Of a session that explores settings: `runs` are then its exploring runs; null in any other. */
  readonly exploring: { readonly check_runs: number } | null;
}

/** What would be planned otherwise than declared. */
export interface WhatIf {
  /** Counted runs of each rider, added; below 0: fewer. */
  readonly runs: number;
  /** Set-ups left out. */
  readonly without: readonly SetupId[];
  /** Minutes added to every swap; below 0: quicker, down to no time at all. */
  readonly swapMinutes: number;
}

/** The plan as it was declared. */
export const AS_PLANNED: WhatIf = { runs: 0, without: [], swapMinutes: 0 };
