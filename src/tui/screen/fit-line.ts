// Makes one line of a frame exactly as wide as the terminal and harmless; called by the screen.
import stringWidth from "string-width";

/** SGR sequences that paint the whole screen in a theme's ground colours. */
export interface Ground {
  /** Foreground and background together. */
  readonly open: string;
  readonly foreground: string;
  readonly background: string;
}

const ESC = String.fromCharCode(27);
const BEL = String.fromCharCode(7);
export const RESET = `${ESC}[0m`;

const PIECE = new RegExp(
  [
    `${ESC}\\[([0-9;:]*)m`, // colour and weight: the only thing that may pass
    `${ESC}\\[[0-?]*[ -/]*[@-~]`, // any other control sequence
    `${ESC}[\\]PX^_].*?(?:${BEL}|${ESC}\\\\|$)`, // strings to the terminal: title, link, clipboard
    `${ESC}.?`,
    `[^${ESC}]+`,
  ].join("|"),
  "gsu",
);
const CONTROL = /\p{Cc}/gu;
/** One column for each code unit: ASCII, box lines, blocks, the set-up marks, braille. */
const PLAIN = /^[ -~─-▟■●▲◆⠀-⣿]*$/u;

const graphemes = new Intl.Segmenter("en", { granularity: "grapheme" });

/** As much of the text as `room` columns hold, and the columns it takes. */
function cut(text: string, room: number): { readonly text: string; readonly width: number } {
  if (PLAIN.test(text)) {
    const short = text.slice(0, room);
    return { text: short, width: short.length };
  }
  let kept = "";
  let width = 0;
  for (const { segment } of graphemes.segment(text)) {
    const wide = stringWidth(segment);
    if (width + wide > room) break;
    kept += segment;
    width += wide;
  }
  return { text: kept, width };
}

function colour(sequence: string, code: string, ground: Ground | undefined): string {
  if (ground === undefined) return sequence;
  if (code === "" || code === "0") return sequence + ground.open;
  if (code === "39") return ground.foreground;
  if (code === "49") return ground.background;
  return sequence;
}

/**
 * One line of a frame, cut or filled with blanks to the terminal's width. Colours pass; every other
 * escape sequence and control character is dropped. The line is never ended by an erase: after a
 * full line that would take its last character away.
 *
 * @param columns - width of the terminal
 * @param ground - colours to paint the line in where the frame sets none
 */
export function fitLine(line: string, columns: number, ground?: Ground): string {
  const open = ground?.open ?? "";
  let out = open;
  let width = 0;
  let hasColour = ground !== undefined;
  for (const match of line.matchAll(PIECE)) {
    const [piece, code] = match;
    if (code !== undefined) {
      hasColour = true;
      out += colour(piece, code, ground);
      continue;
    }
    if (piece.startsWith(ESC)) continue;
    const fitted = cut(piece.replace(CONTROL, ""), columns - width);
    out += fitted.text;
    width += fitted.width;
  }
  const blanks = " ".repeat(Math.max(0, columns - width));
  if (!hasColour) return out + blanks;
  return blanks === "" ? out + RESET : `${out}${RESET}${open}${blanks}${ground ? RESET : ""}`;
}
