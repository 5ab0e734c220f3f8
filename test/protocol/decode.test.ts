// Decoding: any bytes, any cuts, nothing accepted that was not sent, nothing lost without a sign.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { hostUs } from "../../src/domain/time.ts";
import { crc16, hex4 } from "../../src/protocol/crc.ts";
import { type Decoded, decode, decodeHost, decoderStart } from "../../src/protocol/decode.ts";
import { encodeBoxLine } from "../../src/protocol/encode.ts";
import { describeFault } from "../../src/protocol/fault.ts";
import { parseLine } from "../../src/protocol/parse-box-line.ts";
import { anyBoxMessage, boxExamples, hostExamples } from "./examples.ts";

const ascii = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const withCheck = (payload: string) => `:${payload}*${hex4(crc16(payload))}`;
const [good] = boxExamples[1] ?? [""];

function decodeAll(chunks: readonly Uint8Array[]) {
  let state = decoderStart;
  const messages: Decoded["messages"][number][] = [];
  const faults: Decoded["faults"][number][] = [];
  const ignored: string[] = [];
  for (const chunk of chunks) {
    const got = decode(state, chunk);
    expect(got.state.kept.length).toBeLessThanOrEqual(79);
    messages.push(...got.messages);
    faults.push(...got.faults);
    ignored.push(...got.ignored);
    state = got.state;
  }
  return { messages, faults, ignored, state };
}

function cutAt(bytes: Uint8Array, sizes: readonly number[]): Uint8Array[] {
  const chunks: Uint8Array[] = [];
  let from = 0;
  for (let i = 0; from < bytes.length; i += 1) {
    const size = sizes[i % sizes.length] ?? 1;
    chunks.push(bytes.slice(from, from + size));
    from += size;
  }
  return chunks;
}

/** Lines, damaged lines, noise and stray ends, glued together. */
const stream = fc
  .array(
    fc.oneof(
      anyBoxMessage.map((m) => ascii(`${encodeBoxLine(m)}\n`)),
      anyBoxMessage.map((m) => ascii(encodeBoxLine(m))),
      anyBoxMessage.map((m) => ascii(`${encodeBoxLine(m)}\r\n`)),
      fc
        .tuple(anyBoxMessage, fc.nat(79), fc.nat(255))
        .map(([m, at, byte]) =>
          ascii(`${encodeBoxLine(m)}\n`).map((b, i) => (i === at ? byte : b)),
        ),
      fc.uint8Array({ maxLength: 120 }),
      fc.constantFrom(ascii("\n"), ascii(":"), ascii("\r"), ascii("*0000\n")),
    ),
    { maxLength: 12 },
  )
  .map((parts) => Uint8Array.from(parts.flatMap((part) => [...part])));

describe("decode", () => {
  it("gives the same messages and faults however the bytes are cut", () => {
    fc.assert(
      fc.property(
        stream,
        fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 8 }),
        (bytes, sizes) => {
          const whole = decodeAll([bytes]);
          expect(decodeAll(cutAt(bytes, sizes))).toEqual(whole);
          expect(decodeAll(cutAt(bytes, [1]))).toEqual(whole);
        },
      ),
      { seed: 21, numRuns: 1000 },
    );
  });

  it("accounts for every byte but line feeds: in a message, a fault, ignored, or still open", () => {
    fc.assert(
      fc.property(stream, (bytes) => {
        const got = decodeAll([bytes]);
        const counted =
          got.messages.reduce((n, m) => n + m.raw.length, 0) +
          got.faults.reduce((n, f) => n + f.bytes, 0) +
          got.ignored.reduce((n, line) => n + line.length, 0) +
          (got.state.inside === "noise" ? got.state.noiseBytes : got.state.kept.length);
        expect(counted).toBe(bytes.filter((b) => b !== 0x0a && b !== 0x0d).length);
      }),
      { seed: 22, numRuns: 1000 },
    );
  });

  it("accepts nothing from random bytes, and never throws", () => {
    let accepted = 0;
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1000, maxLength: 4000 }), (bytes) => {
        accepted += decodeAll([bytes]).messages.length;
      }),
      { seed: 23, numRuns: 300 },
    );
    expect(accepted).toBe(0);
  });

  it("accepts none of the lines in which a bit was flipped", () => {
    for (const [line] of boxExamples) {
      for (let bit = 8; bit < line.length * 8; bit += 1) {
        const bytes = ascii(`${line}\n`);
        bytes[bit >> 3] = (bytes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        expect(decodeAll([bytes]).messages).toEqual([]);
      }
    }
  });

  it("loses one line of two when a line feed is lost", () => {
    const got = decodeAll([ascii(`${good}${good}\n`)]);
    expect(got.messages.map((m) => m.raw)).toEqual([good]);
    expect(got.faults).toMatchObject([{ reason: "broken-off", raw: good }]);
  });

  it("begins in the middle of a line without harm", () => {
    const got = decodeAll([ascii(`${good.slice(10)}\n${good}\n`)]);
    expect(got.messages.length).toBe(1);
    expect(got.faults).toMatchObject([{ reason: "noise", bytes: good.length - 10 }]);
  });

  it("takes 78 bytes after the colon and drops the line at the 79th", () => {
    const payload = `1E,S1,0012,143,S,B,1234567890,0,-,3760,98,${"x".repeat(31)}`;
    expect(payload.length).toBe(73);
    const fits = withCheck(payload);
    expect(decodeAll([ascii(`${fits}\n`)]).messages.length).toBe(1);
    const long = withCheck(`${payload}x`);
    const got = decodeAll([ascii(`${long}\n${good}\n`)]);
    expect(got.messages.length).toBe(1);
    expect(got.faults).toMatchObject([{ reason: "too-long", bytes: 80 }]);
  });

  it("drops a line at a byte that is no text, and shows it escaped", () => {
    const got = decodeAll([ascii(`:1I,\x1b[2J\xff\n${good}\n`)]);
    expect(got.messages.length).toBe(1);
    expect(got.faults).toEqual([
      { reason: "bad-byte", raw: ":1I,\\x1b[2J\\xff", bytes: 9, box: null },
    ]);
  });

  it("keeps and reports noise in bounded pieces when no line ever ends", () => {
    const got = decodeAll(cutAt(new Uint8Array(100_000).fill(0x55), [777]));
    expect(got.faults.reduce((n, f) => n + f.bytes, got.state.noiseBytes)).toBe(100_000);
    expect(got.faults.length).toBe(97);
    for (const fault of got.faults) expect(fault.raw.length).toBeLessThanOrEqual(82);
  });

  it("ignores a carriage return and empty lines", () => {
    const got = decodeAll([ascii(`\r\n\n${good}\r\n`)]);
    expect(got.messages.length).toBe(1);
    expect(got.faults).toEqual([]);
  });

  it("gives a message the stamp of the chunk that its colon came in", () => {
    const bytes = ascii(`${good}\n${good}\n`);
    const first = decode(decoderStart, bytes.slice(0, 60), hostUs(1000));
    const second = decode(first.state, bytes.slice(60), hostUs(2000));
    expect([...first.messages, ...second.messages].map((m) => m.at)).toEqual([1000, 1000]);
  });

  it("sets lines of the host and unknown types aside without a fault", () => {
    const lines = [...hostExamples.map(([line]) => line), withCheck("1Z,S1,0012,what,ever")];
    const got = decodeAll([ascii(`${lines.join("\n")}\n`)]);
    expect(got.ignored).toEqual(lines);
    expect(got.faults).toEqual([]);
  });

  it("does not take a type for known because objects have a property of that name", () => {
    for (const name of ["constructor", "toString", "__proto__"]) {
      expect(parseLine(withCheck(`1${name},S1,0012`))).toEqual({
        ok: false,
        error: "unknown-type",
      });
    }
  });

  it("ignores extra trailing fields", () => {
    expect(parseLine(withCheck("1G,S1,0012,143,144,later,9"))).toEqual(
      parseLine(withCheck("1G,S1,0012,143,144")),
    );
  });

  it("names the box and the version that it does not know", () => {
    const [fault] = decodeAll([ascii(`${withCheck("2E,S1,new,things")}\n`)]).faults;
    expect(fault?.reason).toBe("unknown-version");
    expect(fault && describeFault(fault)).toBe(
      "box S1 speaks gateline 2, this program knows 1: update it",
    );
  });

  it.each([
    ["1B,S1,0012,S,1235500000,146,145,1.0.0,500", "oldest above next"],
    ["1B,S1,0012,Q,1235500000,143,145,1.0.0,500", "no such role"],
    ["1B,S1,0012,S,1235500000,143,145,1.0.0.1.2,500", "firmware too long"],
    ["1B,S1,0012,S,1235500000,143", "fields missing"],
    ["1E,S1,0012,0,S,B,1,0,-,3760,98", "sequence zero"],
    ["1E,S1,0012,1,S,Q,1,0,-,3760,98", "no such kind"],
    ["1E,S1,0012,1,S,B,1234567890123456,0,-,3760,98", "16 digits"],
    ["1E,S1,0012,1,S,B,-5,0,-,3760,98", "negative"],
    ["1E,S1,0012,1,S,B,1e3,0,-,3760,98", "not decimal"],
    ["1E,S1,0012,1,S,B,1,0,a1,3760,98", "lower-case tag"],
    ["1E,S1,0012,1,S,B,1,0", "fields missing"],
    ["1E,S1,012,1,S,B,1,0,-,3760,98", "three-digit boot"],
    ["1E,S1,001a,1,S,B,1,0,-,3760,98", "lower-case boot"],
    ["1E,SLOPE,0012,1,S,B,1,0,-,3760,98", "long box id"],
    ["1H,S1,0012,1236000000,145,144,3760,98,2,0,0", "oldest above next"],
    ["1H,S1,0012,1236000000,145,145,3760,98,2,0", "fields missing"],
    ["1R,S1,0012,,000081234567890,000001237000120,000001237004480", "no token"],
    ["1R,S1,0012,7,000081234567890,000001237000120", "fields missing"],
    ["1G,S1,0012,144,143", "from above to"],
    ["1G,S1,0012,0,143", "from zero"],
  ])("refuses %s: %s", (payload) => {
    const got = decodeAll([ascii(`${withCheck(payload)}\n`)]);
    expect(got.messages).toEqual([]);
    expect(got.faults).toMatchObject([{ reason: "bad-fields", raw: withCheck(payload) }]);
  });

  it.each([
    [":*FFFF", "no-check"],
    [":1I,?", "no-check"],
    [":1I,?*d996", "no-check"],
    [":1I,?*D997", "bad-crc"],
    ["1I,?*D996", "no-check"],
    ["", "no-check"],
  ])("parseLine(%j) says %s", (raw, error) => {
    expect(parseLine(raw)).toEqual({ ok: false, error });
  });
});

describe("decodeHost", () => {
  it("reads what the host says and sets a box's lines aside", () => {
    const lines = hostExamples.map(([line]) => line);
    const got = decodeHost(decoderStart, ascii(`${[...lines, good].join("\n")}\n`));
    expect(got.messages.map((m) => m.message)).toEqual(hostExamples.map(([, m]) => m));
    expect(got.ignored).toEqual([good]);
  });

  it.each([
    "1I,toolong",
    "1Q,?,7,000081234567890,.",
    "1Q,S1,x,000081234567890,.",
    "1A,S1,0012",
    "1N,S1,12,1",
    "1W,S1,P1,P0",
    "1S,S1,other_us,5",
    "1S,S1,block_us,-5",
  ])("refuses %s", (payload) => {
    const got = decodeHost(decoderStart, ascii(`${withCheck(payload)}\n`));
    expect(got.faults).toMatchObject([{ reason: "bad-fields" }]);
  });
});

describe("describeFault", () => {
  it("has a sentence for every reason", () => {
    const reasons = [
      "noise",
      "broken-off",
      "bad-byte",
      "too-long",
      "no-check",
      "bad-crc",
      "unknown-version",
      "unknown-type",
      "bad-fields",
    ] as const;
    const said = reasons.map((reason) => describeFault({ raw: ":2", reason, bytes: 2, box: null }));
    expect(new Set(said).size).toBe(reasons.length);
  });
});
