// Digits five or seven rows tall, to be read from two metres; called by the board and the console.
import type { Glyphs } from "./glyphs.ts";

export type BigRows = 5 | 7;

/** Strokes of a digit: top, upper right, lower right, bottom, lower left, upper left, middle. */
const STROKES: Readonly<Record<string, string>> = {
  "0": "TRrBlL",
  "1": "Rr",
  "2": "TRMlB",
  "3": "TRMrB",
  "4": "LMRr",
  "5": "TLMrB",
  "6": "TLMrBl",
  "7": "TRr",
  "8": "TRrBlLM",
  "9": "TLRMrB",
  "-": "M",
};
const DOTS: ReadonlySet<string> = new Set([":", "."]);

/** Columns of a digit, of a dot, and of an upright stroke: a character cell is twice as tall as wide. */
const WIDTHS = { 5: { digit: 6, dot: 2, stroke: 2 }, 7: { digit: 8, dot: 2, stroke: 2 } } as const;

/** A row of a digit as filled columns on its left, middle and right. */
function digitRow(
  strokes: string,
  row: number,
  rows: BigRows,
): readonly [boolean, boolean, boolean] {
  const half = (rows - 1) / 2;
  const bar = row === 0 ? "T" : row === half ? "M" : row === rows - 1 ? "B" : "";
  const hasBar = bar !== "" && strokes.includes(bar);
  const isIn = (upper: string, lower: string): boolean =>
    (row <= half && strokes.includes(upper)) || (row >= half && strokes.includes(lower));
  return [hasBar || isIn("L", "l"), hasBar, hasBar || isIn("R", "r")];
}

function glyphRow(character: string, row: number, rows: BigRows, block: string): string {
  const { digit, dot, stroke } = WIDTHS[rows];
  if (DOTS.has(character)) {
    const isOn = character === "." ? row === rows - 1 : row === 1 || row === rows - 2;
    return (isOn ? block : " ").repeat(dot);
  }
  const [left, middle, right] = digitRow(STROKES[character] ?? "", row, rows);
  const part = (isOn: boolean, columns: number): string => (isOn ? block : " ").repeat(columns);
  return part(left, stroke) + part(middle, digit - 2 * stroke) + part(right, stroke);
}

function charactersOf(text: string): readonly string[] {
  return Array.from(text);
}

/** Columns that the text takes in big digits. */
export function bigWidth(text: string, rows: BigRows): number {
  const { digit, dot } = WIDTHS[rows];
  const characters = charactersOf(text);
  const widths = characters.map((character) => (DOTS.has(character) ? dot : digit));
  return widths.reduce((sum, width) => sum + width, 0) + Math.max(0, characters.length - 1);
}

/**
 * The text as rows of big digits, all equally wide.
 *
 * @param text - digits, `:`, `.` and `-`; anything else leaves a gap
 */
export function bigDigits(text: string, rows: BigRows, glyphs: Glyphs): readonly string[] {
  const characters = charactersOf(text);
  return Array.from({ length: rows }, (_, row) =>
    characters.map((character) => glyphRow(character, row, rows, glyphs.block)).join(" "),
  );
}
