// The line check against its published check value, and what it must notice.
import { describe, expect, it } from "vitest";
import { crc16, hex4 } from "../../src/protocol/crc.ts";
import { referenceEntry } from "../reference/entry.ts";

const FILE = "09_clock_crc_formats.json";

describe("crc16", () => {
  it("gives the check value of CRC-16/IBM-3740 in Cook's catalogue", () => {
    const { inputs, expected } = referenceEntry(FILE, "crc-crc-16-ibm-3740");
    const { ascii } = inputs;
    const { check } = expected;
    expect(`0x${hex4(crc16(String(ascii)))}`).toBe(check);
  });

  it("is the complement of CRC-16/GENIBUS, same polynomial and start (same catalogue)", () => {
    const { inputs, expected } = referenceEntry(FILE, "crc-crc-16-genibus");
    const { ascii } = inputs;
    const { check } = expected;
    expect(`0x${hex4(crc16(String(ascii)) ^ 0xffff)}`).toBe(check);
  });

  it("notices every one-bit and two-bit error of the example (Peterson and Brown 1961)", () => {
    const { inputs, expected } = referenceEntry(FILE, "crc-detects");
    const { ascii } = inputs;
    const text = String(ascii);
    const check = crc16(text);
    const damaged = (...bits: number[]) => {
      const codes = Array.from(text, (c) => c.charCodeAt(0));
      for (const bit of bits) codes[bit >> 3] = (codes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      return String.fromCharCode(...codes);
    };
    let one = 0;
    let two = 0;
    for (let i = 0; i < text.length * 8; i += 1) {
      if (crc16(damaged(i)) === check) one += 1;
      for (let j = i + 1; j < text.length * 8; j += 1) if (crc16(damaged(i, j)) === check) two += 1;
    }
    expect({
      single_bit_undetected: one,
      two_bit_undetected: two,
      crc_of_132456789: `0x${hex4(crc16("132456789"))}`,
    }).toEqual({
      ...expected,
      xor_of_123456789: undefined,
      xor_of_132456789: undefined,
    });
  });
});
