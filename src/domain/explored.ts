// A numeric setting that is to be explored: found by trying values inside limits of the user's own.

/** One line of the set-up sheet with its limits; nothing outside them is ever suggested. */
export interface ExploredSetting {
  /** Key of the set-up sheet; carries the unit. */
  readonly key: string;
  readonly low: number;
  readonly high: number;
  /** Between allowed values, counted from `low`. */
  readonly step: number;
}

/** What a session explores, in place of comparing declared set-ups. */
export interface Explored {
  /** One or two. */
  readonly settings: readonly ExploredSetting[];
  /** Counted runs of the closing back-to-back check of the value found. */
  readonly checkRuns: number;
}

/** The closing check as it was begun: the value found against the present one. */
export interface FoundCheck {
  /** Set-up with the value found. */
  readonly setup: string;
  /** Counted runs planned for it. */
  readonly runs: number;
  /** Seq of the entry that began it: runs opened later belong to it. */
  readonly entrySeq: number;
}
