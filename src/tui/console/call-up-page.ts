// The call-up list as a page, and as a line for the foot of a screen; called by the console's drawing
// and by the board.
import type { RiderId } from "../../domain/session.ts";
import { type SessionUs, sessionUs } from "../../domain/time.ts";
import type { LiveCallUp } from "../../summary/call-up-ahead.ts";
import { bold, heading, type Line, line } from "../line.ts";
import type { Look } from "../look.ts";
import { type Column, tableRow, tableWidth } from "../present/columns.ts";
import { safeText, textWidth, wrapText } from "../present/safe-text.ts";
import { clockTime } from "../present/seconds.ts";

const HEADS = ["RIDER", "BIKE", "PARTS", "SET-UP", "READY", "NOT BEFORE"] as const;
/** chosen: no name or id takes more; what is longer is cut. */
const WIDEST = 16;
/** Columns for the reasons; where less is left they stand on rows of their own. */
const NARROWEST_WHY = 24;

/**
 * Who starts next, first row first, and the gap to whoever is ahead.
 *
 * @param list - as `callUpAhead` gives it for `now`
 * @param names - a rider as people call them, safe to print
 */
export function callUpPage(
  list: readonly LiveCallUp[],
  now: SessionUs,
  zone: string,
  names: (rider: RiderId) => string,
  width: number,
  look: Look,
): readonly Line[] {
  const { ellipsis } = look.glyphs;
  const title = heading(line("CALL-UP LIST"), width, look.glyphs);
  if (list.length === 0) return [title, line("nobody is to start")];
  const cells = list.map((row) => cellsOf(row, now, zone, names));
  const columns = HEADS.map((head, i): Column => {
    const wide = Math.max(...[head, ...cells.map((own) => own[i] ?? "")].map(textWidth));
    return { width: Math.min(WIDEST, wide), align: "left" };
  });
  const below = notes(list, names).flatMap((text) => wrapText(text, width));
  if (tableWidth(columns) > width) {
    const words = list.map((row) => `${startWords(row, now, zone, names)}: ${safeText(row.why)}`);
    return [title, ...[...words.flatMap((text) => wrapText(text, width)), ...below].map(line)];
  }
  const room = width - tableWidth(columns) - 1;
  const isBeside = room >= NARROWEST_WHY;
  const rows = list.flatMap((row, i) => {
    const text = tableRow(cells[i] ?? [], columns, ellipsis);
    const why = wrapText(safeText(row.why), isBeside ? room : width - 2);
    const blank = " ".repeat(textWidth(text));
    const lines = isBeside
      ? why.map((part, k) => `${k === 0 ? text : blank} ${part}`)
      : [text, ...why.map((part) => `  ${part}`)];
    return lines.map((each, k): Line => (i === 0 && k === 0 ? bold(each) : line(each)));
  });
  return [
    title,
    line(`${tableRow(HEADS, columns, ellipsis)}${isBeside ? " WHY" : ""}`),
    ...rows,
    ...below.map(line),
  ];
}

/**
 * The start after the next one: `then R3 on B, bike-2, wheels-1, not before 10:42`.
 *
 * @param list - as `callUpAhead` gives it for `now`
 * @returns undefined if nobody follows
 */
export function callUpWords(
  list: readonly LiveCallUp[],
  now: SessionUs,
  zone: string,
): string | undefined {
  const row = list[1];
  if (row === undefined || row.notBefore === null) return undefined;
  return `then ${startWords(row, now, zone, safeText)}`;
}

function startWords(
  row: LiveCallUp,
  now: SessionUs,
  zone: string,
  names: (rider: RiderId) => string,
): string {
  const at = row.notBefore;
  const soon = row.isReady ? "now" : "not yet";
  const when = at === null ? "not at all" : at > now ? `not before ${roundedUp(at, zone)}` : soon;
  const gear = [...(row.bike === null ? [] : [row.bike]), ...row.parts];
  return `${names(row.rider)} on ${safeText([row.setup, ...gear, when].join(", "))}`;
}

function cellsOf(
  row: LiveCallUp,
  now: SessionUs,
  zone: string,
  names: (rider: RiderId) => string,
): readonly string[] {
  const at = row.notBefore;
  return [
    names(row.rider),
    safeText(row.bike ?? (at === null ? "none" : "own")),
    safeText(row.parts.length === 0 ? "-" : row.parts.join(", ")),
    safeText(row.setup),
    row.isReady ? "ready" : "not yet",
    at !== null && at > now ? roundedUp(at, zone) : row.isReady ? "now" : "-",
  ];
}

/** To the next full minute: earlier would be too early. */
function roundedUp(at: SessionUs, zone: string): string {
  const minute = 60e6;
  const next = Math.ceil(at / minute) * minute;
  return clockTime(sessionUs(next), zone);
}

/** Gaps to riders ahead, and a start that would be taken for somebody else. */
function notes(list: readonly LiveCallUp[], names: (rider: RiderId) => string): readonly string[] {
  const [first] = list;
  const called = list.find((row) => row.isCalled);
  const isAnother = first !== undefined && called !== undefined && called !== first;
  const gaps = list.flatMap(({ rider, behind }) => {
    if (behind === null) return [];
    const gap = `${String(Math.ceil(behind.gapS))} s after ${names(behind.rider)}`;
    return [`${names(rider)} not before ${gap}`];
  });
  return [
    ...gaps,
    ...(gaps.length > 0 ? ["the gap is the least: marshals and local rules come first"] : []),
    ...(isAnother
      ? [
          `the next start is taken for ${names(called.rider)}: call ${names(first.rider)} up if ${names(first.rider)} goes first`,
        ]
      : []),
  ];
}
