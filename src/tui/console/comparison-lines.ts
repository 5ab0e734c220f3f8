// The comparison so far: bands drawn, a sentence a pair, how many more, the day's trend; the console's
// lower right panel.
import type { Pair, Part, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RiderId } from "../../domain/session.ts";
import { baselineTimeS } from "../../summary/baseline-time.ts";
import type { Summary } from "../../summary/summary.ts";
import { fillRows, heading, type Line, line, lineWidth } from "../line.ts";
import { type Look, labelSpan, markSpan, riderName, setupIndex } from "../look.ts";
import { bandRow } from "../present/band-row.ts";
import { axisFigures, type BandScale, bandScale } from "../present/band-scale.ts";
import { feelWords } from "../present/feel-words.ts";
import { remarkWords } from "../present/remark-words.ts";
import { safeText, wrapText } from "../present/safe-text.ts";
import { type TrendPoint, trendChart } from "../present/trend.ts";
import {
  cautiousWords,
  dayTrendWords,
  moreRunsWords,
  relativeWords,
  spreadWords,
  verdictSentence,
  worstAndBest,
} from "../present/verdict-words.ts";
import { riderContext, togetherContext } from "../verdict-context.ts";

/** Rows that the chart of the day's times needs to be readable, and all it is given. */
const CHART_ROWS = { least: 4, most: 12 } as const;

const NOBODY: ReadonlySet<RiderId> = new Set();

/**
 * The panel of one rider, exactly `rows` rows; what matters least is left out first.
 *
 * @param asked - riders who have still to answer before they see their time
 */
export function comparisonLines(
  summary: Summary,
  rider: RiderId,
  width: number,
  rows: number,
  look: Look,
  asked = NOBODY,
): readonly Line[] {
  if (asked.has(rider)) return afterAnswersLines(width, rows, look);
  const found = summary.comparison.riders.find((each) => each.rider === rider);
  const whole = found?.parts.find((part) => part.part === "whole");
  const title = titleLine(summary, rider, width, look);
  if (found === undefined || whole === undefined) {
    return fillRows([title, line("nothing to compare yet")], rows);
  }
  const lines: Line[] = [title, ...bandLines(summary, whole.pairs, width, look)];
  const context = riderContext(summary.comparison, summary.riders, found);
  lines.push(...whole.pairs.flatMap((pair) => wrapped(verdictSentence(pair, context), width)));
  const remarks = remarksOf(summary, rider, asked);
  const questions = remarks.filter((remark) => remark.level === "ask");
  const further = [
    ...questions.map((remark) => questionOf(remarkWords(remark))),
    countWords(found, whole.pairs, summary),
    ...(asked.size > 0 ? [] : togetherWords(summary)),
    ...whole.pairs.map((pair) => consequenceWords(summary, pair, found)),
    ...feelWords(summary.comparison, rider, summary.settings.aspects).slice(0, 1),
    joined([dayTrendWords(found), spreadWords(found)]),
    ...remarks.filter((remark) => remark.level === "warn").map(remarkWords),
    ...sectorWords(summary, found),
    ...remarks.filter((remark) => remark.level === "note").map(remarkWords),
  ].filter((text) => text !== "");
  lines.push(...whatFits(further, width, rows - lines.length));
  return fillRows(
    [...lines, ...chartLines(summary, rider, width, rows - lines.length, look)],
    rows,
  );
}

/** The question itself: what to do about it is on the page. */
function questionOf(text: string): string {
  const end = text.indexOf("? ", 2);
  return end < 0 ? text : text.slice(0, end + 1);
}

/** As many sentences as there is room for, in order; what is left out is on the page. */
function whatFits(sentences: readonly string[], width: number, rows: number): readonly Line[] {
  const all = sentences.map((text) => wrapped(text, width));
  if (all.flat().length <= rows) return all.flat();
  const kept: Line[] = [];
  const left = sentences.filter((_, i) => {
    const own = all[i] ?? [];
    if (kept.length + own.length > rows - 1) return true;
    kept.push(...own);
    return false;
  });
  const isAsked = left.some((text) => text.startsWith("? "));
  const more = isAsked ? "? a question" : `and ${String(left.length)} more`;
  const others = isAsked && left.length > 1 ? ` and ${String(left.length - 1)} more` : "";
  return [...kept, line(`${more}${others}: c`)].slice(0, Math.max(0, rows));
}

/** The remarks about a rider; those about everybody too, unless somebody's time must not be shown. */
function remarksOf(
  summary: Summary,
  rider: RiderId,
  asked: ReadonlySet<RiderId>,
): readonly Remark[] {
  return shownRemarks(summary, asked).filter(
    (remark) => remark.rider === null || remark.rider === rider,
  );
}

/** Remarks in which no time that must not be shown has a part. */
export function shownRemarks(summary: Summary, asked: ReadonlySet<RiderId>): readonly Remark[] {
  return summary.comparison.remarks.filter(({ rider }) =>
    rider === null ? asked.size === 0 : !asked.has(rider),
  );
}

/** Whose comparison the operator needs to see: the rider of the last run, before that the next one. */
export function comparedRider(summary: Summary): RiderId | undefined {
  return summary.lastFinished?.rider ?? summary.nextStarter ?? summary.riders[0]?.id;
}

export function titleLine(summary: Summary, rider: RiderId, width: number, look: Look): Line {
  const who = summary.riders.length > 1 ? `${riderName(summary, rider)} ` : "";
  const { margin_s: marginS } = summary.comparison.settings;
  const changed = summary.isMarginChanged ? " (changed)" : "";
  const margin = marginS === null ? "" : `  worth having: ${String(marginS)} s${changed}`;
  const title: Line = [{ text: `${who}AGAINST ` }, labelSpan(summary, summary.baseline, look)];
  const full = [...title, { text: margin }];
  return heading(lineWidth(full) <= width ? full : title, width, look.glyphs);
}

export function wrapped(text: string, width: number): readonly Line[] {
  return wrapText(safeText(text), width).map(line);
}

function joined(words: readonly (string | undefined)[]): string {
  return words.filter((each) => each !== undefined).join("; ");
}

/** One scale for all pairs, so that bands can be compared by eye. */
function scaleOf(pairs: readonly Pair[], marginS: number | null): BandScale {
  const bands = pairs.flatMap((pair) => pair.band_s ?? pair.difference_s ?? []);
  return bandScale(marginS === null ? bands : [...bands, -marginS, marginS]);
}

/** A row of bands a pair, and the figures below. Nothing while no pair has a difference. */
export function bandLines(
  summary: Summary,
  pairs: readonly Pair[],
  width: number,
  look: Look,
): readonly Line[] {
  if (pairs.every((pair) => pair.difference_s === null)) return [];
  const marginS = summary.comparison.settings.margin_s;
  const scale = scaleOf(pairs, marginS);
  const marks = pairs.map((pair) => markSpan(summary, pair.setup, look));
  const label = Math.max(...marks.map((mark) => lineWidth([mark]))) + 1;
  const room = width - label;
  const rows = pairs.map((pair, i): Line => {
    const mark = marks[i] ?? { text: "" };
    // An estimate without a band is too early to be taken for anything.
    const isDim = pair.band_s === null;
    const drawing = {
      band: pair.band_s,
      innerBand: isDim ? null : pair.inner_band_s,
      estimateS: pair.difference_s,
      marginS,
    };
    const blanks = " ".repeat(label - lineWidth([mark]));
    const row = bandRow(drawing, scale, room, look.glyphs);
    return [mark, { text: blanks }, { text: row, colour: mark.colour, isDim }];
  });
  return [...rows, line(" ".repeat(label) + axisFigures(scale, room))];
}

/** How many runs count, and how many more it may take. */
export function countWords(
  rider: RiderComparison,
  pairs: readonly Pair[],
  summary: Summary,
): string {
  const own = summary.riders.find((each) => each.id === rider.rider)?.plannedRuns ?? null;
  const planned = own ?? summary.comparison.settings.planned_runs;
  const runs = planned === null && rider.counted_runs === 1 ? "run" : "runs";
  const of = planned === null ? "" : ` of ${String(planned)}`;
  const counted = `${String(rider.counted_runs)}${of} counted ${runs}`;
  const more = pairs.flatMap((pair) => {
    const words = moreRunsWords(pair);
    if (words === undefined) return [];
    return pairs.length > 1 ? `${pair.setup} ${words}` : words;
  });
  return [counted, ...more].join("; ");
}

export function togetherWords(summary: Summary): readonly string[] {
  const { together } = summary.comparison;
  if (together === null) return [];
  const context = togetherContext(summary.comparison, summary.riders);
  return together.pairs.map((pair) => `all riders: ${verdictSentence(pair, context)}`);
}

/** What a called difference is worth, or what an open one may still cost. */
export function consequenceWords(summary: Summary, pair: Pair, rider: RiderComparison): string {
  if (pair.verdict === "cannot-tell") return worstAndBest(pair) ?? "";
  const usualS = baselineTimeS(summary.runs, rider);
  const relative = usualS === undefined ? undefined : relativeWords(pair, usualS);
  const words = joined([cautiousWords(pair), relative]);
  const isOneOfSeveral = (rider.parts[0]?.pairs.length ?? 0) > 1;
  return isOneOfSeveral && words !== "" ? `${pair.setup}: ${words}` : words;
}

export function sectorWords(summary: Summary, rider: RiderComparison): readonly string[] {
  const context = { ...riderContext(summary.comparison, summary.riders, rider), marginS: null };
  const sectors = rider.parts.filter((part) => part.part === "sector");
  // Without a band yet a sector says no more than the whole run does.
  return sectors.flatMap((part: Part) =>
    part.pairs
      .filter((pair) => pair.band_s !== null)
      .map((pair) => `${part.name ?? ""}: ${verdictSentence(pair, context)}`),
  );
}

function chartLines(
  summary: Summary,
  rider: RiderId,
  width: number,
  rows: number,
  look: Look,
): readonly Line[] {
  const points = summary.runs
    .filter((run) => run.rider === rider)
    .flatMap((run): TrendPoint[] => {
      if (run.timeS === null) return [];
      const isCounted = run.status === "ok";
      return [{ timeS: run.timeS, setupIndex: setupIndex(summary, run.setup), isCounted }];
    });
  const height = Math.min(CHART_ROWS.most, rows - 1);
  if (points.length < 2 || height < CHART_ROWS.least) return [];
  const title = heading(line("OVER THE DAY, s"), width, look.glyphs);
  return [title, ...trendChart(points, width, height, look.glyphs).map(line)];
}

/** In place of the comparison while the standing is hidden. */
export function blindLines(width: number, rows: number, look: Look): readonly Line[] {
  const title = heading(line("COMPARISON"), width, look.glyphs);
  return fillRows([title, line("hidden until the session is closed (--blind)")], rows);
}

/** In place of a rider's comparison while it is asked how the run was. */
export function afterAnswersLines(width: number, rows: number, look: Look): readonly Line[] {
  const title = heading(line("COMPARISON"), width, look.glyphs);
  return fillRows([title, line("after the answers")], rows);
}
