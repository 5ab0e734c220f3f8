// Where everything of the console goes at each size; called by the console's drawing.
import type { Size } from "../screen/screen.ts";

/** Columns and rows of the console's panels. Left and right are parted by one bar with a blank around. */
export interface Layout {
  readonly width: number;
  readonly height: number;
  readonly digitRows: 5 | 7;
  /** Rows for alerts, always there, so that nothing jumps. */
  readonly alertRows: number;
  readonly upperRows: number;
  readonly lowerRows: number;
  readonly upperLeft: number;
  readonly upperRight: number;
  readonly lowerLeft: number;
  readonly lowerRight: number;
}

const SMALLEST: Size = { columns: 80, rows: 24 };
/** Header and heading above; suggestion (2), what was said, status line below. */
const FIXED_ROWS = 6;
const GAP = 3;

/** The panels' sizes; undefined: the terminal is too small. */
export function layoutOf({ columns, rows }: Size): Layout | undefined {
  if (columns < SMALLEST.columns || rows < SMALLEST.rows) return undefined;
  const isMedium = columns >= 100 && rows >= 30;
  const isWide = columns >= 160;
  const digitRows = isMedium ? 7 : 5;
  const alertRows = isMedium ? (rows >= 45 ? 4 : 3) : 2;
  // A title row; and below the digits a line about the run where there is room.
  const upperRows = digitRows + (isMedium ? 2 : 1);
  const upperLeft = isWide ? Math.floor(columns / 2) - 2 : isMedium ? 36 : 28;
  const lowerLeft = isWide ? Math.floor(columns / 2) - 2 : isMedium ? 40 : 30;
  return {
    width: columns,
    height: rows,
    digitRows,
    alertRows,
    upperRows,
    lowerRows: rows - FIXED_ROWS - alertRows - upperRows,
    upperLeft,
    upperRight: columns - upperLeft - GAP,
    lowerLeft,
    lowerRight: columns - lowerLeft - GAP,
  };
}

/** The one line on a terminal that is too small; fits on forty columns. */
export function tooSmallWords({ columns, rows }: Size): string {
  const needed = `needs ${String(SMALLEST.columns)}x${String(SMALLEST.rows)}`;
  return `${needed}, is ${String(columns)}x${String(rows)}; recording goes on`.slice(0, columns);
}
