// The one line that says why this set-up is next, in the words of the screen; called by
// next-setup.ts. Only ids of set-ups and numbers go in, so that no typed text reaches a screen here.
import type { Stop } from "../domain/comparison.ts";
import type { SetupId } from "../domain/session.ts";

/** A set-up that could be ridden, as the line needs it. */
interface ReasonOption {
  readonly setup: SetupId;
  /** Swap and lap. */
  readonly minutes: number;
  readonly swapMinutes: number;
  /** Half-width after one more run on it, s; null while infinite. */
  readonly halfWidthS: number | null;
}

export interface ReasonFacts {
  readonly stop: Stop | null;
  /** Every set-up is as good as the leader for the user's purpose. */
  readonly isSame: boolean;
  readonly isMounted: boolean;
  /** The ride narrows the deciding pair's band most; else it serves another open rival besides. */
  readonly isMostForPair: boolean;
  readonly choice: ReasonOption;
  /** What would have been ridden otherwise: the mounted set-up, or the best of the others. */
  readonly other: ReasonOption | null;
  /** Nothing but the mounted set-up fits in the time left. */
  readonly isForced: boolean;
  readonly isLapKnown: boolean;
  /** Place in the opening, or null after it. */
  readonly opening: { readonly place: number; readonly of: number } | null;
  readonly counted: number;
  readonly isLastOfPlan: boolean;
  /** The planned end is behind: extra runs widen the band at first. */
  readonly isPlanOver: boolean;
  readonly nowS: number | null;
  /** Named when there are more than two set-ups. */
  readonly pair: string | null;
  readonly dropped: readonly {
    readonly setup: SetupId;
    readonly leader: SetupId;
    readonly differenceS: number;
    readonly halfWidthS: number;
  }[];
  /** Half-width expected at the end of the day, s; null if not known or infinite. */
  readonly endS: number | null;
  readonly earlierEnd: { readonly endRun: number; readonly runsLeft: number } | null;
}

/** Counted runs before which a width to come is too uncertain to print. */
const FEWEST_FOR_SECONDS = 6;

/** The line. */
export function reasonFor(facts: ReasonFacts): string {
  const { earlierEnd } = facts;
  const parts = [headline(facts)];
  if (facts.pair !== null && facts.opening === null) parts.push(`deciding pair ${facts.pair}`);
  for (const { setup, leader, differenceS, halfWidthS } of facts.dropped) {
    const by = `${differenceS.toFixed(1)} +-${halfWidthS.toFixed(1)} s`;
    parts.push(`dropped: ${setup} (slower than ${leader} by ${by})`);
  }
  if (facts.isPlanOver) parts.push("plan finished: extra runs use the open band");
  if (earlierEnd !== null) {
    const { runsLeft, endRun } = earlierEnd;
    parts.push(`time for ${plural(runsLeft, "more run")}: end the plan at run ${String(endRun)}?`);
  }
  return parts.join("; ");
}

function headline(facts: ReasonFacts): string {
  const { choice } = facts;
  switch (facts.stop) {
    case "decided": {
      const decided = facts.isSame ? "decided: no difference worth having" : "decided";
      // At the last word the band is at its narrowest for a while.
      if (facts.isPlanOver && isWider(facts)) {
        return `${decided}; stop: one more run on ${choice.setup} widens the band${widths(facts, ", ")}`;
      }
      return `${decided}; stop, or ride ${choice.setup} on for the width${widths(facts, ": ")}`;
    }
    case "cannot-be-decided-today": {
      const end =
        facts.endS === null ? "" : ` (band would end at about +-${facts.endS.toFixed(1)} s)`;
      return `more runs today can hardly decide it${end}; stop, or ride on for the width`;
    }
    case "day-over":
    case null:
      return suggestion(facts);
  }
}

function suggestion(facts: ReasonFacts): string {
  const { choice, other, opening } = facts;
  const ride = facts.isMounted ? staying(facts) : swapping(choice);
  if (opening !== null) {
    return `opening, run ${String(opening.place)} of ${String(opening.of)}: ${ride}`;
  }
  if (facts.isForced) return `${ride}: nothing else fits in the time left${widths(facts, "; ")}`;
  const seconds = widths(facts, ": ");
  if (seconds === "") {
    if (other === null || !facts.isMostForPair) return ride;
    return `${ride}: ${choice.setup} narrows it more than ${other.setup} per ${facts.isLapKnown ? "minute" : "run"}`;
  }
  const last = facts.isLastOfPlan ? "last run of the plan: " : "";
  return `${last}${ride}${seconds}${otherwise(facts)}`;
}

function staying({ choice, isLapKnown }: ReasonFacts): string {
  return isLapKnown
    ? `stay on ${choice.setup} (${minutes(choice.minutes)})`
    : `stay on ${choice.setup}`;
}

function swapping({ setup, swapMinutes }: ReasonOption): string {
  return swapMinutes > 0
    ? `ride ${setup} next (+swap ${minutes(swapMinutes)})`
    : `ride ${setup} next`;
}

/** "about +-1.9 -> +-1.4 s"; empty while too little is known to say seconds. */
function widths({ nowS, choice, counted }: ReasonFacts, before: string): string {
  if (choice.halfWidthS === null || counted < FEWEST_FOR_SECONDS) return "";
  if (nowS === null)
    return `${before}too early now, then about +-${choice.halfWidthS.toFixed(1)} s`;
  const digits = nowS.toFixed(1) === choice.halfWidthS.toFixed(1) ? 2 : 1;
  return `${before}about +-${nowS.toFixed(digits)} -> +-${choice.halfWidthS.toFixed(digits)} s`;
}

function isWider({ nowS, choice }: ReasonFacts): boolean {
  return nowS !== null && choice.halfWidthS !== null && choice.halfWidthS > nowS;
}

function otherwise({ isMounted, other, isLapKnown }: ReasonFacts): string {
  if (other?.halfWidthS == null) return "";
  const half = `+-${other.halfWidthS.toFixed(1)} s`;
  if (!isMounted) return `; staying on ${other.setup}: ${half}`;
  const price = isLapKnown ? ` but takes ${minutes(other.minutes)}` : "";
  return `; ${other.setup} would give ${half}${price}`;
}

function minutes(value: number): string {
  return `${String(Math.round(value * 10) / 10)} min`;
}

function plural(count: number, what: string): string {
  return `${String(count)} ${what}${count === 1 ? "" : "s"}`;
}
