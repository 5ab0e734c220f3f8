// Who is on course, who is next, and what is heard of the gates; the console's upper left panel.
import type { BoxHealth } from "../../domain/equipment.ts";
import type { Gate } from "../../domain/session.ts";
import type { SessionUs } from "../../domain/time.ts";
import { courseDoubt } from "../../summary/course-doubt.ts";
import { isHeard } from "../../summary/gate-health.ts";
import { minutesSinceFinish } from "../../summary/stops-now.ts";
import { fillRows, heading, type Line, line, lineWidth } from "../line.ts";
import { alarm, type Look, markSpan, riderName } from "../look.ts";
import { cutText, safeText, textWidth } from "../present/safe-text.ts";
import { age, runningTime } from "../present/seconds.ts";
import { gateNames } from "../run-words.ts";
import type { Snapshot } from "./controller.ts";
import { waitingRider } from "./waiting-rider.ts";

const SHORTEST_NAME = 4;

/** The panel, exactly `rows` rows. */
export function courseLines(
  shot: Snapshot,
  width: number,
  rows: number,
  look: Look,
): readonly Line[] {
  const gates = gateLines(shot, width, look);
  // Title, at least two riders and the next one stand before the gates.
  const gateRows = Math.min(gates.length, Math.max(1, rows - 4));
  const riders = riderLines(shot, width, rows - gateRows, look);
  return [...riders, ...gates.slice(0, gateRows)];
}

function riderLines(shot: Snapshot, width: number, rows: number, look: Look): readonly Line[] {
  const { summary, now } = shot;
  const { onCourse } = summary;
  const riderRows = rows - 2;
  const shown = onCourse.length > riderRows ? onCourse.slice(0, riderRows - 1) : onCourse;
  const lines = shown.map((each): Line => {
    const onCourseS = (now - each.since) / 1e6;
    const full = riderName(summary, each.run.rider);
    // Before the rest, so that it is never what a narrow panel cuts off.
    const doubt = each.isDoubtful ? "DNF? " : onCourseS > each.overdueAfterS ? "OVERDUE " : "";
    // With one sector, on course says it all.
    const sector = summary.sectors.length > 1 ? safeText(each.sector) : "";
    const mark = markSpan(summary, each.run.setup, look);
    const before = `${runningTime(onCourseS)} ${doubt}`;
    // Where a rider is matters more than the end of a name.
    const besides = textWidth(before) + 1 + textWidth(mark.text);
    const isTight = width - besides - textWidth(` in ${sector}`) < SHORTEST_NAME;
    const place = sector === "" ? "" : isTight ? ` ${sector}` : ` in ${sector}`;
    const room = width - besides - textWidth(place);
    const name = cutText(full, Math.max(SHORTEST_NAME, room), look.glyphs.ellipsis);
    return [{ text: `${before}${name} ` }, mark, { text: place }];
  });
  const others = onCourse.length - shown.length;
  if (others > 0) lines.push(line(`and ${String(others)} more: e shows all`));
  // Nobody is not said where a start would have gone unnoticed.
  if (onCourse.length === 0) {
    lines.push(line(courseDoubt(summary, now, () => "") === null ? "nobody" : "nobody known of"));
  }
  const title = heading(line("ON COURSE"), width, look.glyphs);
  return [title, ...fillRows(lines, riderRows), waitingLine(shot, width, look)];
}

function waitingLine({ summary, now }: Snapshot, width: number, look: Look): Line {
  const rider = waitingRider(summary);
  if (rider === undefined) return line("no rider yet");
  const setup = summary.mounted[rider];
  const start = `next: ${riderName(summary, rider)}`;
  if (setup === undefined) return line(`${start}, set-up not known: 1..9`);
  const waiting: Line = [{ text: `${start} on ` }, markSpan(summary, setup, look)];
  const rest = minutesSinceFinish(summary, rider, now);
  const rested = rest === null ? "" : `, ${String(Math.floor(rest))} min rest`;
  return lineWidth(waiting) + textWidth(rested) <= width ? [...waiting, { text: rested }] : waiting;
}

/** All gates in words, one after the other: `start heard  split 1 heard  finish QUIET 14 s`. */
function gateLines(shot: Snapshot, width: number, look: Look): readonly Line[] {
  const { summary, now } = shot;
  const names = gateNames(summary.gates);
  const lines: Line[] = [];
  let row: Line = [];
  let used = 0;
  for (const [i, gate] of summary.gates.entries()) {
    const words = gateWords(gate, boxOf(shot, gate), now);
    const text = `${names[i] ?? ""} ${words.text}`;
    const wide = textWidth(text) + (used > 0 ? 2 : 0);
    if (used > 0 && used + wide > width) {
      lines.push(row);
      row = [];
      used = 0;
    }
    const span = words.isWell ? line(text) : alarm(text, look);
    row = used > 0 ? [...row, { text: ", " }, ...span] : [...span];
    used += wide;
  }
  if (used > 0) lines.push(row);
  return lines;
}

export function boxOf({ summary }: Snapshot, gate: Gate): BoxHealth | undefined {
  return summary.boxes.find((box) => box.box === gate.box);
}

/** Link state of a gate in a word or two. */
export function gateWords(
  gate: Gate,
  box: BoxHealth | undefined,
  now: SessionUs,
): { readonly text: string; readonly isWell: boolean } {
  if (gate.box === null) return { text: "by hand", isWell: true };
  if (box?.lastHeardAt == null) return { text: "NOT HEARD", isWell: false };
  if (!isHeard(box, now)) {
    return { text: `QUIET ${age((now - box.lastHeardAt) / 1e6)}`, isWell: false };
  }
  if (box.isBlocked) return { text: "BLOCKED", isWell: false };
  return { text: "heard", isWell: true };
}
