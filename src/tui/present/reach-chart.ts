// The smallest difference that a day can show against its number of runs, drawn in characters; called
// by the console's plan page and by the command line.
import type { ReachPoint } from "../../domain/plan.ts";
import type { Glyphs } from "./glyphs.ts";
import { fitText } from "./safe-text.ts";
import { plain } from "./seconds.ts";

/** What stands out on the chart. */
export interface ReachMarks {
  /** This plan's runs; null: none. */
  readonly runs: number | null;
  /** Smallest difference worth having, s; null: none. */
  readonly marginS: number | null;
}

/** Columns of the figures on the left and the bar beside them. */
const GUTTER = 8;
/** Rows of the axis and its figures. */
const AXIS_ROWS = 2;
/** Both ends of what is known of the spread. */
const END_MARK = ".";
/** chosen: a margin further above the curve than this would press it flat; the words have it anyway. */
const MARGIN_ROOM = 1.5;

/**
 * The chart: seconds upwards from 0, runs to the right. The curve, both ends of it as far as the
 * spread is known, a line at the margin, an upright at this plan's runs. What is above the top is
 * left out: the ends reach far where little is known.
 *
 * @param points - by rising runs
 * @param width - columns, 20 or more; exactly so many are returned a row
 * @param height - rows with the axis, 4 or more
 * @returns `height` rows; blank ones without points
 */
export function reachChart(
  points: readonly ReachPoint[],
  marks: ReachMarks,
  width: number,
  height: number,
  glyphs: Glyphs,
): readonly string[] {
  const [first] = points;
  const last = points.at(-1);
  if (first === undefined || last === undefined) {
    return Array.from({ length: height }, () => " ".repeat(width));
  }
  const room = Math.max(2, width - GUTTER);
  const rows = Math.max(2, height - AXIS_ROWS);
  const span = Math.max(1, last.runs - first.runs);
  const topS = topOf(points, marks);
  const columnOf = (runs: number): number => Math.round(((runs - first.runs) / span) * (room - 1));
  const grid = Array.from({ length: rows }, () => Array.from({ length: room }, () => " "));
  const put = (column: number, s: number | null, mark: string): void => {
    if (s === null || s < 0 || s > topS) return;
    const cells = grid[Math.round((1 - s / topS) * (rows - 1))];
    if (cells !== undefined && column >= 0 && column < room) cells[column] = mark;
  };
  const at = (column: number): ReachPoint =>
    between(points, first.runs + (column / (room - 1)) * span);
  for (let column = 0; column < room; column += 1) put(column, marks.marginS, glyphs.rule);
  for (let column = 0; column < room; column += 1) {
    const point = at(column);
    put(column, point.low_s, END_MARK);
    put(column, point.high_s, END_MARK);
  }
  const isShown = marks.runs !== null && marks.runs >= first.runs && marks.runs <= last.runs;
  const upright = isShown ? columnOf(marks.runs) : -1;
  for (const cells of grid) if (upright >= 0) cells[upright] = glyphs.margin;
  for (let column = 0; column < room; column += 1) {
    put(column, at(column).smallest_difference_s, glyphs.setupMarks[0] ?? "o");
  }
  if (isShown) put(upright, between(points, marks.runs).smallest_difference_s, glyphs.estimate);
  const axis = Array.from({ length: room }, (_, column) =>
    column === 0 || column === upright || column === room - 1 ? glyphs.tick : glyphs.axis,
  );
  return [
    ...grid.map((cells, row) => gutter(row, rows, topS, glyphs) + cells.join("")),
    " ".repeat(GUTTER - 1) + glyphs.bar + axis.join(""),
    labels(first.runs, isShown ? marks.runs : null, last.runs, upright, width, room),
  ].slice(0, height);
}

/** What the marks stand for. */
export function reachLegend(
  points: readonly ReachPoint[],
  marks: ReachMarks,
  glyphs: Glyphs,
): string {
  const hasEnds = points.some((point) => point.low_s !== null);
  const isMarginShown = marks.marginS !== null && marks.marginS <= topOf(points, marks);
  return [
    `${glyphs.setupMarks[0] ?? "o"} seen on 4 days in 5`,
    ...(marks.runs === null ? [] : [`${glyphs.estimate} this plan`]),
    ...(hasEnds ? [`${END_MARK} as far as the spread is known`] : []),
    ...(isMarginShown ? [`${glyphs.rule} worth having`] : []),
  ].join("; ");
}

/** The curve's highest point, with the high end at this plan's runs and a margin that is near. */
function topOf(points: readonly ReachPoint[], { runs, marginS }: ReachMarks): number {
  const curve = Math.max(...points.map((point) => point.smallest_difference_s));
  const own = points.find((point) => point.runs === runs)?.high_s ?? 0;
  const top = Math.max(curve, own);
  return marginS !== null && marginS <= MARGIN_ROOM * top ? Math.max(top, marginS) : top;
}

/** The curve at so many runs, straight between its points. */
function between(points: readonly ReachPoint[], runs: number): ReachPoint {
  const after = points.find((point) => point.runs >= runs) ?? points.at(-1);
  const before = points.findLast((point) => point.runs <= runs) ?? points[0];
  if (after === undefined || before === undefined) {
    throw new RangeError("between requires a point");
  }
  const share = after.runs === before.runs ? 0 : (runs - before.runs) / (after.runs - before.runs);
  const mix = (a: number | null, b: number | null): number | null =>
    a === null || b === null ? null : a + share * (b - a);
  return {
    runs,
    smallest_difference_s: mix(before.smallest_difference_s, after.smallest_difference_s) ?? 0,
    low_s: mix(before.low_s, after.low_s),
    high_s: mix(before.high_s, after.high_s),
  };
}

function gutter(row: number, rows: number, topS: number, glyphs: Glyphs): string {
  const figure =
    row === 0
      ? `${plain(topS, 1)} s`
      : row === rows - 1
        ? "0 s"
        : row === Math.round((rows - 1) / 2) && rows > 4
          ? `${plain((1 - row / (rows - 1)) * topS, 1)} s`
          : "";
  return `${fitText(figure, GUTTER - 2, glyphs.ellipsis, "right")} ${glyphs.bar}`;
}

/** Runs below the axis: both ends, and this plan's between them where there is room. */
function labels(
  first: number,
  own: number | null,
  last: number,
  upright: number,
  width: number,
  room: number,
): string {
  const row = Array.from({ length: width }, () => " ");
  const write = (text: string, from: number): void => {
    const start = Math.max(0, Math.min(width - text.length, from));
    const cells = row.slice(Math.max(0, start - 1), start + text.length + 1);
    if (cells.some((cell) => cell !== " ")) return;
    Array.from(text).forEach((character, i) => {
      row[start + i] = character;
    });
  };
  if (own !== null) write(String(own), GUTTER + upright - Math.floor(String(own).length / 2));
  write(String(first), GUTTER);
  const right = `${String(last)} runs`;
  write(right, GUTTER + room - right.length);
  return row.join("");
}
