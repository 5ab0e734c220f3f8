// The lines of a screen as they were last written, colours and all, from what a program wrote; for the
// yardstick that writes the same frame.
import type { Piece } from "./timed-terminal.ts";

const ESCAPE = String.fromCharCode(27);

/** One entry a row of the terminal, from its first row on; "" for a row never written. */
export function lastLines(pieces: readonly Piece[]): readonly string[] {
  const written = pieces.map((piece) => piece.text).join("");
  const lines: string[] = [];
  let row = -1;
  for (const part of written.split(`${ESCAPE}[`)) {
    const found = /^(\d+);1H/u.exec(part);
    if (found !== null) {
      row = Number(found[1]) - 1;
      lines[row] = part.slice(found[0].length);
    } else if (row >= 0 && !part.startsWith("?")) {
      lines[row] = `${lines[row] ?? ""}${ESCAPE}[${part}`;
    }
  }
  return Array.from(lines, (line: string | undefined) => line ?? "");
}
