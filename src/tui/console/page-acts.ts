// Turning pages, and what if: the plan with a few things otherwise, for a look. Called by the commands.
import { AS_PLANNED, type WhatIf } from "../../domain/plan.ts";
import type { Summary } from "../../summary/summary.ts";
import type { Page } from "./console-state.ts";
import type { Desk } from "./desk.ts";

/** chosen: further away than any day is from its plan. */
const MOST_CHANGED = 100;

export function showPage(desk: Desk, page: Page): void {
  const checkedSince = desk.state().checkedSince ?? desk.now();
  const opened = page === "gates" ? { checkedSince } : {};
  desk.change({ mode: "HELP", page, pageTop: 0, ...opened });
}

/** What the uncertainty of a run's time is made of. */
export function showBudget(desk: Desk, runId: string): void {
  desk.change({ mode: "HELP", page: "budget", pageTop: 0, budgetOf: runId });
}

/** The gate check begins anew each time that it is asked for. */
export function checkGates(desk: Desk): void {
  desk.change({ mode: "HELP", page: "gates", pageTop: 0, checkedSince: desk.now() });
}

/** Pages that have something to say in this session, in Tab's order. */
function pagesOf(summary: Summary): readonly Page[] {
  return [
    "plan",
    ...(summary.gates.some((gate) => gate.box !== null) ? (["gates"] as const) : []),
    ...(summary.riders.length > 1 ? (["call-up"] as const) : []),
    ...(summary.explored === null ? [] : (["exploring"] as const)),
    "comparison",
    "boxes",
    "keys",
  ];
}

/** The page after the one shown; after the last the first. */
export function nextPage(desk: Desk): void {
  const pages = pagesOf(desk.summary());
  const at = pages.indexOf(desk.state().page);
  showPage(desk, pages[(at + 1) % pages.length] ?? "plan");
}

/** The page of a setting that is explored. */
export function showExploring(desk: Desk): void {
  if (desk.summary().explored === null) desk.refuse("no setting is explored in this session");
  else showPage(desk, "exploring");
}

/** Changes the plan for a look; nothing of it is written anywhere. */
function changePlan(desk: Desk, change: (whatIf: WhatIf) => WhatIf): void {
  const { page, whatIf } = desk.state();
  if (page !== "plan") {
    desk.refuse("that is for the plan: Tab turns to it");
    return;
  }
  desk.change({ whatIf: change(whatIf) });
}

/** @param step - runs of each rider and day added */
export function planRuns(desk: Desk, step: 1 | -1): void {
  const runs = step * desk.summary().settings.days;
  changePlan(desk, (whatIf) => ({ ...whatIf, runs: bounded(whatIf.runs + runs) }));
}

/** @param step - minutes added to each swap */
export function planSwap(desk: Desk, step: 1 | -1): void {
  changePlan(desk, (whatIf) => ({ ...whatIf, swapMinutes: bounded(whatIf.swapMinutes + step) }));
}

/** Leaves the set-up with that number out, or takes it in again. */
export function planSetup(desk: Desk, digit: number | null): void {
  const setup = desk.summary().setups[(digit ?? 0) - 1]?.id;
  if (setup === undefined) {
    desk.refuse(`there is no set-up ${String(digit)}`);
    return;
  }
  changePlan(desk, (whatIf) => ({
    ...whatIf,
    without: whatIf.without.includes(setup)
      ? whatIf.without.filter((each) => each !== setup)
      : [...whatIf.without, setup],
  }));
}

export function planAsItIs(desk: Desk): void {
  changePlan(desk, () => AS_PLANNED);
}

function bounded(value: number): number {
  return Math.max(-MOST_CHANGED, Math.min(MOST_CHANGED, value));
}
