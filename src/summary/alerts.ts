// What is wrong right now, in words that stay until it is mended: silent gates, closed ports,
// overdue riders. Drawn by the console and the board; the time is handed in.
import type { BoxHealth } from "../domain/equipment.ts";
import type { Gate } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import { courseDoubt, isStartHeard } from "./course-doubt.ts";
import {
  isBatteryLow,
  isBeamWeak,
  isHeard,
  namedGates,
  QUIET_S,
  quietHint,
  strangeRole,
} from "./gate-health.ts";
import type { Summary } from "./summary.ts";

export interface Alert {
  /** `danger`: people may be hurt if it is overlooked; `fault`: times may be lost; `notice`: good to know. */
  readonly level: "danger" | "fault" | "notice";
  readonly text: string;
}

/** chosen: between runs only what soon loses times; the gate check looks more closely. */
const WEAK_BEAM_PCT = 80;
/** chosen: noise between lines is normal on a radio; five in a minute are a cable or an aerial. */
const FAULTS_WORTH_SAYING = 5;

/**
 * The alerts of this moment, worst first.
 *
 * @param clock - an instant as a clock time in the session's zone, for "since 10:42"
 */
export function alertsAt(
  summary: Summary,
  now: SessionUs,
  clock: (at: SessionUs) => string,
): readonly Alert[] {
  const alerts: Alert[] = [];
  if (summary.heldBecause !== null) {
    const out = summary.onCourse.length;
    const riding = out === 0 ? "" : ` (${String(out)} STILL ON COURSE)`;
    alerts.push({ level: "danger", text: `COURSE HELD: ${summary.heldBecause}${riding}` });
  }
  for (const rider of summary.onCourse) {
    const onCourseS = (now - rider.since) / 1e6;
    if (onCourseS > rider.overdueAfterS) {
      alerts.push({
        level: "danger",
        text: `OVERDUE: ${rider.riderName}, ${minutesAndSeconds(onCourseS)} on course, last in ${rider.sector}`,
      });
    }
  }
  // A box that was never heard is given time to answer on a port that has just been opened.
  const isJustOpened = summary.ports.some(
    (port) => port.isOpen && now - port.since <= QUIET_S * 1e6,
  );
  for (const { gate, name } of namedGates(summary.gates)) {
    if (gate.box === null) continue;
    const box = summary.boxes.find((b) => b.box === gate.box);
    alerts.push(...gateAlerts(summary, gate, name.toUpperCase(), box, now, clock, isJustOpened));
  }
  for (const port of summary.ports) {
    if (!port.isOpen) {
      // Why it is closed changes while it is tried again, and is told as a notice: one alert a port.
      alerts.push({ level: "fault", text: `PORT CLOSED, EVENTS WAIT IN THE BOX: ${port.port}` });
    }
  }
  if (isNoisy(summary, now)) {
    const text = "lines that cannot be read keep coming: check cable and radio (a: boxes)";
    alerts.push({ level: "notice", text });
  }
  return alerts.sort((a, b) => rank(a) - rank(b));
}

/** True if the last minute brought more unreadable lines than the stray one or two. */
function isNoisy({ faults }: Summary, now: SessionUs): boolean {
  return faults.recent.filter((fault) => now - fault.at <= 60e6).length >= FAULTS_WORTH_SAYING;
}

/** What may be said of the course: never "clear" unless a start would have been noticed. */
export function courseLine(
  summary: Summary,
  now: SessionUs,
  clock: (at: SessionUs) => string,
): string {
  const count = summary.onCourse.length;
  if (summary.heldBecause !== null) return "COURSE HELD";
  const doubt = courseDoubt(summary, now, clock);
  if (count > 0 && isStartHeard(summary, now)) return `${String(count)} ON COURSE`;
  if (doubt !== null) return `${doubt}: COURSE MAY BE OCCUPIED`;
  return summary.gates[0]?.box == null ? "nobody on course by the keys" : "course clear";
}

function gateAlerts(
  { gates, passings }: Summary,
  gate: Gate,
  name: string,
  box: BoxHealth | undefined,
  now: SessionUs,
  clock: (at: SessionUs) => string,
  isJustOpened: boolean,
): Alert[] {
  const level = gate.role === "start" ? "danger" : "fault";
  if (box?.lastHeardAt == null) {
    if (isJustOpened) return [];
    return [{ level, text: `${name} GATE (${gate.box ?? ""}) NOT HEARD YET` }];
  }
  if (!isHeard(box, now)) {
    const quiet = minutesAndSeconds((now - box.lastHeardAt) / 1e6);
    const text = `${name} QUIET FOR ${quiet} ${quietHint(box, clock(box.lastHeardAt))}`;
    return [{ level, text }];
  }
  const alerts: Alert[] = [];
  if (box.isDisputed) {
    const text = `${name} GATE (${box.box}) USED ONE NUMBER TWICE: it does not count; two boxes of that id? reset it`;
    alerts.push({ level, text });
  }
  const role = strangeRole(box, gates);
  if (role !== null) {
    const text = `${name} gate (${box.box}): the box says that it is the ${role}; boxes mixed up?`;
    alerts.push({ level: "notice", text });
  }
  if (box.isBlocked) {
    alerts.push({ level: "fault", text: `${name} GATE: BEAM BLOCKED, no times until it is clear` });
  } else if (isBeamWeak(box, passings, WEAK_BEAM_PCT, now)) {
    alerts.push({
      level: "notice",
      text: `${name} gate: beam seen only ${String(box.beamPct)} %: aim it`,
    });
  }
  if (isBatteryLow(box.battMv)) {
    alerts.push({
      level: "notice",
      text: `${name} gate: battery ${((box.battMv ?? 0) / 1000).toFixed(2)} V, low: change it`,
    });
  }
  return alerts;
}

function rank(alert: Alert): number {
  return ["danger", "fault", "notice"].indexOf(alert.level);
}

function minutesAndSeconds(s: number): string {
  const whole = Math.floor(s);
  return `${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, "0")}`;
}
