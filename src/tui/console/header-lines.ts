// The console's first rows: stretch, session, clock, age of the last event, the course, the alerts.
import { courseLine } from "../../summary/alerts.ts";
import type { Summary } from "../../summary/summary.ts";
import { ends, fillRows, type Line, line } from "../line.ts";
import { alarm, type Look } from "../look.ts";
import { safeText, textWidth } from "../present/safe-text.ts";
import { age, clockTime } from "../present/seconds.ts";
import { type AlertMemory, currentAlerts, type KnownAlert, shownAlerts } from "./alert-memory.ts";
import { type ConsoleStatus, recorderWords } from "./console-status.ts";
import type { Snapshot } from "./controller.ts";

/** Two rows: what and when; the course and who records. */
export function headerLines(shot: Snapshot, width: number, look: Look): readonly Line[] {
  const { summary, now, status } = shot;
  const { settings } = summary;
  const { ellipsis } = look.glyphs;
  const practice = status.isPractice ? "PRACTICE  " : "";
  const closed = summary.isClosed ? "  CLOSED" : "";
  const name = settings.name === settings.stretch ? "" : `: ${safeText(settings.name)}`;
  const what = `${practice}${safeText(settings.stretch)}${name}${closed}`;
  const clock = clockTime(now, settings.zone, true);
  const course = safeText(courseLine(summary, now, (at) => clockTime(at, settings.zone)));
  // Whatever is not known to be clear is written in capitals; it also takes the alarm's colour.
  const isAlarm = /MAY BE|HELD/u.test(course);
  return [
    ends(
      [{ text: what, isBold: true }],
      line(`${clock}  ${lastEventWords(shot)}`),
      width,
      ellipsis,
    ),
    ends(
      isAlarm ? alarm(course, look) : [{ text: course, isBold: true }],
      line(recorderText(status, width - textWidth(course) - 2)),
      width,
      ellipsis,
    ),
  ];
}

/** Who records into which file; whatever there is no room for is left out, the course is not. */
function recorderText(status: ConsoleStatus, room: number): string {
  const recorder = recorderWords(status.recorder);
  const both = `${recorder}  ${safeText(fileName(status.file))}`;
  return [both, recorder].find((text) => textWidth(text) <= room) ?? "";
}

function fileName(path: string): string {
  return path.slice(Math.max(path.lastIndexOf("/"), path.lastIndexOf("\\")) + 1);
}

/** A screen that hears nothing any more shows it here. */
function lastEventWords({ summary, now }: Snapshot): string {
  const at = lastEventAt(summary);
  return at === undefined ? "no event yet" : `last event ${age((now - at) / 1e6)} ago`;
}

function lastEventAt(summary: Summary): number | undefined {
  const heard = summary.boxes.flatMap((box) => box.lastHeardAt ?? []);
  const passed = summary.passings.map((passing) => passing.at);
  const all = [...heard, ...passed, ...summary.swaps.map((swap) => swap.at)];
  return all.length === 0 ? undefined : all.reduce<number>((a, b) => Math.max(a, b), 0);
}

/** Exactly `rows` rows: the worst first; the last one counts what has no room. */
export function alertLines(memory: AlertMemory, rows: number, look: Look): readonly Line[] {
  const shown = shownAlerts(memory, rows);
  const lines = shown.map((each) => alertLine(each, look));
  const rest = currentAlerts(memory).length - shown.length;
  if (rest > 0) lines.push(alarm(`! and ${String(rest)} more: Space acknowledges`, look));
  return fillRows(lines, rows);
}

function alertLine({ alert, isNow, isAcknowledged }: KnownAlert, look: Look): Line {
  const mark = alert.level === "danger" ? "!!" : alert.level === "fault" ? "! " : "  ";
  // In front: behind it a long alert would be cut, and one that is over would look as if it stood.
  const state = isNow ? (isAcknowledged ? "(seen) " : "") : "(over) ";
  const text = `${mark} ${state}${safeText(alert.text)}`;
  return alert.level === "notice" || isAcknowledged ? line(text) : alarm(text, look);
}
