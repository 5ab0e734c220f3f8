// Rows of a table with fixed columns, and which rows of a long list are shown; called by the panels.
import { type Align, fitText } from "./safe-text.ts";

export interface Column {
  /** In columns of the terminal. */
  readonly width: number;
  readonly align: Align;
}

/**
 * One row, exactly as wide as its columns and the single blanks between them. Cells are shown as
 * they are: text from outside goes through `safeText` first.
 *
 * @param cells - one a column; missing ones are blank
 */
export function tableRow(
  cells: readonly string[],
  columns: readonly Column[],
  ellipsis: string,
): string {
  return columns
    .map((column, i) => fitText(cells[i] ?? "", column.width, ellipsis, column.align))
    .join(" ");
}

/** Columns that such a row takes. */
export function tableWidth(columns: readonly Column[]): number {
  return columns.reduce((sum, column) => sum + column.width, Math.max(0, columns.length - 1));
}

/** A stretch of a list: from `first` up to but not including `end`. */
export interface ListWindow {
  readonly first: number;
  readonly end: number;
}

/**
 * The rows to show of a list whose newest is last: the newest ones, or a stretch with the selected
 * row in it, as near to its middle as the ends allow.
 *
 * @param length - rows in the list
 * @param height - rows on the screen
 * @param selected - index of the focused row; null: follow the newest
 */
export function listWindow(length: number, height: number, selected: number | null): ListWindow {
  const rows = Math.max(0, Math.min(height, length));
  const wished = selected === null ? length : selected - Math.floor((rows - 1) / 2);
  const first = Math.max(0, Math.min(wished, length - rows));
  return { first, end: first + rows };
}
