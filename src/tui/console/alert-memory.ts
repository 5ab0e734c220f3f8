// Keeps a fault on the screen until somebody acknowledged it, even if it mended itself meanwhile.
import type { Alert } from "../../summary/alerts.ts";

export interface KnownAlert {
  readonly alert: Alert;
  /** Still the case. */
  readonly isNow: boolean;
  readonly isAcknowledged: boolean;
}

/** Worst first, then in the order in which they came. */
export interface AlertMemory {
  readonly known: readonly KnownAlert[];
}

const LEVELS: readonly Alert["level"][] = ["danger", "fault", "notice"];

/** Figures that move on while the trouble stays the same: times, shares, volts, runs left. */
const MOVING = /\d+(?::\d+)+|\d+ %|[\d.]+ V|\d+ more runs?/gu;

/** A gate just put up, a course just opened: once that is over there is nothing to be told. */
const NOTHING_MISSED = /NOT HEARD YET$|^COURSE HELD/u;

/** Alerts by what makes them the same trouble a second later; two alike are told apart by order. */
function byTrouble<T>(items: readonly T[], alertOf: (item: T) => Alert): Map<string, T> {
  const named = new Map<string, T>();
  for (const item of items) {
    const trouble = alertOf(item).text.replace(MOVING, "#");
    let name = trouble;
    for (let n = 2; named.has(name); n++) name = `${trouble} (${String(n)})`;
    named.set(name, item);
  }
  return named;
}

/** Danger first whatever was acknowledged, then the unseen, then by level. */
function rank({ alert, isAcknowledged }: KnownAlert): number {
  if (alert.level === "danger") return isAcknowledged ? 1 : 0;
  return 2 + LEVELS.indexOf(alert.level) + (isAcknowledged ? LEVELS.length : 0);
}

/**
 * What is known after another look. Gone and acknowledged ones are forgotten, gone notices too;
 * gone faults stay until acknowledged.
 *
 * @param alerts - all that is wrong at this moment
 */
export function rememberAlerts(memory: AlertMemory, alerts: readonly Alert[]): AlertMemory {
  const now = byTrouble(alerts, (alert) => alert);
  const before = byTrouble(memory.known, (known) => known.alert);
  const kept = [...before].flatMap(([trouble, known]): KnownAlert[] => {
    const same = now.get(trouble);
    now.delete(trouble);
    if (same !== undefined) return [{ ...known, alert: same, isNow: true }];
    const isDone = known.isAcknowledged || known.alert.level === "notice";
    if (isDone || NOTHING_MISSED.test(known.alert.text)) return [];
    return [{ ...known, isNow: false }];
  });
  const added = [...now.values()].map((alert) => ({ alert, isNow: true, isAcknowledged: false }));
  return { known: [...kept, ...added].sort((a, b) => rank(a) - rank(b)) };
}

/**
 * What is to be told now. A notice that was seen has done its work; what may hurt or lose times stays
 * while it is so.
 */
export function currentAlerts({ known }: AlertMemory): readonly KnownAlert[] {
  return known.filter((each) => each.alert.level !== "notice" || !each.isAcknowledged);
}

/** Those with a row of their own; where not all fit, the last row counts the rest. */
export function shownAlerts(memory: AlertMemory, rows: number): readonly KnownAlert[] {
  const current = currentAlerts(memory);
  return current.length <= rows ? current : current.slice(0, Math.max(0, rows - 1));
}

/**
 * What is left to show once the operator has seen what is on the screen: whatever is still the case,
 * and what would be gone for good without having had a row.
 *
 * @param rows - rows that the alerts have on the screen
 */
export function acknowledgeAlerts(memory: AlertMemory, rows: number): AlertMemory {
  const shown = new Set(shownAlerts(memory, rows));
  const canWait = ({ alert, isNow }: KnownAlert): boolean => alert.level === "notice" || !isNow;
  const isSeen = (known: KnownAlert): boolean => shown.has(known) || !canWait(known);
  const unseen = memory.known.filter((known) => !known.isAcknowledged);
  // Behind dangers that fill the screen nothing more can be shown: then it is all taken as seen.
  const isStuck = !unseen.some(isSeen);
  const known = memory.known.flatMap((each): KnownAlert[] => {
    if (!isStuck && !each.isAcknowledged && !isSeen(each)) return [each];
    return each.isNow ? [{ ...each, isAcknowledged: true }] : [];
  });
  return { known: known.sort((a, b) => rank(a) - rank(b)) };
}

/** Whether a press of the acknowledging key would change anything. */
export function hasUnseenAlerts(memory: AlertMemory): boolean {
  return memory.known.some((known) => !known.isAcknowledged);
}
