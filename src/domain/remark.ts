// Something that a careful reader of the comparison should know; made by the summary, shown by
// everything that shows a comparison.
import type { RiderId, SetupId } from "./session.ts";

/**
 * A remark in plain words. It never changes a verdict: `ask` wants an answer from the operator,
 * `warn` says what the answer may suffer from, `note` is a result beside the clock.
 */
export interface Remark {
  readonly level: "ask" | "warn" | "note";
  /** What it is about, for scripts: `slow-run`, `lopsided-voids`, ... */
  readonly kind: string;
  /** Null: about everybody. */
  readonly rider: RiderId | null;
  /** Null: about no set-up in particular. */
  readonly setup: SetupId | null;
  /** Null: about no run in particular. */
  readonly run: string | null;
  /** One sentence without a full stop. */
  readonly text: string;
}
