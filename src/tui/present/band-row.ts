// Draws one comparison's bands as one row of characters; called by the comparison panels.
import type { Band } from "../../domain/comparison.ts";
import { type BandScale, columnOf, overlay } from "./band-scale.ts";
import type { Glyphs } from "./glyphs.ts";

export interface BandDrawing {
  /** The whole band answers "is there a difference". */
  readonly band: Band | null;
  /** The thick part answers "is it worth having". */
  readonly innerBand: Band | null;
  readonly estimateS: number | null;
  readonly marginS: number | null;
}

interface Stroke {
  readonly from: number;
  readonly to: number;
  /** Whether the end lies within the scale, so that it is drawn as an end. */
  readonly isLeftSeen: boolean;
  readonly isRightSeen: boolean;
}

function strokeOf(band: Band, scale: BandScale, width: number): Stroke | undefined {
  const from = columnOf(band[0], scale, width);
  const to = columnOf(band[1], scale, width);
  if (to < 0 || from > width - 1) return undefined;
  return {
    from: Math.max(0, from),
    to: Math.min(width - 1, to),
    isLeftSeen: from >= 0,
    isRightSeen: to <= width - 1,
  };
}

/**
 * The bands of one pair: thin outer band with its ends, thick inner band, the estimate, the line of
 * no difference, the margin marks. What goes beyond the scale ends in `<` or `>`.
 *
 * @param width - columns, exactly so many are returned
 */
export function bandRow(
  drawing: BandDrawing,
  scale: BandScale,
  width: number,
  glyphs: Glyphs,
): string {
  const row = Array.from({ length: width }, () => " ");
  const zero = columnOf(0, scale, width);
  if (drawing.marginS !== null) {
    overlay(row, columnOf(-drawing.marginS, scale, width), glyphs.margin);
    overlay(row, columnOf(drawing.marginS, scale, width), glyphs.margin);
  }
  overlay(row, zero, glyphs.zero);
  const outer = drawing.band === null ? undefined : strokeOf(drawing.band, scale, width);
  const inner = drawing.innerBand === null ? undefined : strokeOf(drawing.innerBand, scale, width);
  if (outer !== undefined) fill(row, outer, glyphs.outer, zero, glyphs.zeroOnOuter);
  if (inner !== undefined) fill(row, inner, glyphs.inner, zero, glyphs.zeroOnInner);
  if (outer !== undefined) {
    overlay(row, outer.from, outer.isLeftSeen ? glyphs.bandLeft : "<");
    overlay(row, outer.to, outer.isRightSeen ? glyphs.bandRight : ">");
  }
  if (drawing.estimateS !== null) markEstimate(row, drawing.estimateS, scale, glyphs);
  return row.join("");
}

function fill(row: string[], stroke: Stroke, line: string, zero: number, crossing: string): void {
  for (let column = stroke.from; column <= stroke.to; column++) {
    row[column] = column === zero ? crossing : line;
  }
}

function markEstimate(row: string[], estimateS: number, scale: BandScale, glyphs: Glyphs): void {
  const column = columnOf(estimateS, scale, row.length);
  if (column < 0) overlay(row, 0, "<");
  else if (column > row.length - 1) overlay(row, row.length - 1, ">");
  else overlay(row, column, glyphs.estimate);
}
