// What to answer to each box: acknowledge, ask again, ask the clock; the recorder's state machine.
import { assertNever } from "../domain/errors.ts";
import type { BoxId } from "../domain/session.ts";
import { type HostUs, hostUs } from "../domain/time.ts";
import {
  type BoxTrack,
  missingFrom,
  newTrack,
  recognise,
  withEvent,
  withGone,
  withHeld,
} from "./box-track.ts";
import { hex4 } from "./crc.ts";
import type { BoxMessage, BoxRole, EventMessage, HostMessage } from "./message.ts";

/** Clock questions: each second at first, so that the fit is usable soon, then every five. */
const FAST_FOR_US = 60_000_000;
const FAST_EVERY_US = 1_000_000;
const SLOW_EVERY_US = 5_000_000;
/** A box that has not yet said what it holds is asked again after this long. */
const IDENTIFY_AGAIN_US = 2_000_000;
/** A line may be this late (relays); a box clock further back than this has started again. */
const LATE_US = 60_000_000;

/** Every boot of every box heard of; `current` is the boot that the box is in now. */
export interface ReceiverState {
  readonly boxes: ReadonlyMap<
    BoxId,
    { readonly current: number; readonly boots: ReadonlyMap<number, BoxTrack> }
  >;
  /** Number of clock questions so far: the next token. */
  readonly queries: number;
}

/** A line for one port. */
export interface Outgoing {
  readonly port: string;
  readonly message: HostMessage;
}

export interface Receipt {
  readonly state: ReceiverState;
  readonly toSend: readonly Outgoing[];
  /** An event that was not here before. False for a resend, for one refused, for other messages. */
  readonly fresh: boolean;
  /** An event that is kept raw but must neither count nor be acknowledged; a notice says why. */
  readonly refused: boolean;
  /** Sentences for the screen. */
  readonly notices: readonly string[];
}

/** Nothing heard yet. */
export const receiverStart: ReceiverState = { boxes: new Map(), queries: 0 };

const ROLE_WORDS: Readonly<Record<string, string>> = { S: "the start", F: "the finish" };

function roleWords(role: BoxRole): string {
  return ROLE_WORDS[role] ?? `split ${role.slice(1)}`;
}

function withTrack(state: ReceiverState, track: BoxTrack, current: number): ReceiverState {
  const boots = new Map(state.boxes.get(track.box)?.boots).set(track.boot, track);
  return { ...state, boxes: new Map(state.boxes).set(track.box, { current, boots }) };
}

interface Step {
  readonly track: BoxTrack;
  readonly fresh: boolean;
  readonly refused: boolean;
  readonly notices: readonly string[];
}

function step(track: BoxTrack, ...notices: readonly string[]): Step {
  return { track, fresh: false, refused: false, notices };
}

function takeEvent(track: BoxTrack, event: EventMessage, now: HostUs): Step {
  if (track.isDisputed) return { track, fresh: false, refused: true, notices: [] };
  const kind = recognise(track, event);
  if (kind === "duplicate") {
    return step({ ...track, duplicates: track.duplicates + 1, isAckOwed: true });
  }
  if (kind === "fresh") {
    return { track: withEvent(track, event, now), fresh: true, refused: false, notices: [] };
  }
  const notice = `box ${event.box} sent two different events under one number (boot ${hex4(event.boot)}, ${String(event.seq)}): are there two boxes with this id? The later one is kept but not counted; rename one box, or reset it`;
  return { track: { ...track, isDisputed: true }, fresh: false, refused: true, notices: [notice] };
}

function takeMessage(track: BoxTrack, message: BoxMessage, now: HostUs): Step {
  switch (message.type) {
    case "boot":
    case "heartbeat": {
      const wentBack = message.nowUs + LATE_US < track.latestUs;
      if (wentBack && message.nextSeq - 1 < track.highest && !track.isDisputed) {
        const notice = `box ${message.box} started again under the same boot number ${hex4(message.boot)}: its events are kept but not counted until it is reset once more`;
        return step({ ...track, isDisputed: true }, notice);
      }
      const latestUs = Math.max(track.latestUs, message.nowUs);
      return step(withHeld({ ...track, latestUs }, message, now));
    }
    case "event":
      return takeEvent(track, message, now);
    case "gone": {
      const notice = `box ${message.box} no longer holds events ${String(message.fromSeq)} to ${String(message.toSeq)}`;
      return step(withGone(track, message, now), notice);
    }
    case "reply":
      return step({ ...track, latestUs: Math.max(track.latestUs, message.t3Us) });
    default:
      return assertNever(message);
  }
}

function withRole(track: BoxTrack, message: BoxMessage): Step {
  const role = message.type === "boot" || message.type === "event" ? message.role : null;
  if (role === null || role === track.role) return step(track);
  if (track.role === null) return step({ ...track, role });
  const notice = `box ${track.box} now says it stands at ${roleWords(role)}; before it was ${roleWords(track.role)}`;
  return step({ ...track, role }, notice);
}

/** The track to go on with, or a new one; a boot lower than the current one is never a new one. */
function trackFor(state: ReceiverState, message: BoxMessage): Step & { readonly current: number } {
  const known = state.boxes.get(message.box);
  const track = known?.boots.get(message.boot);
  const current = Math.max(known?.current ?? 0, message.boot);
  if (track !== undefined) return { ...step(track), current };
  const fresh = newTrack(message.box, message.boot);
  if (known === undefined) return { ...step(fresh), current };
  if (message.boot > known.current) {
    const notice = `box ${message.box} has restarted (boot ${hex4(message.boot)}): its clock is being asked afresh`;
    const role = known.boots.get(known.current)?.role ?? null;
    return { ...step({ ...fresh, role }, notice), current };
  }
  const notice = `box ${message.box} sent a line of boot ${hex4(message.boot)}, lower than ${hex4(known.current)}: are there two boxes with this id? Its events are kept but not counted; rename one box`;
  return { ...step({ ...fresh, isDisputed: true }, notice), current };
}

function onPort(track: BoxTrack, port: string, now: HostUs): BoxTrack {
  return track.port === port ? track : { ...track, port, fastUntilUs: now + FAST_FOR_US };
}

/** What is due for one track: asking who it is, asking for what is missing. */
function due(
  track: BoxTrack,
  now: HostUs,
): { readonly track: BoxTrack; readonly toSend: readonly Outgoing[] } {
  const { port, box, boot } = track;
  if (port === null || track.isDisputed) return { track, toSend: [] };
  if (track.prefix === null && now - track.identifiedAtUs >= IDENTIFY_AGAIN_US) {
    const message = { type: "identify", box } as const;
    return { track: { ...track, identifiedAtUs: now }, toSend: [{ port, message }] };
  }
  const seq = missingFrom(track, now);
  if (seq === undefined) return { track, toSend: [] };
  const message = { type: "resend", box, boot, seq } as const;
  return { track: { ...track, askedAtUs: now }, toSend: [{ port, message }] };
}

/**
 * Takes in one message of a box.
 *
 * @param port - name of the port that it came in on
 * @param now - host's monotonic clock
 * @returns the new state and what to send at once; acknowledgements come from `acksDue` only, after
 *   the commit
 */
export function receive(
  state: ReceiverState,
  port: string,
  message: BoxMessage,
  now: HostUs,
): Receipt {
  const begun = trackFor(state, message);
  const roled = withRole(onPort(begun.track, port, now), message);
  const taken = takeMessage(roled.track, message, now);
  const isCurrent = message.boot === begun.current;
  const answered = isCurrent ? due(taken.track, now) : { track: taken.track, toSend: [] };
  return {
    state: withTrack(state, answered.track, begun.current),
    toSend: answered.toSend,
    fresh: taken.fresh,
    refused: taken.refused,
    notices: [...begun.notices, ...roled.notices, ...taken.notices],
  };
}

function currentTracks(state: ReceiverState): readonly BoxTrack[] {
  return [...state.boxes.values()].flatMap(({ current, boots }) => boots.get(current) ?? []);
}

/** What has become due since the last line: holes asked for again. To be called a few times a second. */
export function overdue(
  state: ReceiverState,
  now: HostUs,
): { readonly state: ReceiverState; readonly toSend: readonly Outgoing[] } {
  const toSend: Outgoing[] = [];
  let next = state;
  for (const track of currentTracks(state)) {
    const answered = due(track, now);
    if (answered.toSend.length === 0) continue;
    toSend.push(...answered.toSend);
    next = withTrack(next, answered.track, track.boot);
  }
  return { state: next, toSend };
}

/**
 * Acknowledgements for everything received so far. To be called only when all of it is durable: a
 * box forgets what it is told is safe.
 */
export function acksDue(state: ReceiverState): {
  readonly state: ReceiverState;
  readonly toSend: readonly Outgoing[];
} {
  const toSend: Outgoing[] = [];
  let next = state;
  for (const track of currentTracks(state)) {
    const { port, prefix, box, boot } = track;
    if (!track.isAckOwed || track.isDisputed || port === null) continue;
    if (prefix === null || prefix < 1) continue;
    toSend.push({ port, message: { type: "acknowledge", box, boot, seq: prefix } });
    next = withTrack(next, { ...track, isAckOwed: false }, boot);
  }
  return { state: next, toSend };
}

/**
 * Clock questions that are due, at most one a port: a second one would wait behind the first and
 * look late. To be written at once, `now` is their t1.
 */
export function queriesDue(
  state: ReceiverState,
  now: HostUs,
): { readonly state: ReceiverState; readonly toSend: readonly Outgoing[] } {
  const toSend: Outgoing[] = [];
  let next = state;
  const longestWaiting = [...currentTracks(state)].sort((a, b) => a.queriedAtUs - b.queriedAtUs);
  for (const track of longestWaiting) {
    const { port, box } = track;
    const everyUs = now < track.fastUntilUs ? FAST_EVERY_US : SLOW_EVERY_US;
    if (port === null || now - track.queriedAtUs < everyUs) continue;
    if (toSend.some((sent) => sent.port === port)) continue;
    const token = String(next.queries % 1_000_000_000);
    const t1Us = hostUs(Math.round(now));
    toSend.push({ port, message: { type: "query", box, token, t1Us } });
    next = withTrack(next, { ...track, queriedAtUs: now }, track.boot);
    next = { ...next, queries: next.queries + 1 };
  }
  return { state: next, toSend };
}

/** A port was lost: nothing is sent to its boxes until they are heard again. */
export function portClosed(state: ReceiverState, port: string): ReceiverState {
  let next = state;
  for (const { current, boots } of state.boxes.values()) {
    for (const track of boots.values()) {
      if (track.port === port) next = withTrack(next, { ...track, port: null }, current);
    }
  }
  return next;
}

/**
 * Where a restarted recorder goes on from: the stored messages, oldest first. Everything in them is
 * durable; ports are closed and timers start afresh.
 *
 * @param stored - every message of the journal that was not refused
 */
export function rebuildReceiver(
  stored: Iterable<{ readonly port: string; readonly message: BoxMessage }>,
): ReceiverState {
  let state = receiverStart;
  for (const { port, message } of stored) state = receive(state, port, message, hostUs(0)).state;
  for (const { current, boots } of state.boxes.values()) {
    for (const track of boots.values()) {
      const { askedAtUs, identifiedAtUs, progressAtUs, fastUntilUs, queriedAtUs } = newTrack("", 0);
      const timers = { askedAtUs, identifiedAtUs, progressAtUs, fastUntilUs, queriedAtUs };
      state = withTrack(state, { ...track, ...timers, port: null, isAckOwed: true }, current);
    }
  }
  return state;
}
