// Bytes to checked lines, resumable at any byte; called by both decoders.
import type { HostUs } from "../domain/time.ts";
import { escapeBytes, type Fault, type FaultReason } from "./fault.ts";

/** Longest line between ':' and the line feed, both excluded; the next byte drops the line. */
const LONGEST = 78;
/** Noise without any end is reported each time this many bytes have come in. */
const NOISE_REPORT_BYTES = 1024;

/**
 * Where a reader stands between two chunks: outside a line, inside one, or inside bytes that will
 * be reported as one fault when they end. Never holds more than 79 bytes.
 */
export interface DecoderState {
  readonly inside: "nothing" | "line" | "noise";
  /** The line so far from its ':', or the beginning of the noise. */
  readonly kept: Uint8Array;
  /** Bytes of the noise so far, kept or not. */
  readonly noiseBytes: number;
  readonly noiseReason: FaultReason;
  /** Stamp of the chunk that the unfinished line's ':' came in. */
  readonly beganAt: HostUs;
}

/** A framed line: from ':' up to, not including, the line feed. Nothing in it is checked yet. */
interface FramedLine {
  readonly raw: string;
  /** Stamp of the chunk that its ':' came in: the time mark of a clock exchange. */
  readonly at: HostUs;
}

/** What came out of one chunk, in order. */
export type Framed = { readonly line: FramedLine } | { readonly fault: Fault };

const COLON = 0x3a;
const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;

/** One chunk's working memory; lives no longer than one call of `frameBytes`. */
interface Work {
  inside: DecoderState["inside"];
  readonly kept: Uint8Array;
  length: number;
  noiseBytes: number;
  noiseReason: FaultReason;
  beganAt: HostUs;
  readonly out: Framed[];
}

function endNoise(work: Work): void {
  const raw = escapeBytes(work.kept.subarray(0, work.length));
  const isCut = work.noiseBytes > work.length;
  work.out.push({
    fault: {
      raw: isCut ? `${raw}...` : raw,
      reason: work.noiseReason,
      bytes: work.noiseBytes,
      box: null,
    },
  });
  work.inside = "nothing";
  work.length = 0;
  work.noiseBytes = 0;
}

function toNoise(work: Work, reason: FaultReason, byte: number): void {
  work.inside = "noise";
  work.noiseReason = reason;
  work.noiseBytes = work.length + 1;
  if (work.length < work.kept.length) {
    work.kept[work.length] = byte;
    work.length += 1;
  }
}

function beginLine(work: Work, at: HostUs): void {
  if (work.inside === "line") {
    work.noiseReason = "broken-off";
    work.noiseBytes = work.length;
    endNoise(work);
  } else if (work.inside === "noise" && work.noiseBytes > 0) {
    endNoise(work);
  }
  work.inside = "line";
  work.kept[0] = COLON;
  work.length = 1;
  work.beganAt = at;
}

function endLine(work: Work): void {
  const raw = String.fromCharCode(...work.kept.subarray(0, work.length));
  work.out.push({ line: { raw, at: work.beganAt } });
  work.inside = "nothing";
  work.length = 0;
}

function take(work: Work, byte: number): void {
  if (work.inside === "line") {
    if (byte < 0x20 || byte > 0x7e) toNoise(work, "bad-byte", byte);
    else if (work.length > LONGEST) toNoise(work, "too-long", byte);
    else {
      work.kept[work.length] = byte;
      work.length += 1;
    }
    return;
  }
  if (work.inside === "nothing") {
    toNoise(work, "noise", byte);
    return;
  }
  if (work.length < work.kept.length) {
    work.kept[work.length] = byte;
    work.length += 1;
  }
  work.noiseBytes += 1;
  if (work.noiseBytes >= NOISE_REPORT_BYTES) {
    const reason = work.noiseReason;
    endNoise(work);
    // What follows is the same noise going on.
    work.inside = "noise";
    work.noiseReason = reason;
  }
}

/**
 * Cuts bytes into lines. Discards until ':'; a byte outside 0x20 to 0x7E or a 79th byte after ':'
 * drops the line; '\r' is ignored. How the bytes are cut into chunks makes no difference.
 *
 * @param at - arrival of this chunk on the host's clock
 * @returns lines and faults in the order in which they ended, and the state to go on from
 */
export function frameBytes(
  state: DecoderState,
  bytes: Uint8Array,
  at: HostUs,
): { readonly out: readonly Framed[]; readonly state: DecoderState } {
  const work: Work = {
    inside: state.inside,
    kept: new Uint8Array(LONGEST + 1),
    length: state.kept.length,
    noiseBytes: state.noiseBytes,
    noiseReason: state.noiseReason,
    beganAt: state.beganAt,
    out: [],
  };
  work.kept.set(state.kept);
  for (const byte of bytes) {
    if (byte === COLON) beginLine(work, at);
    else if (byte === LINE_FEED) {
      if (work.inside === "line") endLine(work);
      else if (work.inside === "noise" && work.noiseBytes > 0) endNoise(work);
      work.inside = "nothing";
    } else if (byte !== CARRIAGE_RETURN) take(work, byte);
  }
  return {
    out: work.out,
    state: {
      inside: work.inside,
      kept: work.kept.slice(0, work.length),
      noiseBytes: work.noiseBytes,
      noiseReason: work.noiseReason,
      beganAt: work.beganAt,
    },
  };
}
