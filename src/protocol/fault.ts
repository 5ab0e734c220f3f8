// Why a line could not be read, and how to say so; made by the decoder, shown on screen.
import { assertNever } from "../domain/errors.ts";

/**
 * `noise`: bytes outside any line. `broken-off`: the next line began inside it. `bad-byte`,
 * `too-long`: the line was dropped there. `no-check`: no '*' and four hex digits at the end.
 * `bad-crc`: damaged on the way. `unknown-version`: not gateline 1. `unknown-type`: a line type
 * that version 1 does not know (ignored, not a fault of the line). `bad-fields`: the check is right,
 * a field is not.
 */
export type FaultReason =
  | "noise"
  | "broken-off"
  | "bad-byte"
  | "too-long"
  | "no-check"
  | "bad-crc"
  | "unknown-version"
  | "unknown-type"
  | "bad-fields";

/** Bytes that gave no message. */
export interface Fault {
  /** The bytes, printable: others as \xNN; at most 79 of them, then "...". */
  readonly raw: string;
  readonly reason: FaultReason;
  /** How many bytes were lost with it. */
  readonly bytes: number;
  /** The box that the line names, if it can be trusted that far (the check was right). */
  readonly box: string | null;
}

/** Bytes as printable ASCII; what is not, and the backslash itself, as \xNN. */
export function escapeBytes(bytes: Uint8Array): string {
  let text = "";
  for (const byte of bytes) {
    const isPlain = byte >= 0x20 && byte <= 0x7e && byte !== 0x5c;
    text += isPlain ? String.fromCharCode(byte) : `\\x${byte.toString(16).padStart(2, "0")}`;
  }
  return text;
}

/** One sentence for the screen, naming the thing and, where there is one, the fix. */
export function describeFault(fault: Fault): string {
  const who = fault.box === null ? "a box" : `box ${fault.box}`;
  switch (fault.reason) {
    case "noise":
      return `${String(fault.bytes)} bytes of noise between lines`;
    case "broken-off":
      return "a line broke off before its end";
    case "bad-byte":
      return "a line with bytes that are no text: check the cable and the speed of the port";
    case "too-long":
      return "a line longer than 80 bytes";
    case "no-check":
      return "a line without its check";
    case "bad-crc":
      return "a line damaged on the way: check the cable or the radio";
    case "unknown-version": {
      const version = fault.raw.charAt(1);
      return `${who} speaks gateline ${version}, this program knows 1: update it`;
    }
    case "unknown-type":
      return `${who} sent a kind of line that this program does not know`;
    case "bad-fields":
      return `${who} sent a line with a field that cannot be right`;
    default:
      return assertNever(fault.reason);
  }
}
