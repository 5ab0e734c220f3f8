// Makes text from outside harmless on a terminal, and exactly so wide; called wherever names are shown.
import stringWidth from "string-width";

/** Directions, joiners, fillers, variation selectors, tags: they show nothing and move other text. */
const INVISIBLE = /[\p{Default_Ignorable_Code_Point}\p{Cf}]/gu;
/** Emoji, flags, key caps: terminals disagree about their width. */
const EMOJI = /[\p{Emoji_Presentation}\p{Regional_Indicator}\u{1F000}-\u{1FAFF}]/gu;
const EMOJI_PART = /[\u20E3\p{Emoji_Modifier}]/gu;
const BLANK = /[\p{Z}\t\n\v\f\r\u0085]+/gu;
/** Control characters, lone surrogates, private use, not assigned. */
const UNKNOWN = /(?![\t\n\v\f\r\u0085])[\p{Cc}\p{Cs}\p{Co}\p{Cn}]/gu;
/** chosen: two marks on a letter serve every living script's names; towers of them reach other rows. */
const TOO_MANY_MARKS = /(\p{M}{2})\p{M}+/gu;
const ESCAPE = new RegExp(
  `${String.fromCharCode(27)}(?:\\[[0-?]*[ -/]*[@-~]|[\\]PX^_][^\\p{Cc}]*(?:\\p{Cc}\\\\?)?|.)?`,
  "gu",
);
const ASCII = /^[ -~]*$/;

const graphemes = new Intl.Segmenter("en", { granularity: "grapheme" });

/**
 * Text that only prints: escape sequences go whole, other control characters and what turns the
 * direction of writing go too, runs of blanks and line ends become one blank, emoji become
 * `?`.
 */
export function safeText(text: string): string {
  if (ASCII.test(text) && !text.includes("  ")) return text;
  return text
    .replace(ESCAPE, "")
    .replace(INVISIBLE, "")
    .replace(EMOJI_PART, "")
    .replace(EMOJI, "?")
    .replace(UNKNOWN, "")
    .replace(BLANK, " ")
    .replace(TOO_MANY_MARKS, "$1");
}

/** Columns that the text takes on a terminal. */
export function textWidth(text: string): number {
  return ASCII.test(text) ? text.length : stringWidth(text);
}

/**
 * The text if it fits, else its beginning and the ellipsis.
 *
 * @param width - columns, 0 or more
 * @param ellipsis - one column wide
 */
export function cutText(text: string, width: number, ellipsis: string): string {
  if (textWidth(text) <= width) return text;
  if (width < 1) return "";
  let kept = "";
  let used = 0;
  for (const { segment } of graphemes.segment(text)) {
    const wide = textWidth(segment);
    if (used + wide > width - 1) break;
    kept += segment;
    used += wide;
  }
  return kept + ellipsis;
}

export type Align = "left" | "right";

/** The text cut or filled with blanks to exactly so many columns. */
export function fitText(
  text: string,
  width: number,
  ellipsis: string,
  align: Align = "left",
): string {
  const cut = cutText(text, width, ellipsis);
  const blanks = " ".repeat(Math.max(0, width - textWidth(cut)));
  return align === "left" ? cut + blanks : blanks + cut;
}

/** Text broken into lines of at most so many columns, at blanks where there are any. */
export function wrapText(text: string, width: number): readonly string[] {
  if (width < 1) return [];
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    const joined = line === "" ? word : `${line} ${word}`;
    if (textWidth(joined) <= width) {
      line = joined;
      continue;
    }
    if (line !== "") lines.push(line);
    let rest = word;
    while (textWidth(rest) > width) {
      const head = headOf(rest, width);
      lines.push(head);
      rest = rest.slice(head.length);
    }
    line = rest;
  }
  if (line !== "") lines.push(line);
  return lines;
}

/** The longest beginning within the width; at least one character, so that wrapping always ends. */
function headOf(text: string, width: number): string {
  let head = "";
  for (const { segment } of graphemes.segment(text)) {
    if (head !== "" && textWidth(head + segment) > width) break;
    head += segment;
  }
  return head;
}
