// However the bytes are cut on their way, the journal says the same; read again from disk it gives
// the same session and the same tables.
import fc from "fast-check";
import { expect, test } from "vitest";
import type { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { boxUs } from "../../src/domain/time.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { encodeBoxLine, lineBytes } from "../../src/protocol/encode.ts";
import type { BoxMessage, BoxRole } from "../../src/protocol/message.ts";
import { derivedTables } from "../../src/summary/tables.ts";
import { TestLaptop, TestPort } from "./a-day.ts";

const seeded = { seed: 20260509, numRuns: 60 };

/** A piece of what a cable may carry. */
const pieces: fc.Arbitrary<Uint8Array> = fc.oneof(
  { weight: 6, arbitrary: lines() },
  { weight: 1, arbitrary: fc.uint8Array({ maxLength: 30 }) },
  { weight: 1, arbitrary: fc.constantFrom("\n", ":", "\r\n", ":1E,S1,0012,1", "xx*\n").map(ascii) },
  { weight: 1, arbitrary: lines().map((line) => line.map((b, i) => (i === 9 ? b ^ 1 : b))) },
);

function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

type Box = "S1" | "P1" | "F1";

const roles: Readonly<Record<Box, BoxRole>> = { S1: "S", P1: "P1", F1: "F" };

/** @param atS - instant of the box's clock */
function event(box: Box, seq: number, atS: number, boot = 0x12): BoxMessage {
  return {
    ...{ type: "event", box, boot, seq, role: roles[box], kind: "B" },
    ...{ atUs: boxUs(atS * 1e6), aux: 0, tag: null, batteryMv: 3760, beamPercent: 98 },
  };
}

function hello(box: Box): BoxMessage {
  return {
    ...{ type: "boot", box, boot: 0x12, role: roles[box], nowUs: boxUs(1e6) },
    ...{ oldestSeq: 1, nextSeq: 3, firmware: "1.0.0", resolutionNs: 500 },
  };
}

function beat(box: Box, nextSeq: number): BoxMessage {
  return {
    ...{ type: "heartbeat", box, boot: 0x12, nowUs: boxUs(500e6), oldestSeq: 1, nextSeq },
    ...{ batteryMv: 3760, beamPercent: 98, glitches: 0, overwritten: 0, badInput: 0 },
  };
}

function lines(): fc.Arbitrary<Uint8Array> {
  const seq = fc.integer({ min: 1, max: 12 });
  const box = fc.constantFrom<Box>("S1", "P1", "F1");
  const message: fc.Arbitrary<BoxMessage> = fc.oneof(
    { weight: 5, arbitrary: fc.tuple(box, seq).map(([b, n]) => event(b, n, 40 * n)) },
    { weight: 1, arbitrary: fc.tuple(box, seq).map(([b, n]) => beat(b, n)) },
    { weight: 1, arbitrary: box.map((b) => hello(b)) },
    { weight: 1, arbitrary: seq.map((n) => event("S1", n, 40 * n, 0x13)) },
    { weight: 1, arbitrary: seq.map((n) => event("S1", n, 41 * n)) },
  );
  return message.map((m) => lineBytes(encodeBoxLine(m)));
}

/** Takes the bytes in, in pieces of these sizes. */
function recorded(bytes: Uint8Array, sizes: readonly number[]) {
  const laptop = new TestLaptop();
  const file = laptop.make();
  const port = new TestPort(laptop);
  const recorder = laptop.recorder(file, [port]);
  recorder.start();
  let from = 0;
  for (let i = 0; from < bytes.length; i += 1) {
    const to = from + (sizes[i % sizes.length] ?? 1);
    port.bytes(bytes.slice(from, to));
    from = to;
  }
  return { laptop, file, recorder };
}

/** What the journal says, without stamps. */
function contents(file: SessionFile): readonly Pick<Entry, "type" | "body">[] {
  return file.store.readSince(0).map(({ type, body }) => ({ type, body }));
}

function rowsOf(file: SessionFile): unknown {
  return derivedTables(file.summary()).map((table) => file.store.readTable(table));
}

test("any cut of the bytes gives the same journal, any replay of it the same session", () => {
  fc.assert(
    fc.property(
      fc.array(pieces, { minLength: 1, maxLength: 40 }),
      fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 8 }),
      (parts, sizes) => {
        const bytes = Buffer.concat(parts);
        const whole = recorded(bytes, [Math.max(1, bytes.length)]);
        const cut = recorded(bytes, sizes);
        expect(contents(cut.file)).toEqual(contents(whole.file));
        expect(cut.recorder.duplicates).toBe(whole.recorder.duplicates);

        const again = cut.laptop.open(cut.file.store.file);
        expect(again.session()).toEqual(cut.file.session());
        expect(rowsOf(again)).toEqual(rowsOf(cut.file));
        expect(verifyFile(again.store, again.summary())).toEqual([]);
      },
    ),
    seeded,
  );
}, 120_000);
