// What the rider's board says: the last time, what goes on the bike next, where things stand.
import type { Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Run } from "../../domain/run.ts";
import type { SessionUs } from "../../domain/time.ts";
import { alertsAt, courseLine } from "../../summary/alerts.ts";
import { askedFirst, missingAspects, ridersAsked } from "../../summary/asked-first.ts";
import { callUpAhead } from "../../summary/call-up-ahead.ts";
import { stopsNow } from "../../summary/stops-now.ts";
import type { Summary } from "../../summary/summary.ts";
import { reasonWhileHidden } from "../blind-words.ts";
import { callUpWords } from "../console/call-up-page.ts";
import { bandLines } from "../console/comparison-lines.ts";
import { lastTimeLines } from "../console/last-time-lines.ts";
import { bold, ends, fillRows, heading, type Line, line } from "../line.ts";
import { alarm, type Look, labelSpan, markSpan, riderName } from "../look.ts";
import { nextLabel } from "../next-label.ts";
import { bigDigits } from "../present/big-digits.ts";
import { safeText, wrapText } from "../present/safe-text.ts";
import { clockTime, plain } from "../present/seconds.ts";
import { moreRunsWords, verdictSentence } from "../present/verdict-words.ts";
import { runName } from "../run-words.ts";
import { riderContext } from "../verdict-context.ts";
import { bigLetter, bigQuestion, LETTER_ROWS } from "./big-letters.ts";

/** What one picture of the board is made of. */
export interface BoardShot {
  readonly summary: Summary;
  readonly now: SessionUs;
  /** Shows only what to fit until the session is closed. */
  readonly isBlind: boolean;
  /** What changed in a time that was shown; null: nothing lately. */
  readonly news: string | null;
}

/** Rows of the upper half: a title, the letter or the digits, and a line below. */
export const TOP_ROWS = LETTER_ROWS + 2;
/** Columns of what goes on the bike next. */
export const NEXT_COLUMNS = 26;

/** Whether the standing must not be seen. */
function isHidden({ isBlind, summary }: BoardShot): boolean {
  return isBlind && !summary.isClosed;
}

/** Three rows: stretch and clock; the course, and the worst that endangers anybody; changed times. */
export function boardHeader(shot: BoardShot, width: number, look: Look): readonly Line[] {
  const { summary, now } = shot;
  const { stretch, zone } = summary.settings;
  const clock = (at: SessionUs): string => clockTime(at, zone);
  const closed = summary.isClosed ? "  CLOSED" : "";
  const danger = alertsAt(summary, now, clock).find((alert) => alert.level === "danger");
  const course = bold(safeText(courseLine(summary, now, clock)));
  return [
    ends(
      bold(`${safeText(stretch)}${closed}`),
      line(clockTime(now, zone, true)),
      width,
      look.glyphs.ellipsis,
    ),
    danger === undefined ? course : alarm(`!! ${safeText(danger.text)}`, look),
    line(isHidden(shot) ? "" : safeText(shot.news ?? "")),
  ];
}

/** The last time, large; while a rider is asked how the run was, the question. */
export function boardTime(shot: BoardShot, width: number, look: Look): readonly Line[] {
  const asked = askedFirst(shot.summary, shot.now);
  if (asked !== null) return questionLines(shot.summary, asked, width, look);
  if (isHidden(shot)) return fillRows([], TOP_ROWS);
  return lastTimeLines(shot.summary, width, TOP_ROWS, width >= 60 ? 7 : 5, look);
}

function questionLines(summary: Summary, run: Run, width: number, look: Look): readonly Line[] {
  const whose = `${runName(run)}  ${riderName(summary, run.rider)}`;
  const aspects = missingAspects(summary, run.runId).join(", ");
  return [
    heading(line(`HOW WAS IT?  ${whose}`), width, look.glyphs),
    ...bigQuestion(look.glyphs).map(line),
    bold(`${safeText(aspects)}: tell the operator`),
  ];
}

/** What goes on the bike next: the letter large, its name below. */
export function boardNext(shot: BoardShot, width: number, look: Look): readonly Line[] {
  const { summary } = shot;
  const { rider, setup, stop, warm_up: warmUp } = summary.comparison.next;
  const who = rider === null ? "" : `  ${riderName(summary, rider)}`;
  const title = heading(line(`NEXT${who}`), width, look.glyphs);
  if (summary.isClosed) return fillRows([title, line("the session is closed")], TOP_ROWS);
  if (rider === null || setup === null) {
    const safety = stopsNow(summary).find((each) => each.rider === rider);
    const nothing = stop === "day-over" ? "the day is over" : "nothing is suggested";
    const words = wrapText(safeText(safety?.sentence ?? nothing), width);
    return fillRows([title, ...words.map((text) => line(text))], TOP_ROWS);
  }
  const label = nextLabel(summary, setup, look);
  const isOn = summary.mounted[rider] === setup;
  const toFit = warmUp?.over === false ? "  after warm-up" : "  to fit";
  const below: Line = [{ ...label, isBold: true }, { text: isOn ? "  on the bike" : toFit }];
  const letter = bigLetter(setup, look.glyphs) ?? [];
  const rows = letter.map((row): Line => [{ text: row, colour: label.colour }]);
  return fillRows([title, ...fillRows(rows, letter.length), below], TOP_ROWS);
}

/** Where things stand: a sentence a pair and its band, rider by rider; exactly `rows` rows. */
export function boardStanding(
  shot: BoardShot,
  width: number,
  rows: number,
  look: Look,
): readonly Line[] {
  const { summary } = shot;
  if (isHidden(shot)) return fillRows([], rows);
  const asked = ridersAsked(summary, shot.now);
  const riders = ranked(summary).map((rider) =>
    asked.has(rider.rider)
      ? afterAnswers(summary, rider, width, look)
      : riderLines(summary, rider, width, look),
  );
  const lines: Line[] = [];
  for (const [i, block] of riders.entries()) {
    // A rider without room for the bands still has the sentences, which end the block.
    const isLast = i === riders.length - 1;
    const room = rows - lines.length - (isLast ? 0 : riders.length - 1 - i);
    const fits = [block.large, block.full].find((each) => each.length <= room);
    lines.push(...(fits ?? block.short.slice(0, room)));
  }
  return fillRows(lines, rows);
}

/** The rider of the last run first: it is they who look. */
function ranked(summary: Summary): readonly RiderComparison[] {
  const last = summary.lastFinished?.rider;
  const { riders } = summary.comparison;
  return [
    ...riders.filter((each) => each.rider === last),
    ...riders.filter((each) => each.rider !== last),
  ];
}

/** A rider's part of the standing, in three sizes. */
type Block = Readonly<Record<"large" | "full" | "short", readonly Line[]>>;

/** In place of the standing of a rider who has still to answer. */
function afterAnswers(
  summary: Summary,
  { rider }: RiderComparison,
  width: number,
  look: Look,
): Block {
  const who = summary.riders.length > 1 ? riderName(summary, rider) : "WHERE IT STANDS";
  const words = "after the answers";
  const full = [heading(line(who), width, look.glyphs), bold(words)];
  return { large: full, full, short: [line(`${who}: ${words}`)] };
}

function riderLines(summary: Summary, rider: RiderComparison, width: number, look: Look): Block {
  const pairs = rider.parts.find((part) => part.part === "whole")?.pairs ?? [];
  const context = riderContext(summary.comparison, summary.riders, rider);
  const sentences = pairs.flatMap((pair) => {
    const more = moreRunsWords(pair);
    const text = verdictSentence(pair, context) + (more === undefined ? "" : `; ${more}`);
    return wrapText(safeText(text), width).map((row) => bold(row));
  });
  const who = summary.riders.length > 1 ? riderName(summary, rider.rider) : "WHERE IT STANDS";
  const title: Line = [
    { text: `${who}  against ` },
    labelSpan(summary, summary.baseline, look),
    {
      text: `  ${String(rider.counted_runs)} counted ${rider.counted_runs === 1 ? "run" : "runs"}`,
    },
  ];
  const mark = pairs[0] === undefined ? [] : [markSpan(summary, pairs[0].setup, look)];
  const short =
    summary.riders.length > 1
      ? [[{ text: `${who}: ` }, ...(sentences[0] ?? mark)], ...sentences.slice(1)]
      : sentences;
  const drawn = [
    heading(title, width, look.glyphs),
    ...sentences,
    ...bandLines(summary, pairs, width, look),
  ];
  return { full: drawn, large: [...drawn, ...largeDifference(summary, pairs, look)], short };
}

/** A difference that was called, to be read from two metres; an open one is never written large. */
function largeDifference(summary: Summary, pairs: readonly Pair[], look: Look): readonly Line[] {
  const [pair] = pairs;
  const isCalled = pair?.verdict === "quicker" || pair?.verdict === "slower";
  if (pair === undefined || !isCalled || pairs.length > 1) return [];
  const digits = bigDigits(plain(pair.difference_s, 1), 5, look.glyphs);
  const words = [{ text: "  s " }, { text: pair.verdict, isBold: true }, { text: " on " }];
  const label: Line = [...words, labelSpan(summary, pair.setup, look)];
  return [
    line(""),
    ...digits.map((row, i): Line => [{ text: row }, ...(i === digits.length - 1 ? label : [])]),
  ];
}

/** One row: who follows, where riders take turns; and why this set-up, for whoever may know. */
export function boardReason(shot: BoardShot): Line {
  const { summary, now } = shot;
  if (summary.isClosed) return line("");
  const isSilent = isHidden(shot) || askedFirst(summary, now) !== null;
  const { because } = summary.comparison.next;
  const reason = isSilent ? reasonWhileHidden(summary) : safeText(because);
  const { zone } = summary.settings;
  const then =
    summary.riders.length > 1 ? callUpWords(callUpAhead(summary, now), now, zone) : undefined;
  return line([then ?? "", reason].filter((text) => text !== "").join("; "));
}
