// The day ahead on a page of its own and as a panel before the first run, with what it would be with
// a few things otherwise; called by the console's drawing.
import { AS_PLANNED, type Plan, type WhatIf } from "../../domain/plan.ts";
import type { PlanAhead } from "../../summary/plan-ahead.ts";
import { groupHints } from "../keys/key-help.ts";
import { cutLine, fillRows, heading, type Line, line } from "../line.ts";
import { alarm, type Look } from "../look.ts";
import { dayWords, type PlanContext, reachWords } from "../present/plan-words.ts";
import { reachChart, reachLegend } from "../present/reach-chart.ts";
import { fitText, safeText } from "../present/safe-text.ts";
import { plain, signed } from "../present/seconds.ts";
import { wrapped } from "./comparison-lines.ts";

/** Where the panel says that there is more. */
const WHOLE_PLAN = "Tab: the whole plan";

/** chosen: higher ones leave no room for the figures above it on a screen of 24 rows. */
const CHART_ROWS = 12;
/** chosen: wider ones show nothing more. */
const WIDEST_CHART = 100;

/**
 * The page: what is otherwise than planned and its keys, the figures, the curve, warnings, timetable.
 *
 * @param whatIf - the change that is wished for: that of `ahead` once it is worked out
 */
export function planPage(
  ahead: PlanAhead,
  whatIf: WhatIf,
  width: number,
  look: Look,
): readonly Line[] {
  const top = [
    heading(line("PLAN"), width, look.glyphs),
    ...wrapped(whatIfWords(ahead, whatIf), width),
    ...wrapped(groupHints("In the plan").join("; "), width),
  ];
  const { plan, refusal } = ahead;
  if (plan === null) {
    return [...top, line(""), ...wrapped(refusal ?? "", width).map((each) => warn(each, look))];
  }
  const context = contextOf(ahead, look);
  return [
    ...top,
    line(""),
    ...dayWords(plan, context).flatMap((text) => wrapped(text, width)),
    ...reachWords(plan, context).flatMap((text) => wrapped(text, width)),
    ...section(
      "TO SEE TO",
      plan.warnings.flatMap((text) => wrapped(text, width)),
      width,
      look,
    ),
    ...chartLines(plan, context, width, look),
    ...section("TIMETABLE", timetableLines(plan, width, look), width, look),
  ];
}

/**
 * The short form for a panel: runs, reach, whether it fits, how much there is to see to.
 *
 * @returns exactly `rows` lines
 */
export function planPanel(
  ahead: PlanAhead,
  width: number,
  rows: number,
  look: Look,
): readonly Line[] {
  const title = heading(line("PLAN"), width, look.glyphs);
  const { plan, refusal } = ahead;
  const texts = plan === null ? [refusal ?? ""] : panelWords(plan);
  // The way to the rest stands whatever has to go.
  const shown = [title, ...texts.flatMap((text) => wrapped(text, width))].slice(0, rows - 1);
  return fillRows(
    [...shown, line(WHOLE_PLAN)].map((each) => cutLine(each, width, look.glyphs.ellipsis)),
    rows,
  );
}

function panelWords(plan: Plan): readonly string[] {
  const runs =
    plan.runs === null
      ? "no number of runs planned"
      : plan.exploring === null
        ? `${String(plan.runs)} runs, ${String(plan.swaps)} swaps`
        : `${String(plan.runs)} exploring runs, ${String(plan.exploring.check_runs)} to check`;
  const smallest = plan.smallest_difference_s;
  const inSpreads = plan.smallest_difference_spreads;
  const ends =
    smallest?.low == null || smallest.high === null
      ? ""
      : ` (${plain(smallest.low, 1)} to ${plain(smallest.high, 1)})`;
  const reach =
    smallest !== null
      ? `likely to be seen: ${plain(smallest.at_spread, 1)} s${ends}`
      : inSpreads === null
        ? "nothing likely to be seen"
        : `likely to be seen: ${plain(inSpreads, 1)} spreads`;
  const day = plan.day_minutes === null ? "" : `${plain(plan.day_minutes, 0)} min`;
  const fits = plan.fits === null ? "" : plan.fits ? "fits" : "DOES NOT FIT";
  const hours = [day, fits].filter((part) => part !== "").join(", ");
  const { length } = plan.warnings;
  const see =
    length === 0 ? [] : [`${String(length)} ${length === 1 ? "thing" : "things"} to see to`];
  return [runs, reach, ...(hours === "" ? [] : [hours]), ...see];
}

function contextOf({ marginS, firstRider }: PlanAhead, { glyphs }: Look): PlanContext {
  return { rider: firstRider, marginS, plusMinus: glyphs.plusMinus };
}

/** `As planned`, or what is otherwise; then which set-ups are in, by their keys. */
function whatIfWords({ setups }: PlanAhead, { runs, without, swapMinutes }: WhatIf): string {
  const parts = [
    ...(runs === AS_PLANNED.runs
      ? []
      : [`${signed(runs, 0)} ${Math.abs(runs) === 1 ? "run" : "runs"}`]),
    ...(without.length === 0 ? [] : [`without ${without.join(", ")}`]),
    ...(swapMinutes === AS_PLANNED.swapMinutes ? [] : [`${signed(swapMinutes, 0)} min a swap`]),
  ];
  const state = parts.length === 0 ? "As planned" : `What if: ${parts.join(", ")}`;
  const keys = setups.map((id, i) => `${String(i + 1)} ${id}${without.includes(id) ? " out" : ""}`);
  return keys.length === 0 ? state : `${state}. Set-ups: ${keys.join(", ")}`;
}

function chartLines(
  plan: Plan,
  { marginS }: PlanContext,
  width: number,
  look: Look,
): readonly Line[] {
  if (plan.curve.length === 0) return [];
  const marks = { runs: plan.runs, marginS };
  const columns = Math.min(width, WIDEST_CHART);
  return section(
    "SMALLEST DIFFERENCE AGAINST RUNS",
    [
      ...reachChart(plan.curve, marks, columns, CHART_ROWS, look.glyphs).map(line),
      ...wrapped(reachLegend(plan.curve, marks, look.glyphs), width),
    ],
    width,
    look,
  );
}

function timetableLines(plan: Plan, width: number, look: Look): readonly Line[] {
  const columns = Math.max(0, ...plan.timetable.map(({ at }) => at.length));
  return plan.timetable.flatMap(({ at, what }) =>
    wrapped(safeText(what), Math.max(1, width - columns - 2)).map(
      (each, i): Line => [
        { text: `${fitText(i === 0 ? at : "", columns, look.glyphs.ellipsis, "right")}  ` },
        ...each,
      ],
    ),
  );
}

function section(
  title: string,
  lines: readonly Line[],
  width: number,
  look: Look,
): readonly Line[] {
  return lines.length === 0 ? [] : [heading(line(title), width, look.glyphs), ...lines];
}

function warn(of: Line, look: Look): Line {
  return alarm(of.map((span) => span.text).join(""), look);
}
