// Bytes to messages and faults; called by the recorder on each chunk, and by the simulated box.
import type { Result } from "../domain/errors.ts";
import { type HostUs, hostUs } from "../domain/time.ts";
import type { Fault, FaultReason } from "./fault.ts";
import { namedBox } from "./fields.ts";
import { type DecoderState, frameBytes } from "./frame.ts";
import type { BoxMessage, HostMessage } from "./message.ts";
import { parseLine } from "./parse-box-line.ts";
import { parseHostLine } from "./parse-host-line.ts";

/** A message with the line that it came in, for the journal. */
interface Received<M> {
  /** From ':' up to, not including, the line feed; `parseLine` reads it again. */
  readonly raw: string;
  readonly message: M;
  /** Stamp of the chunk that its ':' came in: t4 of a clock exchange. */
  readonly at: HostUs;
}

export interface Decoded<M = BoxMessage> {
  readonly messages: readonly Received<M>[];
  /** Unreadable lines and noise with a reason: to be stored (bounded), counted, shown. */
  readonly faults: readonly Fault[];
  /** Sound lines of a type that is not for this reader: echoes, and what a later version adds. */
  readonly ignored: readonly string[];
  /** At most 79 bytes of an unfinished line. */
  readonly state: DecoderState;
}

/** Where every reader starts: outside any line. */
export const decoderStart: DecoderState = {
  inside: "nothing",
  kept: new Uint8Array(0),
  noiseBytes: 0,
  noiseReason: "noise",
  beganAt: hostUs(0),
};

function decodeWith<M>(
  parse: (raw: string) => Result<M, FaultReason>,
  state: DecoderState,
  bytes: Uint8Array,
  at: HostUs,
): Decoded<M> {
  const framed = frameBytes(state, bytes, at);
  const messages: Received<M>[] = [];
  const faults: Fault[] = [];
  const ignored: string[] = [];
  for (const piece of framed.out) {
    if ("fault" in piece) {
      faults.push(piece.fault);
      continue;
    }
    const { raw } = piece.line;
    const read = parse(raw);
    if (read.ok) messages.push({ raw, message: read.value, at: piece.line.at });
    else if (read.error === "unknown-type") ignored.push(raw);
    else {
      const isSound = read.error === "unknown-version" || read.error === "bad-fields";
      const shown = raw.replaceAll("\\", "\\x5c");
      const box = isSound ? namedBox(raw) : null;
      faults.push({ raw: shown, reason: read.error, bytes: raw.length, box });
    }
  }
  return { messages, faults, ignored, state: framed.state };
}

/**
 * Reads what came from the boxes. Pure, resumable at any byte, never throws: any bytes give
 * messages and faults, the same however they are cut.
 *
 * @param at - arrival of this chunk on the host's clock, taken before anything else was done
 */
export function decode(state: DecoderState, bytes: Uint8Array, at: HostUs = hostUs(0)): Decoded {
  return decodeWith(parseLine, state, bytes, at);
}

/** Reads what came from the host, as a box does; otherwise like `decode`. */
export function decodeHost(
  state: DecoderState,
  bytes: Uint8Array,
  at: HostUs = hostUs(0),
): Decoded<HostMessage> {
  return decodeWith(parseHostLine, state, bytes, at);
}
