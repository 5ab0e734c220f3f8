// What riders say of a set-up beside the clock: ratings of one or more aspects, set against each
// other. A result of its own: it moves no band, no verdict and no suggestion.
import type { RiderId, Settings, SetupId } from "./session.ts";

/** `clear` and `leaning` point to the set-up that felt better more often. */
export type FeelVerdict = "clear" | "leaning" | "none";

/** One aspect of one set-up against the baseline, for one rider; field names are the JSON's own. */
export interface Feel {
  readonly rider: RiderId;
  readonly aspect: string;
  readonly setup: SetupId;
  readonly baseline: SetupId;
  /** Neighbouring runs on both, ties among them. */
  readonly pairs: number;
  /** Pairs in which the set-up was rated higher than the baseline. */
  readonly better: number;
  readonly worse: number;
  readonly same: number;
  /** Untied pairs in which the run that felt better was also the quicker one. */
  readonly agree: number;
  /** Two-sided sign test; null with fewer than four untied pairs, as are the next two. */
  readonly p: number | null;
  /** Signed-rank test: sees more, but reads ratings as equally spaced. */
  readonly signed_rank_p: number | null;
  readonly verdict: FeelVerdict | null;
}

/** The one aspect that is rated where the sheet names none. */
const ONLY_ASPECT = "feel";

/** What riders are asked to rate after a run, the main one first. */
export function askedAspects({ aspects }: Pick<Settings, "aspects">): readonly string[] {
  return aspects.length === 0 ? [ONLY_ASPECT] : aspects;
}
