// Bytes to lines of a receiver that does not speak our protocol; called for its port, chunk by chunk.

/** chosen: far more than a time, a gate and a tag need; a pattern is never tried on more. */
export const LONGEST_LINE = 200;
const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;

/** An unfinished line. */
export interface ForeignCut {
  /** One character a byte, at most 200. */
  readonly text: string;
  /** Bytes of it so far, kept or not. */
  readonly bytes: number;
}

/** Outside any line. */
export const foreignCutStart: ForeignCut = { text: "", bytes: 0 };

/** A whole line without its end, one character a byte. */
export interface CutLine {
  readonly text: string;
  /** More than 200 bytes: `text` is its beginning. */
  readonly isTooLong: boolean;
}

/**
 * Cuts bytes at line feeds and carriage returns; empty lines are nothing. How the bytes are cut into
 * chunks makes no difference, and no more than 200 of them are ever held.
 */
export function cutForeign(
  state: ForeignCut,
  chunk: Uint8Array,
): { readonly lines: readonly CutLine[]; readonly state: ForeignCut } {
  const lines: CutLine[] = [];
  let { text, bytes } = state;
  for (const byte of chunk) {
    if (byte === LINE_FEED || byte === CARRIAGE_RETURN) {
      if (bytes > 0) lines.push({ text, isTooLong: bytes > LONGEST_LINE });
      text = "";
      bytes = 0;
      continue;
    }
    if (bytes < LONGEST_LINE) text += String.fromCharCode(byte);
    bytes += 1;
  }
  return { lines, state: { text, bytes } };
}

/** A line as it can be shown and kept: printable, every byte and every blank that matters to be seen. */
export function shownForeign(text: string): string {
  return text
    .replace(/[^ -~]|\\/g, (c) => `\\x${c.charCodeAt(0).toString(16).padStart(2, "0")}`)
    .replace(/^ | $| (?= )/g, "\\x20");
}
