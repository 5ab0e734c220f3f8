// New alerts as sentences: what a screen would show in its fixed place; called by the cli once a second.
import type { SessionUs } from "../../domain/time.ts";
import { alertsAt } from "../../summary/alerts.ts";
import type { Summary } from "../../summary/summary.ts";
import { type AlertMemory, acknowledgeAlerts, rememberAlerts } from "../console/alert-memory.ts";
import { safeText } from "../present/safe-text.ts";
import { clockTime } from "../present/seconds.ts";

/** Says each alert once when it comes up, and again only after it was over. */
export function createAlertTeller(): (summary: Summary, now: SessionUs) => readonly string[] {
  let memory: AlertMemory = { known: [] };
  return (summary, now) => {
    const { zone } = summary.settings;
    // The course held and closed ports have sentences of their own.
    const alerts = alertsAt(summary, now, (at) => clockTime(at, zone)).filter(
      (alert) => !/^(?:COURSE HELD|PORT CLOSED)/u.test(alert.text),
    );
    const seen = rememberAlerts(memory, alerts);
    memory = acknowledgeAlerts(seen, Number.POSITIVE_INFINITY);
    return seen.known
      .filter((known) => !known.isAcknowledged)
      .map((known) => safeText(known.alert.text));
  };
}
