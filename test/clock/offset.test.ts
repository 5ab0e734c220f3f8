// Offset and round trip against the worked numbers for RFC 5905, section 8.
import { describe, expect, it } from "vitest";
import { offsetUs, roundTripUs } from "../../src/clock/offset.ts";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import { referenceEntry } from "../reference/entry.ts";

const FILE = "09_clock_crc_formats.json";

function exchange(t1S: number, t2S: number, t3S: number, t4S: number) {
  const us = (s: number) => Math.round(s * 1e6);
  return {
    box: "S1",
    boot: 1,
    port: "p",
    t1Us: hostUs(us(t1S)),
    t2Us: boxUs(us(t2S)),
    t3Us: boxUs(us(t3S)),
    t4Us: hostUs(us(t4S)),
  };
}

describe("RFC 5905, section 8", () => {
  const { inputs, expected } = referenceEntry(FILE, "ntp-offset-delay");
  const { T1_T2_T3_T4: rows } = inputs as {
    T1_T2_T3_T4: readonly (readonly [number, number, number, number])[];
  };
  const { offset, delay } = expected as { offset: readonly number[]; delay: readonly number[] };

  it.each(rows.map((row, i) => [row, offset[i], delay[i]] as const))(
    "%j gives offset %d s and delay %d s",
    (row, theta, delta) => {
      expect(offsetUs(exchange(...row)) / 1e6).toBeCloseTo(theta ?? Number.NaN, 9);
      expect(roundTripUs(exchange(...row)) / 1e6).toBeCloseTo(delta ?? Number.NaN, 9);
    },
  );

  it("is wrong by half the difference of the two ways, within half the round trip", () => {
    const entry = referenceEntry(FILE, "ntp-asymmetry");
    const { outbound, processing, return: back } = entry.inputs as Record<string, number>;
    const { offset: theta, delay: delta } = entry.expected as Record<string, number>;
    const out = outbound ?? Number.NaN;
    const inside = processing ?? Number.NaN;
    const e = exchange(0, out, out + inside, out + inside + (back ?? Number.NaN));
    expect(offsetUs(e) / 1e6).toBeCloseTo(theta ?? Number.NaN, 9);
    expect(roundTripUs(e) / 1e6).toBeCloseTo(delta ?? Number.NaN, 9);
    expect(Math.abs(offsetUs(e))).toBeLessThanOrEqual(roundTripUs(e) / 2);
  });
});
