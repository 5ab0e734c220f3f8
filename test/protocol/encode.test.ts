// Encoding: the described examples byte for byte, and reading back whatever was written.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import { encodeBoxLine, encodeHostLine, lineBytes } from "../../src/protocol/encode.ts";
import { parseLine } from "../../src/protocol/parse-box-line.ts";
import { parseHostLine } from "../../src/protocol/parse-host-line.ts";
import { anyBoxMessage, anyHostMessage, boxExamples, hostExamples } from "./examples.ts";

describe("the described example lines", () => {
  it.each(boxExamples)("box writes %s", (line, message) => {
    expect(encodeBoxLine(message)).toBe(line);
    expect(parseLine(line)).toEqual({ ok: true, value: message });
  });

  it.each(hostExamples)("host writes %s", (line, message) => {
    expect(encodeHostLine(message)).toBe(line);
    expect(parseHostLine(line)).toEqual({ ok: true, value: message });
  });
});

describe("encode then read", () => {
  it("is the identity for every message of a box, within 80 bytes", () => {
    fc.assert(
      fc.property(anyBoxMessage, (message) => {
        const line = encodeBoxLine(message);
        expect(lineBytes(line).length).toBeLessThanOrEqual(80);
        expect(parseLine(line)).toEqual({ ok: true, value: message });
        expect(parseHostLine(line)).toEqual({ ok: false, error: "unknown-type" });
      }),
      { seed: 11, numRuns: 2000 },
    );
  });

  it("is the identity for every message of the host, within 80 bytes", () => {
    fc.assert(
      fc.property(anyHostMessage, (message) => {
        const line = encodeHostLine(message);
        expect(lineBytes(line).length).toBeLessThanOrEqual(80);
        expect(parseHostLine(line)).toEqual({ ok: true, value: message });
        expect(parseLine(line)).toEqual({ ok: false, error: "unknown-type" });
      }),
      { seed: 12, numRuns: 2000 },
    );
  });

  it("makes query and reply equally long for ids and tokens of any length", () => {
    const q = encodeHostLine({ type: "query", box: "S1", token: "123", t1Us: hostUs(5) });
    const r = encodeBoxLine({
      type: "reply",
      box: "S1",
      boot: 1,
      token: "123",
      t1Us: hostUs(5),
      t2Us: boxUs(6),
      t3Us: boxUs(7),
    });
    expect(q.length).toBe(r.length);
  });
});

describe("what does not fit a line", () => {
  it.each([
    [{ type: "identify", box: "LONGER" } as const],
    [{ type: "identify", box: "a" } as const],
    [{ type: "acknowledge", box: "S1", boot: 0x10000, seq: 1 } as const],
    [{ type: "acknowledge", box: "S1", boot: 1, seq: 1.5 } as const],
    [{ type: "query", box: "?", token: "1", t1Us: hostUs(0) } as const],
    [{ type: "query", box: "S1", token: "x", t1Us: hostUs(0) } as const],
  ])("is refused: %o", (message) => {
    expect(() => encodeHostLine(message)).toThrow(RangeError);
  });
});
