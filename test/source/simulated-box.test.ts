// The simulated box: passes, ring, window, resend, clock exchange; and that nothing is ever lost
// between it and a receiver over a bad line.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/domain/seeded.ts";
import { hostUs } from "../../src/domain/time.ts";
import { decode, decoderStart } from "../../src/protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../../src/protocol/encode.ts";
import type { BoxMessage, HostMessage } from "../../src/protocol/message.ts";
import {
  acksDue,
  type Outgoing,
  overdue,
  receive,
  receiverStart,
} from "../../src/protocol/receiver.ts";
import { type SentLine, SimulatedBox } from "../../src/source/simulated-box.ts";

const bike = { durationUs: 250_000, pulses: 12 };
const wire = (message: HostMessage) => lineBytes(encodeHostLine(message));

function box(more: { skewPpm?: number; seed?: number } = {}) {
  return new SimulatedBox({
    id: "S1",
    role: "S",
    boot: 0x12,
    onAtUs: 0,
    skewPpm: more.skewPpm ?? 0,
    seed: more.seed ?? 1,
  });
}

function said(lines: readonly SentLine[]): BoxMessage[] {
  return lines.flatMap(({ bytes }) => {
    const got = decode(decoderStart, bytes);
    expect(got.faults).toEqual([]);
    return got.messages.map((m) => m.message);
  });
}

const events = (lines: readonly SentLine[]) =>
  said(lines).flatMap((m) => (m.type === "event" ? [m] : []));

describe("SimulatedBox", () => {
  it("says hello at boot and beats every 2 s, 20 % earlier or later", () => {
    const lines = box().advance(100_000_000);
    expect(said(lines)[0]).toMatchObject({ type: "boot", boot: 0x12, oldestSeq: 1, nextSeq: 1 });
    const beats = lines.filter((_, i) => said([lines[i] as SentLine])[0]?.type === "heartbeat");
    const gaps = beats.slice(1).map(({ atUs }, i) => atUs - (beats[i]?.atUs ?? 0));
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(1_590_000);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(2_410_000);
    expect(new Set(gaps).size).toBeGreaterThan(10);
  });

  it("tells B with the first edge at once and C with the last clearing after 800 ms", () => {
    const b = box();
    b.trip(5_000_000, bike);
    b.trip(5_500_000, { durationUs: 100_000, pulses: 2 });
    const early = b.advance(5_100_000);
    b.receive(wire({ type: "acknowledge", box: "S1", boot: 0x12, seq: 1 }), 5_100_000);
    const lines = [...early, ...b.advance(7_000_000)];
    const [first, second] = events(lines);
    expect(first).toMatchObject({ kind: "B", atUs: 5_000_000, seq: 1, aux: 0 });
    expect(second).toMatchObject({ kind: "C", atUs: 5_600_000, seq: 2, aux: 14 });
    const left = lines.filter((line) => events([line]).length > 0).map((line) => line.atUs);
    expect(left[0]).toBe(5_002_000);
    expect(left[1]).toBe(6_400_000);
  });

  it("counts a glitch and tells no event", () => {
    const b = box();
    b.trip(1_000_000, { durationUs: 1500, pulses: 1 });
    const lines = b.advance(6_000_000);
    expect(events(lines)).toEqual([]);
    expect(said(lines).at(-1)).toMatchObject({ type: "heartbeat", glitches: 1 });
  });

  it("tells a beam blocked over ten seconds, and when it is back", () => {
    const b = box();
    b.trip(1_000_000, { durationUs: 15_000_000, pulses: 1 });
    const told: unknown[] = [];
    for (let t = 0; t < 18_000_000; t += 100_000) {
      for (const { seq, kind, atUs } of events(b.advance(t))) {
        told.push([kind, atUs]);
        b.receive(wire({ type: "acknowledge", box: "S1", boot: 0x12, seq }), t);
      }
    }
    expect(told).toEqual([
      ["B", 1_000_000],
      ["X", 1_000_000],
      ["O", 16_000_000],
    ]);
  });

  it("sends the oldest again after 1, 2, 4, 8 and 8 s without an acknowledgement", () => {
    const b = box();
    b.press(1_000_000);
    const times = b
      .advance(35_000_000)
      .filter((line) => events([line]).length > 0)
      .map((line) => line.atUs);
    const gaps = times.slice(1).map((t, i) => Math.round((t - (times[i] ?? 0)) / 1e6));
    expect(gaps).toEqual([1, 2, 4, 8, 8, 8]);
  });

  it("keeps 32 on the way, overwrites beyond 64 and says what is gone", () => {
    const b = box();
    for (let i = 0; i < 70; i += 1) b.press(1_000_000 + i);
    const lines = b.advance(1_900_000);
    // The first went out at once, then 2 to 6 were overwritten while it was on the wire.
    expect(events(lines).map((e) => e.seq)).toEqual([
      1,
      ...Array.from({ length: 32 }, (_, i) => 7 + i),
    ]);
    b.receive(wire({ type: "resend", box: "S1", boot: 0x12, seq: 1 }), 1_950_000);
    const after = said(b.advance(5_000_000));
    expect(after).toContainEqual(expect.objectContaining({ type: "gone", fromSeq: 1, toSeq: 6 }));
    expect(after.find((m) => m.type === "heartbeat")).toMatchObject({
      oldestSeq: 7,
      nextSeq: 71,
      overwritten: 6,
    });
  });

  it("ignores acknowledgements of another boot, of another box, or beyond what it sent", () => {
    const b = box();
    b.press(1_000_000);
    b.advance(1_100_000);
    b.receive(wire({ type: "acknowledge", box: "S1", boot: 0x11, seq: 1 }), 1_100_000);
    b.receive(wire({ type: "acknowledge", box: "F1", boot: 0x12, seq: 1 }), 1_110_000);
    b.receive(wire({ type: "acknowledge", box: "S1", boot: 0x12, seq: 2 }), 1_120_000);
    b.advance(1_200_000);
    expect(b.waiting).toBe(1);
    b.receive(wire({ type: "acknowledge", box: "S1", boot: 0x12, seq: 1 }), 1_200_000);
    b.advance(1_300_000);
    expect(b.waiting).toBe(0);
  });

  it("answers who is there within 300 ms with hello and everything unacknowledged", () => {
    const b = box();
    b.press(1_000_000);
    b.press(1_000_001);
    b.advance(10_000_000);
    b.receive(wire({ type: "identify", box: "?" }), 10_000_000);
    const answered = said(b.advance(10_400_000)).filter((m) => m.type !== "heartbeat");
    expect(answered[0]).toMatchObject({ type: "boot", oldestSeq: 1, nextSeq: 3 });
    expect(answered[1]).toMatchObject({ type: "event", seq: 1 });
  });

  it("stamps t2 at the question's colon and t3 at the answer's, by its own skewed clock", () => {
    const b = box({ skewPpm: 1000 });
    b.advance(10_000_000);
    b.receive(wire({ type: "query", box: "S1", token: "7", t1Us: hostUs(9_999_000) }), 10_000_000);
    const lines = b.advance(10_100_000);
    const reply = said(lines).find((m) => m.type === "reply");
    const left = lines.find((line) => said([line])[0]?.type === "reply");
    expect(reply).toMatchObject({ token: "7", t1Us: 9_999_000, t2Us: 10_010_000 });
    expect(reply?.type === "reply" && reply.t3Us).toBe(Math.round((left?.atUs ?? 0) * 1.001));
  });

  it("starts a new boot at zero, forgets what it held, and takes a new name and role", () => {
    const b = box();
    b.press(1_000_000);
    b.advance(9_000_000);
    b.reset();
    const [hello] = said(b.advance(9_500_000));
    expect(hello).toMatchObject({ type: "boot", boot: 0x13, nowUs: 0, oldestSeq: 1, nextSeq: 1 });
    b.receive(wire({ type: "rename", box: "S1", newBox: "P1", newRole: "P1" }), 9_600_000);
    expect(said(b.advance(9_700_000))[0]).toMatchObject({ type: "boot", box: "P1", role: "P1" });
    b.receive(wire({ type: "set", box: "P1", name: "rearm_us", value: 100_000 }), 9_800_000);
    b.trip(10_000_000, bike);
    const clear = events(b.advance(11_000_000)).find((e) => e.kind === "C");
    expect(clear?.atUs).toBe(1_250_000);
  });

  it("counts input that it cannot read", () => {
    const b = box();
    b.receive(Uint8Array.from([1, 2, 3, 10]), 1_000_000);
    const beat = said(b.advance(4_000_000)).find((m) => m.type === "heartbeat");
    expect(beat).toMatchObject({ badInput: 1 });
  });
});

describe("box and receiver over a line that loses, doubles and delays", () => {
  it("bring every event to the host once, and the box empties", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2 ** 31 }),
        fc.double({ min: 0, max: 0.4, noNaN: true }),
        fc.integer({ min: 1, max: 60 }),
        (seed, loss, count) => {
          const random = seededRandom(seed);
          const b = box({ seed });
          for (let i = 0; i < count; i += 1) b.press(1_000_000 + Math.floor(random() * 20e6));
          let state = receiverStart;
          const stored: number[] = [];
          const send = (lines: readonly Outgoing[], atUs: number) => {
            for (const { message } of lines) {
              if (random() < loss) continue;
              back(b.receive(wire(message), atUs));
            }
          };
          let arriving: SentLine[] = [];
          const back = (lines: readonly SentLine[]) => {
            for (const { bytes, atUs } of lines) {
              if (random() < loss) continue;
              arriving.push({ bytes, atUs: atUs + 5000 });
              if (random() < 0.1) arriving.push({ bytes, atUs: atUs + 9000 });
            }
          };
          send([{ port: "p", message: { type: "identify", box: "?" } }], 0);
          for (let t = 0; t < 300e6; t += 50_000) {
            back(b.advance(t));
            const now = hostUs(t);
            const due = arriving.filter((a) => a.atUs <= t);
            arriving = arriving.filter((a) => a.atUs > t);
            for (const message of said(due)) {
              const got = receive(state, "p", message, now);
              state = got.state;
              expect(got.refused).toBe(false);
              if (got.fresh && message.type === "event") stored.push(message.seq);
              send(got.toSend, t);
            }
            for (const next of [acksDue(state), overdue(acksDue(state).state, now)]) {
              state = next.state;
              send(next.toSend, t);
            }
            if (t > 25e6 && b.waiting === 0 && stored.length === count) break;
          }
          expect(stored.toSorted((x, y) => x - y)).toEqual(
            Array.from({ length: count }, (_, i) => i + 1),
          );
          expect(b.waiting).toBe(0);
        },
      ),
      { seed: 41, numRuns: 60 },
    );
  });
});
