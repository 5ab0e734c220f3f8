// The pages that take the panels' place: all keys, the boxes, the emergency page, a list to pick from.
import type { BoxHealth } from "../../domain/equipment.ts";
import type { Gate } from "../../domain/session.ts";
import type { SessionUs } from "../../domain/time.ts";
import { boxBattery, lastsToWords } from "../../summary/batteries.ts";
import { helpSections } from "../keys/key-help.ts";
import { fillRows, heading, type Line, line } from "../line.ts";
import { alarm, type Look, markSpan, riderName } from "../look.ts";
import { fitText, safeText, textWidth, wrapText } from "../present/safe-text.ts";
import { age, clockTime, runningTime } from "../present/seconds.ts";
import { gateNames } from "../run-words.ts";
import type { Pick } from "./console-state.ts";
import type { Snapshot } from "./controller.ts";
import { boxOf, gateWords } from "./course-lines.ts";
import { PICKS_A_PAGE } from "./prompt-keys.ts";

/** Every key from the key table, by group. */
export function helpLines(width: number, look: Look): readonly Line[] {
  return helpSections().flatMap((section) => {
    const columns = Math.max(...section.rows.map((row) => textWidth(row.keys)));
    return [
      heading(line(section.group.toUpperCase()), width, look.glyphs),
      ...section.rows.flatMap((row) =>
        wrapText(row.help, width - columns - 2).map((help, i) =>
          line(`${fitText(i === 0 ? row.keys : "", columns, look.glyphs.ellipsis)}  ${help}`),
        ),
      ),
    ];
  });
}

/** Each gate's box: link, beam, battery, clock; ports; what could not be read. */
export function boxLines(shot: Snapshot, width: number, look: Look): readonly Line[] {
  const { summary, now } = shot;
  const names = gateNames(summary.gates);
  const gates = summary.gates.map((gate, i) => line(gateDetail(shot, gate, names[i] ?? "")));
  const ports = summary.ports.map((port) => {
    const since = clockTime(port.since, summary.settings.zone);
    const state = port.isOpen ? "open" : `CLOSED: ${port.reason ?? "lost"}`;
    return line(safeText(`${port.port} ${state}, since ${since}`));
  });
  const { unreadable, duplicates, recent } = summary.faults;
  const counts = `${String(unreadable)} unreadable lines, ${String(duplicates)} received twice`;
  const newest = [...recent].reverse().map((fault) => {
    const ago = age((now - fault.at) / 1e6);
    return line(safeText(`  ${ago} ago, ${fault.port}: ${fault.text}`));
  });
  const none = line("none");
  return [
    heading(line("GATES"), width, look.glyphs),
    ...gates,
    heading(line("PORTS"), width, look.glyphs),
    ...(ports.length > 0 ? ports : [none]),
    heading(line("LINES"), width, look.glyphs),
    line(counts),
    ...newest,
    ...summary.anomalies.map((text) => line(`  ${safeText(text)}`)),
  ];
}

/** How long a box's battery lasts; null: not known yet. */
export function batteryWords(box: BoxHealth, now: SessionUs, zone: string): string | null {
  const readings = box.battery ?? [];
  return lastsToWords(readings, boxBattery(readings), now, (at) => clockTime(at, zone));
}

function gateDetail(shot: Snapshot, gate: Gate, name: string): string {
  const box = boxOf(shot, gate);
  const words = gateWords(gate, box, shot.now).text;
  if (gate.box === null || box === undefined) return `${name}: ${words}`;
  const heard =
    box.lastHeardAt === null ? "" : `, last ${age((shot.now - box.lastHeardAt) / 1e6)} ago`;
  const beam = box.beamPct === null ? "" : `, beam ${String(box.beamPct)} %`;
  const volts = box.battMv === null ? "" : `, ${(box.battMv / 1000).toFixed(2)} V`;
  const lasts = batteryWords(box, shot.now, shot.summary.settings.zone);
  const battery = lasts === null ? "" : ` (${lasts})`;
  const clock = `, clock asked ${String(box.exchanges)} times`;
  const restarts = box.restarts === 0 ? "" : `, restarted ${String(box.restarts)} times`;
  return `${name} (${safeText(gate.box)}): ${words}${heard}${beam}${volts}${battery}${clock}${restarts}`;
}

/** Who is on course, where, since when; and what was typed beforehand for the rescuers. */
export function emergencyLines(shot: Snapshot, width: number, look: Look): readonly Line[] {
  const { summary, now, status } = shot;
  const { zone } = summary.settings;
  const people = summary.onCourse.map((each): Line => {
    const since = clockTime(each.since, zone, true);
    const forS = runningTime((now - each.since) / 1e6);
    const where = safeText(each.sector);
    return [
      { text: `${riderName(summary, each.run.rider)}, on `, isBold: true },
      markSpan(summary, each.run.setup, look),
      { text: `: since ${since} (${forS})${where === "" ? "" : `, last known in ${where}`}` },
    ];
  });
  const nobody = line("Nobody by what is known here. A start that was not heard is not shown.");
  const typed = status.emergencyText.flatMap((text) => wrapText(safeText(text), width)).map(line);
  const untyped = line("Nothing was written down beforehand. Say where you are, and who is hurt.");
  return [
    ...(people.length === 0 ? [] : [alarm("LOOK FOR", look)]),
    heading(line("ON COURSE"), width, look.glyphs),
    ...(people.length === 0 ? [nobody] : people),
    heading(line("STRETCH"), width, look.glyphs),
    line(stretchWords(shot)),
    heading(line("FOR THE RESCUERS"), width, look.glyphs),
    ...(typed.length > 0 ? typed : [untyped]),
  ];
}

function stretchWords({ summary }: Snapshot): string {
  const { stretch, lengthM, dropM } = summary.settings;
  const length = lengthM === null ? "" : `, ${String(lengthM)} m long`;
  const drop = dropM === null ? "" : `, ${String(dropM)} m of drop`;
  const sectors = summary.sectors.length > 1 ? `; sectors: ${summary.sectors.join(", ")}` : "";
  return safeText(`${stretch}${length}${drop}${sectors}`);
}

/** The part of a page that is on the screen, and how far it can be scrolled. */
export function pageOf(
  lines: readonly Line[],
  top: number,
  rows: number,
): { readonly lines: readonly Line[]; readonly last: number } {
  const last = Math.max(0, lines.length - rows);
  const first = Math.min(top, last);
  const shown = [...lines.slice(first, first + rows)];
  const below = lines.length - first - rows;
  if (below > 0) shown[rows - 1] = line(`${String(below + 1)} more rows below: down`);
  return { lines: fillRows(shown, rows), last };
}

/** A list: one page of it, numbered, the focused line marked `>`. Exactly `rows` rows. */
export function pickLines(pick: Pick, width: number, rows: number, look: Look): readonly Line[] {
  const start = Math.floor(pick.selected / PICKS_A_PAGE) * PICKS_A_PAGE;
  const shown = pick.items.slice(start, start + PICKS_A_PAGE);
  const pages = Math.ceil(pick.items.length / PICKS_A_PAGE);
  const page = pages > 1 ? ` (page ${String(start / PICKS_A_PAGE + 1)} of ${String(pages)})` : "";
  const items = shown.map((item, i): Line => {
    const isFocused = start + i === pick.selected;
    const text = `${isFocused ? ">" : " "} ${String(i + 1)}  ${safeText(item.label)}`;
    return [{ text, isBold: isFocused }];
  });
  return fillRows(
    [heading(line(`${safeText(pick.title)}${page}`), width, look.glyphs), ...items],
    rows,
  );
}
