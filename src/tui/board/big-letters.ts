// Letters seven rows tall for set-ups and for one question, to be read from two metres; called by the
// board.
import type { Glyphs } from "../present/glyphs.ts";

/** Seven rows of five dots each, a letter; drawn for this program. */
const LETTERS: Readonly<Record<string, readonly string[]>> = {
  A: [" ### ", "#   #", "#   #", "#####", "#   #", "#   #", "#   #"],
  B: ["#### ", "#   #", "#   #", "#### ", "#   #", "#   #", "#### "],
  C: [" ####", "#    ", "#    ", "#    ", "#    ", "#    ", " ####"],
  D: ["#### ", "#   #", "#   #", "#   #", "#   #", "#   #", "#### "],
  E: ["#####", "#    ", "#    ", "#### ", "#    ", "#    ", "#####"],
  F: ["#####", "#    ", "#    ", "#### ", "#    ", "#    ", "#    "],
  G: [" ####", "#    ", "#    ", "#  ##", "#   #", "#   #", " ####"],
  "?": [" ### ", "#   #", "    #", "   # ", "  #  ", "     ", "  #  "],
  H: ["#   #", "#   #", "#   #", "#####", "#   #", "#   #", "#   #"],
  O: [" ### ", "#   #", "#   #", "#   #", "#   #", "#   #", " ### "],
  W: ["#   #", "#   #", "#   #", "# # #", "# # #", "## ##", "#   #"],
};

const QUESTION = ["H", "O", "W", "?"];

/** `HOW?` as seven rows, 46 columns wide. */
export function bigQuestion(glyphs: Glyphs): readonly string[] {
  const letters = QUESTION.flatMap((letter) => [bigLetter(letter, glyphs) ?? []]);
  return Array.from({ length: LETTER_ROWS }, (_, row) =>
    letters.map((rows) => rows[row] ?? "").join("  "),
  );
}

/** A dot is as wide as it is tall with two columns. */
const DOT_COLUMNS = 2;
export const LETTER_ROWS = 7;

/**
 * The set-up's id as seven rows.
 *
 * @returns undefined if it is not one of the letters drawn here: then the name must do
 */
export function bigLetter(setupId: string, glyphs: Glyphs): readonly string[] | undefined {
  const dots = LETTERS[setupId.toUpperCase()];
  return dots?.map((row) =>
    Array.from(row)
      .map((dot) => (dot === "#" ? glyphs.block : " ").repeat(DOT_COLUMNS))
      .join(""),
  );
}
