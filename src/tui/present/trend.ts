// A small chart of run times by set-up over the day, in run order; called by the console.
import type { Glyphs } from "./glyphs.ts";
import { fitText } from "./safe-text.ts";
import { runTime } from "./seconds.ts";
import { setupShape } from "./setup-mark.ts";

export interface TrendPoint {
  readonly timeS: number;
  /** Place of the set-up in declared order, from 0. */
  readonly setupIndex: number;
  /** False for voids, warm-ups and the like: shown as struck out, and not what the scale is made for. */
  readonly isCounted: boolean;
}

/** Colours a mark as a second cue. */
export type PaintMark = (mark: string, setupIndex: number) => string;

/** Columns of the figures on the left and the bar beside them. */
const GUTTER = 8;
/** chosen: runs further apart than this no longer read as a series. */
const WIDEST_STEP = 3;

/**
 * The chart, slow runs at the top, its two scale figures on the left. Each run has a column of its
 * own; where there are more runs than columns the newest are shown.
 *
 * @param runs - in run order
 * @param width - columns, more than the gutter's 8; exactly so many are returned a row
 * @param height - rows, 2 or more
 * @returns `height` rows; blank ones if nothing was ridden
 */
export function trendChart(
  runs: readonly TrendPoint[],
  width: number,
  height: number,
  glyphs: Glyphs,
  paint: PaintMark = (mark) => mark,
): readonly string[] {
  const room = Math.max(1, width - GUTTER);
  const shown = runs.filter((run) => Number.isFinite(run.timeS)).slice(-room);
  const scale = scaleOf(shown);
  if (scale === undefined) return Array.from({ length: height }, () => " ".repeat(width));
  const step = Math.max(1, Math.min(WIDEST_STEP, Math.floor(room / shown.length)));
  const grid = Array.from({ length: height }, () => Array.from({ length: room }, () => " "));
  for (const [i, run] of shown.entries()) {
    const share = (scale.slowS - run.timeS) / (scale.slowS - scale.quickS);
    const row = Math.round(Math.max(0, Math.min(1, share)) * (height - 1));
    const mark = run.isCounted ? setupShape(run.setupIndex, glyphs) : glyphs.voidMark;
    const cells = grid[row];
    if (cells !== undefined) cells[i * step] = paint(mark, run.setupIndex);
  }
  return grid.map((cells, row) => gutter(row, height, scale, glyphs) + cells.join(""));
}

interface TimeScale {
  readonly quickS: number;
  readonly slowS: number;
}

function scaleOf(runs: readonly TrendPoint[]): TimeScale | undefined {
  const counted = runs.filter((run) => run.isCounted);
  const times = (counted.length > 0 ? counted : runs).map((run) => run.timeS);
  if (times.length === 0) return undefined;
  const quickS = Math.min(...times);
  const slowS = Math.max(...times);
  return slowS - quickS > 1e-3 ? { quickS, slowS } : { quickS: quickS - 0.5, slowS: slowS + 0.5 };
}

function gutter(row: number, height: number, scale: TimeScale, glyphs: Glyphs): string {
  const figure =
    row === 0 ? runTime(scale.slowS, 1) : row === height - 1 ? runTime(scale.quickS, 1) : "";
  return `${fitText(figure, GUTTER - 2, glyphs.ellipsis, "right")} ${glyphs.bar}`;
}
