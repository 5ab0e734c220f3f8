// What is known of one boot of one box: which events are here, which are missing; used by the receiver.
import type { BoxId } from "../domain/session.ts";
import type { HostUs } from "../domain/time.ts";
import type { BoxRole, EventMessage, GoneMessage } from "./message.ts";

/**
 * Events remembered by content, to tell a resend from another event under the same number.
 * chosen: a box holds 64, a relay some more.
 */
const REMEMBERED = 128;
/** A hole is asked for again after this long. */
const ASK_AGAIN_US = 1_000_000;

/** Both ends are part of it. */
interface SeqRange {
  readonly fromSeq: number;
  readonly toSeq: number;
}

/** One boot of one box. */
export interface BoxTrack {
  readonly box: BoxId;
  readonly boot: number;
  readonly role: BoxRole | null;
  /** Port that its newest line came in on; null while that port is closed. */
  readonly port: string | null;
  /** Every event up to here is here or gone for ever; null until the box said what it still holds. */
  readonly prefix: number | null;
  /** Highest number known to have been given out by the box; 0 for none. */
  readonly highest: number;
  /** Received, above the prefix. */
  readonly beyond: ReadonlySet<number>;
  /** Gone for ever, not wholly below the prefix. */
  readonly gone: readonly SeqRange[];
  /** Content of the newest events by number. */
  readonly remembered: ReadonlyMap<number, string>;
  /** Latest box time seen, us. */
  readonly latestUs: number;
  /** Two boxes, or two boots, use this key: nothing more is taken from it or acknowledged. */
  readonly isDisputed: boolean;
  readonly isAckOwed: boolean;
  readonly duplicates: number;
  /** Last N sent for it. */
  readonly askedAtUs: number;
  /** Last I sent for it. */
  readonly identifiedAtUs: number;
  /** Last time that the prefix moved. */
  readonly progressAtUs: number;
  readonly fastUntilUs: number;
  readonly queriedAtUs: number;
}

/** A boot never heard of before. */
export function newTrack(box: BoxId, boot: number): BoxTrack {
  return {
    box,
    boot,
    role: null,
    port: null,
    prefix: null,
    highest: 0,
    beyond: new Set(),
    gone: [],
    remembered: new Map(),
    latestUs: 0,
    isDisputed: false,
    isAckOwed: false,
    duplicates: 0,
    askedAtUs: Number.NEGATIVE_INFINITY,
    identifiedAtUs: Number.NEGATIVE_INFINITY,
    progressAtUs: Number.NEGATIVE_INFINITY,
    fastUntilUs: Number.NEGATIVE_INFINITY,
    queriedAtUs: Number.NEGATIVE_INFINITY,
  };
}

/** Moves the prefix over everything that is here or gone. */
function advanced(track: BoxTrack, now: HostUs): BoxTrack {
  if (track.prefix === null) return track;
  let prefix = track.prefix;
  for (;;) {
    const next = prefix + 1;
    const range = track.gone.find((r) => r.fromSeq <= next && next <= r.toSeq);
    if (range !== undefined) prefix = range.toSeq;
    else if (track.beyond.has(next)) prefix = next;
    else break;
  }
  if (prefix === track.prefix && track.beyond.size === 0) return track;
  return {
    ...track,
    prefix,
    beyond: new Set([...track.beyond].filter((seq) => seq > prefix)),
    gone: track.gone.filter((range) => range.toSeq > prefix),
    progressAtUs: prefix === track.prefix ? track.progressAtUs : now,
  };
}

/**
 * The box said what it holds (B or H). The first time, the prefix starts below the oldest held:
 * what was acknowledged into another file is not asked for again.
 */
export function withHeld(
  track: BoxTrack,
  held: { readonly oldestSeq: number; readonly nextSeq: number },
  now: HostUs,
): BoxTrack {
  const isFirst = track.prefix === null;
  return advanced(
    {
      ...track,
      prefix: track.prefix ?? held.oldestSeq - 1,
      highest: Math.max(track.highest, held.nextSeq - 1),
      progressAtUs: isFirst ? now : track.progressAtUs,
      // It still holds what is here: the acknowledgement was lost.
      isAckOwed:
        track.isAckOwed ||
        (held.oldestSeq < held.nextSeq && track.prefix !== null && held.oldestSeq <= track.prefix),
    },
    now,
  );
}

/** The box no longer holds these: whichever of them are missing stay missing, and are not asked for. */
export function withGone(track: BoxTrack, message: GoneMessage, now: HostUs): BoxTrack {
  const range = { fromSeq: message.fromSeq, toSeq: message.toSeq };
  return advanced(
    {
      ...track,
      gone: [...track.gone, range],
      highest: Math.max(track.highest, range.toSeq),
      isAckOwed: true,
    },
    now,
  );
}

/** What must be equal when the same event comes again. */
function contentOf(event: EventMessage): string {
  return [event.role, event.kind, event.atUs, event.aux, event.tag ?? "-"].join(",");
}

/** Same key: seen before, never seen, or seen with another content. */
export function recognise(
  track: BoxTrack,
  event: EventMessage,
): "fresh" | "duplicate" | "conflict" {
  const known = track.remembered.get(event.seq);
  if (known !== undefined) return known === contentOf(event) ? "duplicate" : "conflict";
  // Far below all that is remembered: no box holds that many events, it counts from 1 again.
  return event.seq <= track.highest - REMEMBERED ? "conflict" : "fresh";
}

/** Takes in an event that `recognise` called fresh. */
export function withEvent(track: BoxTrack, event: EventMessage, now: HostUs): BoxTrack {
  const remembered = new Map(track.remembered);
  remembered.set(event.seq, contentOf(event));
  if (remembered.size > REMEMBERED) {
    remembered.delete(Math.min(...remembered.keys()));
  }
  const isBeyond = track.prefix === null || event.seq > track.prefix;
  return advanced(
    {
      ...track,
      remembered,
      beyond: isBeyond ? new Set(track.beyond).add(event.seq) : track.beyond,
      highest: Math.max(track.highest, event.seq),
      latestUs: Math.max(track.latestUs, event.atUs),
      isAckOwed: true,
    },
    now,
  );
}

/**
 * First number to ask for, if it is time to ask: at once for a hole with later events behind it, a
 * second after the last progress for missing last ones (they may be on their way), and then each
 * second. Undefined when nothing is missing or it was asked for just now.
 */
export function missingFrom(track: BoxTrack, now: HostUs): number | undefined {
  if (track.isDisputed || track.prefix === null || track.prefix >= track.highest) return undefined;
  if (now - track.askedAtUs < ASK_AGAIN_US) return undefined;
  const isInside = track.beyond.size > 0 || track.gone.length > 0;
  if (!isInside && now - track.progressAtUs < ASK_AGAIN_US) return undefined;
  return track.prefix + 1;
}
