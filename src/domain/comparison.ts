// The comparison as `compare --json` prints it, and what it is worked out from. The field names are
// the JSON's own: scripts outside rely on them.
import type { DayFacts } from "./day-facts.ts";
import type { DayHours } from "./day-hours.ts";
import type { Feel } from "./feel.ts";
import type { Incident, Measure, Rating } from "./happening.ts";
import type { Remark } from "./remark.ts";
import type { Run } from "./run.ts";
import type { Rider, Settings, Setup, SetupId, SwapCost } from "./session.ts";

export type Verdict = "quicker" | "slower" | "no-difference" | "cannot-tell";
/** Low and high end, s, candidate minus baseline. */
export type Band = readonly [number, number];

export interface Pair {
  readonly setup: string;
  readonly baseline: string;
  readonly runs: number;
  readonly baseline_runs: number;
  /** Candidate minus baseline, s: negative means the candidate is quicker. */
  readonly difference_s: number | null;
  readonly standard_error_s: number | null;
  readonly df: number | null;
  readonly multiplier: number | null;
  readonly band_s: Band | null;
  readonly inner_band_s: Band | null;
  readonly cautious_s: number | null;
  readonly verdict: Verdict | null;
  readonly new_to: boolean;
  readonly called_at_run: number | null;
  readonly more_runs: number | null;
  readonly chance_within_plan: number | null;
}

export interface Part {
  readonly part: "whole" | "sector";
  /** 1-based; null for the whole run. */
  readonly sector: number | null;
  readonly name: string | null;
  readonly pairs: readonly Pair[];
}

export interface SetupSpread {
  readonly setup: string;
  readonly runs: number;
  readonly df: number | null;
  readonly spread_s: number | null;
}

export interface RiderComparison {
  readonly rider: string;
  readonly counted_runs: number;
  readonly void_runs: number;
  readonly warm_up_runs: number;
  readonly dnf_runs: number;
  readonly unsure_runs: number;
  readonly spread_s: number | null;
  readonly drift_s_per_run: number | null;
  readonly learning_s: number | null;
  readonly df: number | null;
  readonly setup_spreads: readonly SetupSpread[];
  readonly parts: readonly Part[];
}

export interface EndOfDayMean {
  readonly setup: string;
  readonly baseline: string;
  readonly riders: number;
  readonly mean_s: number;
  readonly band_s: Band;
}

export interface Together {
  readonly pairs: readonly Pair[];
  readonly end_of_day: readonly EndOfDayMean[] | null;
}

export type Stop = "decided" | "cannot-be-decided-today" | "day-over";

export interface Next {
  readonly rider: string | null;
  readonly setup: string | null;
  /** One line for the screen: why. */
  readonly because: string;
  readonly band_now_s: number | null;
  readonly band_after_s: number | null;
  readonly stop: Stop | null;
  /** Before the day's first counted run of the rider. */
  readonly warm_up?: {
    readonly laps: number;
    readonly settled: boolean;
    /** Settled, or so many laps that waiting on is pointless. */
    readonly over: boolean;
    /** Below 0: the laps get slower; null below four laps. */
    readonly still_finding_s_per_run: number | null;
  };
}

export interface Alternative {
  readonly setup: string;
  readonly minutes: number;
  readonly band_after_s: number | null;
  /** g_k of the suggestion rule; the largest is ridden next. */
  readonly index: number | null;
}

export interface Comparison {
  readonly format: "swaplap-comparison";
  readonly version: 1;
  readonly session: { readonly name: string; readonly stretch: string; readonly date: string };
  readonly settings: {
    readonly bands: "plan" | "open";
    readonly confidence: number;
    readonly drift: "none" | "linear" | "learning";
    readonly spreads: "each" | "common";
    readonly margin_s: number | null;
    readonly planned_runs: number | null;
    readonly planned_end: number | null;
    readonly baseline: string;
    /** Set-up that the day is about; left out where none is. */
    readonly main?: string;
  };
  readonly riders: readonly RiderComparison[];
  readonly together: Together | null;
  readonly next: Next;
  /** What a careful reader should know besides. */
  readonly remarks: readonly Remark[];
  /** How set-ups felt, beside the clock. */
  readonly feel: readonly Feel[];
}

/** An earlier end, announced once (counted runs of that rider). */
export interface PlannedEnd {
  readonly rider: string;
  readonly endRun: number;
  readonly announcedAtRun: number;
}

/** All that the statistics and the advice are worked out from; a pure function of the journal. */
export interface ComparisonInput {
  readonly settings: Settings;
  /** What the sheet of each day of a merged session said; absent in a session of one day. */
  readonly daySheets?: readonly Settings[];
  readonly riders: readonly Rider[];
  /** Every set-up, declared order. */
  readonly setups: readonly Setup[];
  /** Set-ups declared before run 1, declared order: these fix K, the planning order, z2_N and nuN. */
  readonly plannedSetups: readonly SetupId[];
  /** Riders declared before run 1: theirs is the plan of all together. */
  readonly plannedRiders: readonly string[];
  readonly swaps: readonly SwapCost[];
  readonly sectors: readonly string[];
  /** In run order, every rider; false starts and orphans are not here. */
  readonly runs: readonly Run[];
  readonly plannedEnds: readonly PlannedEnd[];
  readonly incidents: readonly Incident[];
  readonly ratings: readonly Rating[];
  readonly measures: readonly Measure[];
  readonly hours: DayHours;
  /** What the day tells besides times: speeds, parts read, marks; left out: nothing. */
  readonly facts?: DayFacts;
  readonly isClosed: boolean;
  /** Steps of the ground marked on the newest day with a run so far: the ground of the next start. */
  readonly ground: number;
  /** True: riders rode before the first of `runs` that day, so no warm-up is asked for. */
  readonly isWarm?: boolean;
  /** The set-up on each rider's bike now, by rider id. */
  readonly mounted: Readonly<Record<string, SetupId>>;
}
