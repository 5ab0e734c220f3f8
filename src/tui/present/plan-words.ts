// A plan in sentences, the same on the console and on the command line; called by both.
import type { Plan } from "../../domain/plan.ts";
import { plain } from "./seconds.ts";

/** What a plan does not say of itself. */
export interface PlanContext {
  /** Whose runs they are, where there are several riders; null: the only one's. */
  readonly rider: string | null;
  readonly marginS: number | null;
  /** `±` or `+-`. */
  readonly plusMinus: string;
}

/** What the day consists of: runs, order, practice, swaps, minutes. */
export function dayWords(plan: Plan, { rider }: PlanContext): readonly string[] {
  const each = rider === null ? "" : ` of ${rider}`;
  const runs = plan.runs === null ? "no number planned" : String(plan.runs);
  const what =
    plan.exploring === null
      ? `Runs${each}: ${runs}${plan.order.length === 0 ? "" : `, order: ${plan.order.join(" ")}`}`
      : `Exploring runs: ${runs}; then a closing check of ${String(plan.exploring.check_runs)} runs, values found against present ones`;
  const practice = plan.practice.map(
    (each) => `Practice first: ${each.rider} rides ${each.setup} ${String(each.runs)} times`,
  );
  return [what, ...practice, hourWords(plan)];
}

function hourWords({ exploring, swaps, minutes, day_minutes: day, fits }: Plan): string {
  const changes = exploring === null ? `Swaps: ${String(swaps)}` : "";
  const these = exploring === null ? "these runs and swaps take" : "These runs take";
  const riding = minutes === null ? "" : `${these} about ${whole(minutes)} min`;
  const all = day === null ? "" : `first start to last finish ${whole(day)} min`;
  const over = fits === false ? "the day does not fit in the hours" : "";
  return [changes, riding, all, over].filter((part) => part !== "").join("; ");
}

/** What it can show, as far as the spread is known. */
export function reachWords(plan: Plan, context: PlanContext): readonly string[] {
  const whose = plan.exploring === null ? "" : " by the closing check";
  const seen = `Smallest difference seen on 4 days in 5${whose}`;
  const inSpreads = plan.smallest_difference_spreads;
  if (plan.spread === null) {
    const times =
      inSpreads === null ? [] : [`${seen}: ${plain(inSpreads, 1)} times your run-to-run spread`];
    return [
      ...times,
      "Name your usual run-to-run spread (spread_s), or earlier days of this stretch (plan --earlier FILE), to have it in seconds",
    ];
  }
  const smallest = plan.smallest_difference_s;
  if (smallest === null) return plan.runs === null ? [] : [`${seen}: none, there is no band`];
  return [
    `${seen}: ${plain(smallest.at_spread, 2)} s${range(smallest.low, smallest.high)}`,
    ...bandWords(plan, context),
    ...reachableWords(plan, context),
    spreadWords(plan.spread),
  ];
}

function range(low: number | null, high: number | null): string {
  if (low === null || high === null) return "";
  return ` (between ${plain(low, 2)} and ${plain(high, 2)} s, as far as the spread is known)`;
}

function bandWords(plan: Plan, { plusMinus }: PlanContext): readonly string[] {
  if (plan.end_half_width_s === null) return [];
  const width = (s: number): string => `${plusMinus}${plain(s, 2)} s`;
  const ends = plan.end_half_width_ends_s;
  const between = ends === null ? "" : ` (${width(ends.low)} to ${width(ends.high)})`;
  return [`Band at the end of the plan: about ${width(plan.end_half_width_s)}${between}`];
}

/** Whether "no difference worth having" can be said at all. */
function reachableWords(plan: Plan, { marginS }: PlanContext): readonly string[] {
  if (marginS === null) return [];
  const ends = plan.no_difference_reachable_ends;
  const isReachable = plan.no_difference_reachable;
  const how =
    isReachable && ends?.high === false
      ? "within reach, but not with the spread at the high end"
      : isReachable
        ? "within reach"
        : ends?.low === true
          ? "within reach only with the spread at the low end"
          : "out of reach";
  return [`"No difference worth having" (${plain(marginS, 1)} s): ${how}`];
}

function spreadWords({ spread_s: spreadS, df }: NonNullable<Plan["spread"]>): string {
  const known =
    df === null
      ? "as told"
      : `measured with ${plain(df, Number.isInteger(df) ? 0 : 1)} degrees of freedom`;
  return `Run-to-run spread: ${plain(spreadS, 2)} s, ${known}`;
}

function whole(minutes: number): string {
  return plain(minutes, 0);
}
