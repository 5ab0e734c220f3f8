// However the bytes are cut on their way, the journal says the same; read again from disk it gives
// the same session and the same tables.
import fc from "fast-check";
import { expect, test } from "vitest";
import type { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile } from "../../src/app/verify.ts";
import type { BoxMessage } from "../../src/protocol/message.ts";
import { derivedTables } from "../../src/summary/tables.ts";
import { beat, bytesOf, Day, event, hello, newSessionFile } from "./a-recorded-day.ts";

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

function lines(): fc.Arbitrary<Uint8Array> {
  const seq = fc.integer({ min: 1, max: 12 });
  const box = fc.constantFrom("S1", "P1", "F1");
  const message: fc.Arbitrary<BoxMessage> = fc.oneof(
    { weight: 5, arbitrary: fc.tuple(box, seq).map(([b, n]) => event(n, { box: b, atS: 40 * n })) },
    { weight: 1, arbitrary: fc.tuple(box, seq).map(([b, n]) => beat(b, 500, 1, n)) },
    { weight: 1, arbitrary: box.map((b) => hello(b, 1, 3)) },
    { weight: 1, arbitrary: seq.map((n) => event(n, { atS: 40 * n, boot: 0x13 })) },
    { weight: 1, arbitrary: seq.map((n) => event(n, { atS: 41 * n })) },
  );
  return message.map((m) => bytesOf(m));
}

/** Takes the bytes in, in pieces of these sizes. */
function recorded(bytes: Uint8Array, sizes: readonly number[]): Day {
  const day = new Day(newSessionFile());
  day.recorder.start();
  let from = 0;
  for (let i = 0; from < bytes.length; i += 1) {
    const to = from + (sizes[i % sizes.length] ?? 1);
    day.wire.bytes(bytes.slice(from, to), day.time.now());
    from = to;
  }
  return day;
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
        expect(cut.contents()).toEqual(whole.contents());
        expect(cut.recorder.duplicates).toBe(whole.recorder.duplicates);

        const again = new Day(cut.path);
        expect(again.file.session()).toEqual(cut.file.session());
        expect(rowsOf(again.file)).toEqual(rowsOf(cut.file));
        expect(verifyFile(again.store, again.file.summary())).toEqual([]);
      },
    ),
    seeded,
  );
}, 120_000);
