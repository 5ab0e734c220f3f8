// What a day consists of besides its runs: arriving, putting the gates up, breaks, packing, daylight,
// and how much of it a rider may ride.

/** A pause that is planned; one of `afterRun` and `at` is given. */
export interface Break {
  /** Counted runs of a rider before it. */
  readonly afterRun: number | null;
  /** Time of day, `12:30`. */
  readonly at: string | null;
  readonly minutes: number;
  readonly name: string | null;
}

/** Null: not said. */
export interface DayHours {
  /** Time of day of the arrival at the hill, `08:30`. */
  readonly arriveAt: string | null;
  /** Minutes until the gates are up and checked. */
  readonly gatesMinutes: number | null;
  /** Minutes from the last finish until everything is packed. */
  readonly packMinutes: number | null;
  /** Time of day after which nobody is to be on the trail, `19:40`. */
  readonly lightUntil: string | null;
  readonly breaks: readonly Break[];
  /** Most runs of a rider in half a day, warm-ups and practice included. */
  readonly mostRunsHalfDay: number | null;
  /** Least rest of a rider between a finish and the next start, minutes; the way back up counts. */
  readonly restMinutes: number | null;
}

export const NO_HOURS: DayHours = {
  arriveAt: null,
  gatesMinutes: null,
  packMinutes: null,
  lightUntil: null,
  breaks: [],
  mostRunsHalfDay: null,
  restMinutes: null,
};
