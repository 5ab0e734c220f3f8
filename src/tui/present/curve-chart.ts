// Draws the fitted times of a setting's values with their band, in characters; called by the page and
// the panel of a session that explores.

import type { CurvePoint, SettingFound } from "../../domain/exploration.ts";
import { valuesName } from "../../domain/explored-values.ts";
import { overlay } from "./band-scale.ts";
import type { Glyphs } from "./glyphs.ts";
import { fitText, textWidth } from "./safe-text.ts";
import { signed } from "./seconds.ts";

/** Columns of the figures on the left and the bar beside them. */
const GUTTER = 8;
/** Of the fitted times' range: how far bands beyond it are drawn. chosen: one range, or a value that
 * was hardly ridden near would flatten the curve; test/tui/present/curve-chart.test.ts */
const BAND_SHARE = 0.5;
/** chosen: below this span the figures, which have one decimal, would read alike. */
const SMALLEST_SPAN_S = 0.4;

interface TimeScale {
  readonly slowS: number;
  readonly quickS: number;
}

/** What the marks mean, one line: `◆ best  █ as good  ● other  │ 95 % band`. */
export function curveLegend(glyphs: Glyphs): string {
  const { best, asGood, other } = marksOf(glyphs);
  return `${best} best  ${asGood} as good  ${other} other  ${glyphs.bar} 95 % band`;
}

/**
 * The curve: seconds against the present value upwards, slow at the top as in the chart of the day;
 * the values from the low limit on the left to the high one on the right. A band that goes beyond the
 * chart ends in `^` or `v`.
 *
 * @param width - columns, 30 or more; no row is wider
 * @param height - rows, 6 or more; the lowest three are the axis, what stands at it and its figures
 * @returns `height` rows; none while there is no curve
 */
export function curveChart(
  found: SettingFound,
  width: number,
  height: number,
  glyphs: Glyphs,
): readonly string[] {
  const { curve } = found;
  if (curve.length === 0) return [];
  const rows = height - 3;
  const room = width - GUTTER;
  const scale = scaleOf(curve);
  const grid = Array.from({ length: rows }, () => Array.from({ length: room }, () => " "));
  const zero = rowOf(0, scale, rows);
  grid[zero]?.fill(glyphs.margin);
  const column = (value: number): number => columnOf(value, found, room);
  for (const point of drawnLast(curve, found.best)) {
    drawPoint(grid, point, column(point.value), scale, found.best, glyphs);
  }
  const drawn = grid.map((cells, row) => gutter(row, zero, rows, scale, glyphs) + cells.join(""));
  const left = " ".repeat(GUTTER);
  return [
    ...drawn,
    left + axisOf(found, room, glyphs),
    left + placedTexts(standing(found), column, room),
    left + placedTexts(figures(found), column, room),
  ];
}

function marksOf(glyphs: Glyphs): Readonly<Record<"best" | "asGood" | "other", string>> {
  const [other = "", , , best = ""] = glyphs.setupMarks;
  return { best, asGood: glyphs.estimate, other };
}

/** Round the fitted times and nought; of wider bands only a part. */
function scaleOf(curve: readonly CurvePoint[]): TimeScale {
  const gains = [0, ...curve.map((point) => point.gainS)];
  const [low, high] = [Math.min(...gains), Math.max(...gains)];
  const beyond = BAND_SHARE * Math.max(high - low, SMALLEST_SPAN_S);
  const ends = curve.flatMap((point) => point.bandS).filter(Number.isFinite);
  const slowS = Math.max(high, Math.min(high + beyond, Math.max(...ends, high)));
  const quickS = Math.min(low, Math.max(low - beyond, Math.min(...ends, low)));
  const middle = (slowS + quickS) / 2;
  const half = Math.max((slowS - quickS) / 2, SMALLEST_SPAN_S / 2);
  return { slowS: middle + half, quickS: middle - half };
}

/** Unbounded: above the chart it is below 0. */
function rowOf(timeS: number, { slowS, quickS }: TimeScale, rows: number): number {
  return Math.round(((slowS - timeS) / (slowS - quickS)) * (rows - 1));
}

function columnOf(value: number, { setting: { low, high } }: SettingFound, room: number): number {
  return Math.round(((value - low) / (high - low)) * (room - 1));
}

/** Values as good last and the best after them, where several share a column. */
function drawnLast(curve: readonly CurvePoint[], best: number | null): readonly CurvePoint[] {
  const rank = (point: CurvePoint): number => (point.value === best ? 2 : Number(point.isAsGood));
  return curve.toSorted((a, b) => rank(a) - rank(b));
}

function drawPoint(
  grid: readonly string[][],
  point: CurvePoint,
  column: number,
  scale: TimeScale,
  best: number | null,
  glyphs: Glyphs,
): void {
  const rows = grid.length;
  const [quick, slow] = point.bandS;
  const top = rowOf(slow, scale, rows);
  const bottom = rowOf(quick, scale, rows);
  for (let row = Math.max(0, top); row <= Math.min(rows - 1, bottom); row += 1) {
    overlay(grid[row] ?? [], column, glyphs.bar);
  }
  if (top < 0) overlay(grid[0] ?? [], column, "^");
  if (bottom > rows - 1) overlay(grid[rows - 1] ?? [], column, "v");
  const marks = marksOf(glyphs);
  const other = point.isAsGood ? marks.asGood : marks.other;
  const mark = point.value === best ? marks.best : other;
  overlay(grid[rowOf(point.gainS, scale, rows)] ?? [], column, mark);
}

function gutter(row: number, zero: number, rows: number, scale: TimeScale, glyphs: Glyphs): string {
  const isNearZero = row !== zero && Math.abs(row - zero) < 1;
  const timeS = row === zero ? 0 : row === 0 ? scale.slowS : row === rows - 1 ? scale.quickS : null;
  const figure = timeS === null || isNearZero ? "" : timeS === 0 ? "0" : signed(timeS, 1);
  return `${fitText(figure, GUTTER - 2, glyphs.ellipsis, "right")} ${glyphs.bar}`;
}

/** A tick a value, as far as they can be told apart; the limits end it. */
function axisOf(found: SettingFound, room: number, glyphs: Glyphs): string {
  const row = Array.from({ length: room }, () => glyphs.axis);
  const isSparse = found.curve.length * 2 <= room;
  for (const { value } of isSparse ? found.curve : []) {
    overlay(row, columnOf(value, found, room), glyphs.tick);
  }
  overlay(row, 0, glyphs.bandLeft);
  overlay(row, room - 1, glyphs.bandRight);
  return row.join("");
}

type Placed = readonly (readonly [value: number, text: string])[];

/** What stands at the values, the most important first. */
function standing({ present, best, setting }: SettingFound): Placed {
  const own: Placed = best === present ? [[present, "now, best"]] : [[present, "now"]];
  const other: Placed = best === null || best === present ? [] : [[best, "best"]];
  return [...own, ...other, [setting.low, "limit"], [setting.high, "limit"]];
}

function figures({ setting, present, best }: SettingFound): Placed {
  const text = (value: number): string => valuesName([setting], [value]).split(" ")[0] ?? "";
  const values = [present, ...(best === null ? [] : [best]), setting.low, setting.high];
  return [...new Set(values)].map((value) => [value, text(value)]);
}

/** Texts below their values; one that would touch another is left out. */
function placedTexts(texts: Placed, column: (value: number) => number, room: number): string {
  const row = Array.from({ length: room }, () => " ");
  for (const [value, text] of texts) {
    const width = textWidth(text);
    const at = Math.max(0, Math.min(column(value) - Math.floor(width / 2), room - width));
    const around = row.slice(Math.max(0, at - 1), at + width + 1);
    if (width <= room && around.every((cell) => cell === " ")) overlay(row, at, text);
  }
  return row.join("");
}
