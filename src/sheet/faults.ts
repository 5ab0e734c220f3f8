// Mistakes found in a file, collected so that one message names them all; used by both readers.
import { UserError } from "../domain/errors.ts";
import { visible } from "./quote.ts";

export interface Fault {
  /** 1-based line of the file. */
  readonly line: number;
  readonly found: string;
  /** What would do; or a question, "did you mean ...?". */
  readonly want: string;
}

/** As many are named in one message; the rest are counted. */
const shownFaults = 10;

/**
 * One message for all the mistakes of a file, a line each, in the order of the file:
 * `day.toml:14: found margin_s = -1, want a number above 0`.
 */
export function faultsError(file: string, faults: readonly Fault[], hint: string): UserError {
  const sorted = [...faults].sort((a, b) => a.line - b.line);
  const lines = sorted.slice(0, shownFaults).map((f) => {
    const advice = f.want.endsWith("?") ? `: ${f.want}` : `, want ${f.want}`;
    return `${visible(file)}:${String(f.line)}: found ${f.found}${advice}`;
  });
  const more = sorted.length - lines.length;
  if (more > 0) lines.push(`${visible(file)}: and ${String(more)} more`);
  return new UserError("bad-input", lines.join("\n"), hint);
}

/**
 * Says what is wrong with a text that is not UTF-8.
 *
 * @returns null if the text was read well
 */
export function encodingFault(text: string): Fault | null {
  const at = text.search(/[\0\ufffd]/);
  if (at < 0) return null;
  return {
    line: text.slice(0, at).split("\n").length,
    found: text[at] === "\0" ? "a NUL character (a UTF-16 file?)" : "bytes that are not UTF-8",
    want: "the file saved as UTF-8 text",
  };
}
