// A row of the screen as pieces of text with a colour each; made by the line functions of every screen.
import type { Glyphs } from "./present/glyphs.ts";
import { cutText, textWidth } from "./present/safe-text.ts";

/** Text that only prints (`safeText` has seen whatever came from outside). */
export interface Span {
  readonly text: string;
  /** Hex; only ever repeats what the text says. */
  readonly colour?: string | undefined;
  readonly isBold?: boolean;
  /** Faint: not to be taken for a result. */
  readonly isDim?: boolean;
}

export type Line = readonly Span[];

/** A line in the terminal's own colour. */
export function line(text: string): Line {
  return [{ text }];
}

/** A line that stands out. */
export function bold(text: string, colour?: string): Line {
  return [{ text, colour, isBold: true }];
}

/** Columns that the line takes. */
export function lineWidth(of: Line): number {
  return of.reduce((sum, span) => sum + textWidth(span.text), 0);
}

/** The line if it fits, else its beginning and the ellipsis. */
export function cutLine(of: Line, width: number, ellipsis: string): Line {
  if (lineWidth(of) <= width) return of;
  const kept: Span[] = [];
  let room = width;
  for (const span of of) {
    const wide = textWidth(span.text);
    if (wide < room) {
      kept.push(span);
      room -= wide;
      continue;
    }
    // Something follows or is lost here: make cutText see one column too many.
    kept.push({ ...span, text: cutText(`${span.text} `, room, ellipsis) });
    break;
  }
  return kept;
}

/** The line cut or filled with blanks to exactly so many columns. */
function fitTo(of: Line, width: number, ellipsis: string): Line {
  const cut = cutLine(of, width, ellipsis);
  const blanks = width - lineWidth(cut);
  return blanks > 0 ? [...cut, { text: " ".repeat(blanks) }] : cut;
}

/** Left and right end of one row; the right one is kept whole, the left one is cut. */
export function ends(left: Line, right: Line, width: number, ellipsis: string): Line {
  const kept = cutLine(right, width, ellipsis);
  const room = width - lineWidth(kept) - (kept.length > 0 ? 2 : 0);
  if (room < 1) return kept;
  return [...fitTo(left, room, ellipsis), { text: kept.length > 0 ? "  " : "" }, ...kept];
}

/** A panel's heading: its words and a rule to the panel's end. */
export function heading(of: Line, width: number, glyphs: Glyphs): Line {
  const words = cutLine(of, width, glyphs.ellipsis).map((span) => ({ ...span, isBold: true }));
  const room = width - lineWidth(words) - 1;
  return room > 0 ? [...words, { text: ` ${glyphs.rule.repeat(room)}` }] : words;
}

/** Exactly so many lines: cut at the end or filled with blank ones. */
export function fillRows(lines: readonly Line[], rows: number): readonly Line[] {
  if (lines.length >= rows) return lines.slice(0, Math.max(0, rows));
  return [...lines, ...Array.from({ length: rows - lines.length }, () => line(""))];
}
