// The example lines of the protocol's description, with what they say, and random messages.
import fc from "fast-check";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import type { BoxMessage, BoxRole, EventKind, HostMessage } from "../../src/protocol/message.ts";

export const boxExamples: readonly (readonly [string, BoxMessage])[] = [
  [
    ":1B,S1,0012,S,1235500000,143,145,1.0.0,500*D413",
    {
      type: "boot",
      box: "S1",
      boot: 0x12,
      role: "S",
      nowUs: boxUs(1235500000),
      oldestSeq: 143,
      nextSeq: 145,
      firmware: "1.0.0",
      resolutionNs: 500,
    },
  ],
  [
    ":1E,S1,0012,143,S,B,1234567890,0,-,3760,98*513E",
    {
      type: "event",
      box: "S1",
      boot: 0x12,
      seq: 143,
      role: "S",
      kind: "B",
      atUs: boxUs(1234567890),
      aux: 0,
      tag: null,
      batteryMv: 3760,
      beamPercent: 98,
    },
  ],
  [
    ":1E,S1,0012,144,S,C,1234981554,14,-,3760,98*550E",
    {
      type: "event",
      box: "S1",
      boot: 0x12,
      seq: 144,
      role: "S",
      kind: "C",
      atUs: boxUs(1234981554),
      aux: 14,
      tag: null,
      batteryMv: 3760,
      beamPercent: 98,
    },
  ],
  [
    ":1E,F1,0007,12,F,T,998877665,0,A1B2C3D4,3810,100*CCAF",
    {
      type: "event",
      box: "F1",
      boot: 7,
      seq: 12,
      role: "F",
      kind: "T",
      atUs: boxUs(998877665),
      aux: 0,
      tag: "A1B2C3D4",
      batteryMv: 3810,
      beamPercent: 100,
    },
  ],
  [
    ":1H,S1,0012,1236000000,145,145,3760,98,2,0,0*CD2E",
    {
      type: "heartbeat",
      box: "S1",
      boot: 0x12,
      nowUs: boxUs(1236000000),
      oldestSeq: 145,
      nextSeq: 145,
      batteryMv: 3760,
      beamPercent: 98,
      glitches: 2,
      overwritten: 0,
      badInput: 0,
    },
  ],
  [":1G,S1,0012,143,144*C872", { type: "gone", box: "S1", boot: 0x12, fromSeq: 143, toSeq: 144 }],
  [
    ":1R,S1,0012,7,000081234567890,000001237000120,000001237004480*EC84",
    {
      type: "reply",
      box: "S1",
      boot: 0x12,
      token: "7",
      t1Us: hostUs(81234567890),
      t2Us: boxUs(1237000120),
      t3Us: boxUs(1237004480),
    },
  ],
];

export const hostExamples: readonly (readonly [string, HostMessage])[] = [
  [":1I,?*D996", { type: "identify", box: "?" }],
  [":1A,S1,0012,144*5F03", { type: "acknowledge", box: "S1", boot: 0x12, seq: 144 }],
  [":1N,S1,0012,143*EEB6", { type: "resend", box: "S1", boot: 0x12, seq: 143 }],
  [
    ":1Q,S1,7,000081234567890,....................................*5D16",
    { type: "query", box: "S1", token: "7", t1Us: hostUs(81234567890) },
  ],
  [":1W,S1,P1,P1*5388", { type: "rename", box: "S1", newBox: "P1", newRole: "P1" }],
];

const letters = (text: string) => fc.constantFrom(...Array.from(text));
const id = fc
  .array(letters("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"), { minLength: 1, maxLength: 4 })
  .map((c) => c.join(""));
const tag = fc
  .array(letters("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"), { minLength: 1, maxLength: 8 })
  .map((c) => c.join(""));
const token = fc
  .array(letters("0123456789"), { minLength: 1, maxLength: 9 })
  .map((c) => c.join(""));
const bootNo = fc.integer({ min: 0, max: 0xffff });
const role = fc.constantFrom<BoxRole>("S", "F", "P1", "P5", "P9");
const kind = fc.constantFrom<EventKind>("B", "C", "T", "M", "X", "O");
const us = fc.integer({ min: 0, max: 999_999_999_999_999 });
const seq = fc.integer({ min: 1, max: 9_999_999 });
const held = fc
  .tuple(seq, fc.integer({ min: 0, max: 64 }))
  .map(([from, n]) => ({ oldestSeq: from, nextSeq: Math.min(from + n, 10_000_000) }));
const counter = fc.integer({ min: 0, max: 0xffff });
const percent = fc.integer({ min: 0, max: 100 });
const from = { box: id, boot: bootNo };

/** Any message that a box can send. */
export const anyBoxMessage: fc.Arbitrary<BoxMessage> = fc.oneof(
  fc
    .record({
      type: fc.constant("boot" as const),
      ...from,
      role,
      nowUs: us.map(boxUs),
      firmware: fc.constantFrom("1.0.0", "", "12.34.56"),
      resolutionNs: counter,
      held,
    })
    .map(({ held: h, ...rest }) => ({ ...rest, ...h })),
  fc.record({
    type: fc.constant("event" as const),
    ...from,
    seq,
    role,
    kind,
    atUs: us.map(boxUs),
    aux: counter,
    tag: fc.option(tag),
    batteryMv: counter,
    beamPercent: percent,
  }),
  fc
    .record({
      type: fc.constant("heartbeat" as const),
      ...from,
      nowUs: us.map(boxUs),
      batteryMv: counter,
      beamPercent: percent,
      glitches: counter,
      overwritten: counter,
      badInput: counter,
      held,
    })
    .map(({ held: h, ...rest }) => ({ ...rest, ...h })),
  fc.record({
    type: fc.constant("reply" as const),
    ...from,
    token,
    t1Us: us.map(hostUs),
    t2Us: us.map(boxUs),
    t3Us: us.map(boxUs),
  }),
  fc
    .record({ type: fc.constant("gone" as const), ...from, a: seq, b: seq })
    .map(({ a, b, ...rest }) => ({ ...rest, fromSeq: Math.min(a, b), toSeq: Math.max(a, b) })),
);

/** Any message that the host can send. */
export const anyHostMessage: fc.Arbitrary<HostMessage> = fc.oneof(
  fc.record({ type: fc.constant("identify" as const), box: fc.oneof(id, fc.constant("?")) }),
  fc.record({ type: fc.constant("query" as const), box: id, token, t1Us: us.map(hostUs) }),
  fc.record({ type: fc.constant("acknowledge" as const), ...from, seq }),
  fc.record({ type: fc.constant("resend" as const), ...from, seq }),
  fc.record({ type: fc.constant("rename" as const), box: id, newBox: id, newRole: role }),
  fc.record({
    type: fc.constant("set" as const),
    box: id,
    name: fc.constantFrom("block_us" as const, "rearm_us" as const),
    value: fc.integer({ min: 0, max: 9_999_999 }),
  }),
);
