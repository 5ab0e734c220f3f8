// The receiver: what is acknowledged, asked for again, refused and said, message by message.
import { describe, expect, it } from "vitest";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import type { BoxMessage, BoxRole } from "../../src/protocol/message.ts";
import {
  acksDue,
  overdue,
  portClosed,
  queriesDue,
  type ReceiverState,
  rebuildReceiver,
  receive,
  receiverStart,
} from "../../src/protocol/receiver.ts";
import { exchangeOf } from "../../src/protocol/reply.ts";

const P = "/dev/port";
const s = (seconds: number) => hostUs(seconds * 1e6);

interface Where {
  readonly box?: string;
  readonly boot?: number;
}

const from = ({ box = "S1", boot = 0x12 }: Where) => ({ box, boot });

const event = (seq: number, where: Where & { atUs?: number; role?: BoxRole } = {}): BoxMessage => ({
  type: "event",
  ...from(where),
  seq,
  role: where.role ?? "S",
  kind: "B",
  atUs: boxUs(where.atUs ?? seq * 1_000_000),
  aux: 0,
  tag: null,
  batteryMv: 3760,
  beamPercent: 98,
});

const hello = (
  oldestSeq: number,
  nextSeq: number,
  where: Where & { nowUs?: number } = {},
): BoxMessage => ({
  type: "boot",
  ...from(where),
  role: "S",
  nowUs: boxUs(where.nowUs ?? 200_000_000),
  oldestSeq,
  nextSeq,
  firmware: "1.0.0",
  resolutionNs: 500,
});

const beat = (
  oldestSeq: number,
  nextSeq: number,
  where: Where & { nowUs?: number } = {},
): BoxMessage => ({
  type: "heartbeat",
  ...from(where),
  nowUs: boxUs(where.nowUs ?? 200_000_000),
  oldestSeq,
  nextSeq,
  batteryMv: 3760,
  beamPercent: 98,
  glitches: 0,
  overwritten: 0,
  badInput: 0,
});

const gone = (fromSeq: number, toSeq: number): BoxMessage => ({
  type: "gone",
  ...from({}),
  fromSeq,
  toSeq,
});

/** Feeds messages, a tenth of a second apart. */
function feed(state: ReceiverState, messages: readonly BoxMessage[], startS = 0) {
  const sent: unknown[] = [];
  const fresh: boolean[] = [];
  const refused: boolean[] = [];
  const notices: string[] = [];
  let next = state;
  messages.forEach((message, i) => {
    const got = receive(next, P, message, s(startS + i * 0.1));
    next = got.state;
    sent.push(...got.toSend.map((o) => o.message));
    fresh.push(got.fresh);
    refused.push(got.refused);
    notices.push(...got.notices);
  });
  return { state: next, sent, fresh, refused, notices };
}

const ack = (state: ReceiverState) => acksDue(state).toSend.map((o) => o.message);
const resend = (seq: number) => ({ type: "resend", box: "S1", boot: 0x12, seq });
const acked = (seq: number) => ({ type: "acknowledge", box: "S1", boot: 0x12, seq });

describe("receiver", () => {
  it("starts below the oldest event held and acknowledges what is contiguous, once", () => {
    const got = feed(receiverStart, [hello(143, 145), event(143), event(144)]);
    expect(got.fresh).toEqual([false, true, true]);
    expect(got.sent).toEqual([]);
    expect(ack(got.state)).toEqual([acked(144)]);
    expect(ack(acksDue(got.state).state)).toEqual([]);
  });

  it("asks who it is when an event comes first, and holds its acknowledgement until it knows", () => {
    const got = feed(receiverStart, [event(143), event(144)]);
    expect(got.sent).toEqual([{ type: "identify", box: "S1" }]);
    expect(ack(got.state)).toEqual([]);
    const known = feed(got.state, [beat(143, 145)], 1);
    expect(ack(known.state)).toEqual([acked(144)]);
  });

  it("asks for a hole at once, again after a second, and acknowledges only up to it", () => {
    const got = feed(receiverStart, [hello(1, 1), event(1), event(3), event(4)]);
    expect(got.sent).toEqual([resend(2)]);
    expect(ack(got.state)).toEqual([acked(1)]);
    const soon = overdue(got.state, s(1));
    expect(soon.toSend).toEqual([]);
    const later = overdue(soon.state, s(1.3));
    expect(later.toSend).toEqual([{ port: P, message: resend(2) }]);
    const filled = feed(later.state, [event(2)], 1.4);
    expect(ack(filled.state)).toEqual([acked(4)]);
    expect(overdue(filled.state, s(10)).toSend).toEqual([]);
  });

  it("learns of a lost last event from the heartbeat and waits a second before asking", () => {
    const got = feed(receiverStart, [hello(1, 1), event(1), beat(2, 4)]);
    expect(got.sent).toEqual([]);
    expect(overdue(got.state, s(0.9)).toSend).toEqual([]);
    expect(overdue(got.state, s(1.2)).toSend).toEqual([{ port: P, message: resend(2) }]);
  });

  it("closes a hole for ever by what the box no longer holds, and says so", () => {
    const got = feed(receiverStart, [hello(1, 1), event(1), event(5), gone(2, 4)]);
    expect(got.notices).toEqual(["box S1 no longer holds events 2 to 4"]);
    expect(ack(got.state)).toEqual([acked(5)]);
    expect(overdue(got.state, s(10)).toSend).toEqual([]);
    // A relay may still bring one of them: it counts.
    expect(feed(got.state, [event(3)], 1).fresh).toEqual([true]);
  });

  it("counts a resend and acknowledges again, since the acknowledgement was lost", () => {
    const first = feed(receiverStart, [hello(1, 1), event(1)]);
    const again = feed(acksDue(first.state).state, [event(1)], 1);
    expect(again.fresh).toEqual([false]);
    expect(again.refused).toEqual([false]);
    expect(again.state.boxes.get("S1")?.boots.get(0x12)?.duplicates).toBe(1);
    expect(ack(again.state)).toEqual([acked(1)]);
    const held = feed(acksDue(again.state).state, [beat(1, 2)], 2);
    expect(ack(held.state)).toEqual([acked(1)]);
    expect(ack(feed(acksDue(held.state).state, [beat(2, 2)], 4).state)).toEqual([]);
  });

  it("closes the old boot when the box restarts: no more for it, exchanges each second", () => {
    const old = feed(receiverStart, [hello(1, 1), event(1), event(3)]);
    const got = feed(old.state, [event(1, { boot: 0x13, atUs: 5_000_000 })], 100);
    expect(got.notices).toEqual([
      "box S1 has restarted (boot 0013): its clock is being asked afresh",
    ]);
    expect(got.sent).toEqual([{ type: "identify", box: "S1" }]);
    expect(overdue(got.state, s(101)).toSend).toEqual([]);
    const known = feed(got.state, [hello(1, 2, { boot: 0x13, nowUs: 6_000_000 })], 101);
    expect(ack(known.state)).toEqual([{ type: "acknowledge", box: "S1", boot: 0x13, seq: 1 }]);
    // A late line of the old boot still counts, but is neither acknowledged nor asked about.
    const late = feed(acksDue(known.state).state, [event(2)], 102);
    expect(late.fresh).toEqual([true]);
    expect(ack(late.state)).toEqual([]);
  });

  it("keeps but refuses an event with another content under a known number, and says so", () => {
    const got = feed(receiverStart, [hello(1, 1), event(1), event(1, { atUs: 77 }), event(2)]);
    expect(got.fresh).toEqual([false, true, false, false]);
    expect(got.refused).toEqual([false, false, true, true]);
    expect(got.notices.length).toBe(1);
    expect(got.notices[0]).toMatch(/two different events under one number \(boot 0012, 1\)/);
    expect(ack(got.state)).toEqual([]);
  });

  it("keeps but refuses events of a lower boot never heard of, and says so once", () => {
    const got = feed(receiverStart, [
      hello(1, 1),
      event(1, { boot: 0x03 }),
      event(2, { boot: 0x03 }),
      event(1),
    ]);
    expect(got.refused).toEqual([false, true, true, false]);
    expect(got.notices.length).toBe(1);
    expect(got.notices[0]).toMatch(/boot 0003, lower than 0012/);
    expect(ack(got.state)).toEqual([acked(1)]);
  });

  it("notices a box that starts again under the same boot number", () => {
    const first = [hello(1, 1), ...[1, 2, 3].map((n) => event(n))];
    const byClock = feed(receiverStart, [...first, hello(1, 1, { nowUs: 1000 }), event(1)]);
    expect(byClock.notices[0]).toMatch(/started again under the same boot number 0012/);
    expect(byClock.refused.at(-1)).toBe(true);
    const many = Array.from({ length: 300 }, (_, i) => event(i + 1));
    const byNumber = feed(receiverStart, [hello(1, 1), ...many, event(2)]);
    expect(byNumber.refused.at(-1)).toBe(true);
    expect(ack(byNumber.state)).toEqual([]);
  });

  it("is not upset by a heartbeat that a relay brings late", () => {
    const got = feed(receiverStart, [
      hello(1, 1),
      event(1, { atUs: 201_000_000 }),
      beat(1, 1, { nowUs: 199_000_000 }),
      event(2, { atUs: 202_000_000 }),
    ]);
    expect(got.notices).toEqual([]);
    expect(ack(got.state)).toEqual([acked(2)]);
  });

  it("says when a box changes its role", () => {
    const got = feed(receiverStart, [hello(1, 1), event(1), event(2, { role: "P1" })]);
    expect(got.notices).toEqual(["box S1 now says it stands at split 1; before it was the start"]);
  });

  it("sends nothing to a closed port until the box is heard again", () => {
    const got = feed(receiverStart, [hello(1, 1), event(1), event(3)]);
    const closed = portClosed(got.state, P);
    expect(acksDue(closed).toSend).toEqual([]);
    expect(overdue(closed, s(9)).toSend).toEqual([]);
    expect(queriesDue(closed, s(9)).toSend).toEqual([]);
    expect(portClosed(got.state, "other")).toEqual(got.state);
    const back = receive(closed, "/dev/other", event(2), s(10));
    expect(acksDue(back.state).toSend).toEqual([{ port: "/dev/other", message: acked(3) }]);
  });

  it("asks each clock every second for a minute, then every five, one a port at a time", () => {
    const got = feed(receiverStart, [hello(1, 1), hello(1, 1, { box: "F1", boot: 2 })]);
    let state = got.state;
    const asked: Record<string, number[]> = { S1: [], F1: [] };
    const tokens = new Set<string>();
    for (let t = 0.2; t < 120; t += 0.1) {
      const due = queriesDue(state, s(t));
      state = due.state;
      expect(due.toSend.length).toBeLessThanOrEqual(1);
      for (const { message } of due.toSend) {
        if (message.type !== "query") throw new Error(message.type);
        expect(message.t1Us).toBe(Math.round(s(t)));
        asked[message.box]?.push(t);
        tokens.add(message.token);
      }
    }
    for (const times of Object.values(asked)) {
      expect(times.filter((t) => t < 60).length).toBeGreaterThanOrEqual(54);
      expect(times.filter((t) => t < 60).length).toBeLessThanOrEqual(61);
      expect(times.filter((t) => t >= 65).length).toBeGreaterThanOrEqual(10);
      expect(times.filter((t) => t >= 65).length).toBeLessThanOrEqual(12);
    }
    const all = Object.values(asked).flat().length;
    expect(tokens.size).toBe(all);
  });

  it("goes on after a restart from the stored messages", () => {
    const messages = [
      hello(143, 144),
      event(143),
      event(144),
      event(146),
      gone(145, 145),
      event(148),
    ];
    const live = feed(receiverStart, messages);
    const rebuilt = rebuildReceiver(messages.map((message) => ({ port: P, message })));
    expect(acksDue(rebuilt).toSend).toEqual([]);
    const tracks = [live.state, rebuilt].map((state) => {
      const track = state.boxes.get("S1")?.boots.get(0x12);
      return track && [track.prefix, track.highest, [...track.beyond], track.gone];
    });
    expect(tracks[1]).toEqual(tracks[0]);
    const resumed = feed(rebuilt, [event(148)], 0);
    expect(resumed.fresh).toEqual([false]);
    expect(resumed.sent).toEqual([resend(147)]);
    expect(ack(resumed.state)).toEqual([acked(146)]);
  });

  it("acknowledges nothing before the first event of a boot", () => {
    expect(ack(feed(receiverStart, [hello(1, 1), gone(1, 1)]).state)).toEqual([acked(1)]);
    expect(ack(feed(receiverStart, [hello(1, 1), beat(1, 1)]).state)).toEqual([]);
  });
});

describe("exchangeOf", () => {
  const reply = (t1: number, t2: number, t3: number) => ({
    type: "reply" as const,
    ...from({}),
    token: "7",
    t1Us: hostUs(t1),
    t2Us: boxUs(t2),
    t3Us: boxUs(t3),
  });

  it("gives the four instants", () => {
    expect(exchangeOf(reply(1000, 500, 600), P, hostUs(1500))).toEqual({
      box: "S1",
      boot: 0x12,
      port: P,
      t1Us: 1000,
      t2Us: 500,
      t3Us: 600,
      t4Us: 1500,
    });
  });

  it.each([
    [2000, 500, 600, 1500, "answered before it was asked"],
    [1000, 600, 500, 1500, "left before it came"],
    [1000, 500, 1100, 1500, "longer in the box than away"],
    [1000, 500, 600, 10_001_001, "over ten seconds"],
  ])("believes no exchange %d %d %d %d: %s", (t1, t2, t3, t4) => {
    expect(exchangeOf(reply(t1, t2, t3), P, hostUs(t4))).toBeUndefined();
  });
});
