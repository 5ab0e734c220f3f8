// The plan of a day as `plan --json` prints it; the field names are the JSON's own: scripts outside
// rely on them. Made by the advisor, printed by the command line.

export interface PracticePlan {
  readonly rider: string;
  readonly setup: string;
  readonly runs: number;
}

export interface TimetableLine {
  /** Hours and minutes from the first start, `1:35`. */
  readonly at: string;
  readonly what: string;
}

export interface SmallestDifference {
  /** Found on 80 % of days at the spread given, s. */
  readonly at_spread: number;
  /** The same at both ends of what is known of the spread; null when only one figure is known. */
  readonly low: number | null;
  readonly high: number | null;
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
  /** Whether they and the practice runs fit in the session's hours; null if either is not known. */
  readonly fits: boolean | null;
  /** Empty without a lap time. */
  readonly timetable: readonly TimetableLine[];
  readonly smallest_difference_s: SmallestDifference | null;
  /** Half-width of the band after the last planned run, s; null without a spread. */
  readonly end_half_width_s: number | null;
  readonly no_difference_reachable: boolean;
  /** Plain words. */
  readonly warnings: readonly string[];
}
