// Lines of receivers that do not speak our protocol: their times, their ends, their clock.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ForeignLine } from "../../src/domain/foreign-line.ts";
import { hostUs } from "../../src/domain/time.ts";
import { cutForeign, foreignCutStart, shownForeign } from "../../src/protocol/foreign-cut.ts";
import {
  type ForeignGroups,
  foreignExchanges,
  foreignRoundTripS,
  foreignStart,
  readForeign,
} from "../../src/protocol/foreign-reader.ts";
import { foreignTimeUs } from "../../src/protocol/foreign-time.ts";

describe("the time in a line", () => {
  it.each([
    ["12.5", "s", 12_500_000],
    ["12,5", "s", 12_500_000], // a comma for the decimal point
    ["0", "s", 0],
    ["1699999999.123456", "s", 1_699_999_999_123_456],
    ["12345", "ms", 12_345_000],
    ["12345.6", "ms", 12_345_600],
    [" 42 ", "us", 42],
    ["23:59:59.999", "h:m:s", 86_399_999_000],
    ["1:02:03", "h:m:s", 3_723_000_000],
    ["2:03.5", "h:m:s", 123_500_000],
    ["75:03,5", "h:m:s", 4_503_500_000], // what stands first may be over 59
    ["3.25", "h:m:s", 3_250_000],
    ["27:00:00", "h:m:s", 97_200_000_000],
  ] as const)("%s in %s", (text, unit, us) => {
    expect(foreignTimeUs(text, unit)).toBe(us);
  });

  it.each([
    ["", "s"],
    ["-1", "s"],
    ["1e5", "s"],
    ["0x10", "us"],
    ["1.2.3", "s"],
    ["99999999999999999", "s"],
    ["1:60:00", "h:m:s"],
    ["1:00:60", "h:m:s"],
    ["1:60", "h:m:s"],
    ["::1", "h:m:s"],
    ["1:2:3:4", "h:m:s"],
  ] as const)("none: %s in %s", (text, unit) => {
    expect(foreignTimeUs(text, unit)).toBeNull();
  });
});

describe("cutting lines", () => {
  it("is the same however the bytes are cut, and never holds more than 200", () => {
    const bytes = fc.array(fc.constantFrom(0x0a, 0x0d, 0x41, 0x00, 0xff), { maxLength: 600 });
    fc.assert(
      fc.property(bytes, fc.array(fc.nat(600), { maxLength: 8 }), (all, cuts) => {
        const whole = cutForeign(foreignCutStart, Uint8Array.from(all));
        let state = foreignCutStart;
        const lines = [];
        const ends = [...cuts, all.length].sort((a, b) => a - b);
        let from = 0;
        for (const end of ends) {
          const cut = cutForeign(state, Uint8Array.from(all.slice(from, end)));
          state = cut.state;
          lines.push(...cut.lines);
          from = Math.max(from, end);
          expect(state.text.length).toBeLessThanOrEqual(200);
        }
        expect(lines).toEqual(whole.lines);
        expect(state).toEqual(whole.state);
      }),
    );
  });

  it("ends a line at a feed, a return or both; 201 bytes are too many", () => {
    const text = `one\rtwo\r\n\n\x02three\n${"x".repeat(200)}\n${"x".repeat(201)}\nrest`;
    const { lines, state } = cutForeign(foreignCutStart, Buffer.from(text, "latin1"));
    expect(lines.map(({ text: t, isTooLong }) => [t.length, isTooLong])).toEqual([
      [3, false],
      [3, false],
      [6, false],
      [200, false],
      [200, true],
    ]);
    expect(state.text).toBe("rest");
  });

  it("shows what cannot be seen", () => {
    expect(shownForeign("\x02 A  7\\\x1b[2J\xe9 ")).toBe("\\x02 A\\x20 7\\x5c\\x1b[2J\\xe9\\x20");
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        const latin = Buffer.from(text).toString("latin1");
        expect(shownForeign(latin)).toMatch(/^[ -~]*$/);
      }),
    );
  });
});

const line: ForeignLine = {
  name: "timer",
  pattern: "",
  unit: "s",
  clock: "device",
  boxes: { "1": "S1", "2": "F1" },
  latencyS: 0.1,
  resolutionS: 0.001,
  baud: 9600,
};

/** Reads lines one after the other: seconds of arrival, and what the groups say. */
function readAll(
  of: ForeignLine,
  lines: readonly (readonly [number, ForeignGroups])[],
  hosts: readonly string[] = [],
) {
  let state = foreignStart(4);
  return lines.map(([atS, groups], i) => {
    const arrival = { at: hostUs(atS * 1e6), host: hosts[i] ?? "laptop" };
    const next = readForeign(of, state, groups, arrival);
    state = next.state;
    if (!next.read.ok) return next.read.error;
    const { box, boot, seq, atUs, tag, isTagged } = next.read.value;
    return { box, boot, seq, s: atUs / 1e6, tag, isTagged };
  });
}

const at = (results: ReturnType<typeof readAll>) =>
  results.map((r) =>
    typeof r === "string" ? r : `${r.box ?? "-"} ${String(r.boot)}.${String(r.seq)} ${String(r.s)}`,
  );

describe("a receiver's clock", () => {
  it("goes on over both gates, numbered by box", () => {
    const lines = [
      [100, { gate: "1", time: "5000" }],
      [160.05, { gate: "2", time: "5060.25" }],
      [160.06, { gate: "1", time: "5060.22" }], // printed later, passed before
      [4000, { gate: "3", time: "8900" }],
      [4001, { gate: "2", time: "8901" }],
    ] as const;
    expect(at(readAll(line, lines))).toEqual([
      "S1 4.1 5000",
      "F1 4.1 5060.25",
      "S1 4.2 5060.22",
      "- 4.1 8900",
      "F1 4.2 8901",
    ]);
  });

  it("that goes back, is set on or counts in another unit begins a new boot", () => {
    const lines = [
      [100, { gate: "1", time: "5000" }],
      [160, { gate: "2", time: "3.5" }], // switched off and on
      [220, { gate: "1", time: "63.5" }],
      [280, { gate: "1", time: "3723.5" }], // set on by an hour
      [340, { gate: "1", time: "63723.5" }], // milliseconds called seconds
      [340.2, { gate: "1", time: "63724.6" }], // the laptop stood still for 0.9 s: no jump
    ] as const;
    expect(at(readAll(line, lines))).toEqual([
      "S1 4.1 5000",
      "F1 5.1 3.5",
      "S1 5.1 63.5",
      "S1 6.1 3723.5",
      "S1 7.1 63723.5",
      "S1 7.2 63724.6",
    ]);
  });

  it("that shows the time of day goes on counting at midnight, also after a long break", () => {
    const clock = { ...line, unit: "h:m:s" } as const;
    const lines = [
      [100, { gate: "1", time: "23:59:30.5" }],
      [160, { gate: "2", time: "00:00:30.5" }],
      [160.1, { gate: "1", time: "23:59:59.9" }], // half a minute late: no line of that clock
      [40_000, { gate: "1", time: "11:04:30" }],
      [86_460, { gate: "1", time: "00:00:10" }],
    ] as const;
    const read = readAll(clock, [lines[0], lines[1], lines[3], lines[4]]);
    expect(at(read)).toEqual([
      "S1 4.1 86370.5",
      "F1 4.1 86430.5",
      "S1 4.2 126270",
      "S1 4.3 172810",
    ]);
    expect(at(readAll(clock, lines.slice(0, 3)))[2]).toBe("S1 5.1 86399.9");
  });

  it("two lines about midnight in the wrong order stay a fraction of a second apart", () => {
    const clock = { ...line, unit: "h:m:s" } as const;
    const read = readAll(clock, [
      [100, { gate: "2", time: "23:00:00" }],
      [3700.1, { gate: "2", time: "00:00:00.05" }],
      [3700.2, { gate: "1", time: "23:59:59.95" }],
    ]);
    expect(at(read)).toEqual(["F1 4.1 82800", "F1 4.2 86400.05", "S1 4.1 86399.95"]);
  });

  it("goes on while the laptop sleeps; without a clock of its own a sleep begins a new boot", () => {
    const lines = [
      [100, { gate: "1", time: "5000" }],
      [101, { gate: "2", time: "9000" }],
    ] as const;
    const hosts = ["laptop", "laptop+3999"];
    expect(at(readAll(line, lines, hosts))).toEqual(["S1 4.1 5000", "F1 4.1 9000"]);
    const arrival = { ...line, clock: "arrival" } as const;
    expect(at(readAll(arrival, lines, hosts))).toEqual(["S1 4.1 100", "F1 5.1 101"]);
  });

  it("of any size fits fifteen digits, seconds since 1970 too", () => {
    const read = readAll(line, [
      [1, { gate: "1", time: "1778313600.25" }],
      [61, { gate: "2", time: "1778313660.75" }],
    ]);
    expect(at(read)).toEqual(["S1 4.1 78313600.25", "F1 4.1 78313660.75"]);
  });

  it("takes any lines: every passing has a number of its own and a time that fits", () => {
    const said = fc.record({
      gate: fc.constantFrom("1", "2", "x"),
      time: fc.oneof(fc.nat(100_000).map(String), fc.string(), fc.constant("9007199254")),
    });
    const gap = fc.double({ min: 0, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(gap, said), { maxLength: 40 }), (parts) => {
        let now = 0;
        const read = readAll(
          line,
          parts.map(([s, groups]) => {
            now += s;
            return [now, groups] as const;
          }),
        ).flatMap((r) => (typeof r === "string" || r.box === null ? [] : [{ ...r, box: r.box }]));
        const keys = read.map((r) => `${r.box} ${String(r.boot)} ${String(r.seq)}`);
        expect(new Set(keys).size).toBe(keys.length);
        for (const { s } of read) {
          expect(s).toBeGreaterThanOrEqual(0);
          expect(s * 1e6).toBeLessThan(1e15);
        }
      }),
    );
  });

  it("says what is no time, safely", () => {
    expect(readAll(line, [[1, { gate: "1", time: "\x1b[2J" }]])).toEqual([
      '"\\x1b[2J" is no time in s (lines timer)',
    ]);
  });
});

describe("a tag", () => {
  it("becomes 1 to 8 of [0-9A-Z]; a line without one is still the reader's", () => {
    const tags = ["a1", "00-12 b", "123456789ABC", "", undefined, "--"];
    const read = readAll(
      line,
      tags.map((tag, i) => [i, { gate: "1", time: String(i), tag }] as const),
    );
    expect(read.map((r) => (typeof r === "string" ? r : r.tag))).toEqual([
      "A1",
      "0012B",
      "56789ABC",
      null,
      null,
      null,
    ]);
    expect(read.every((r) => typeof r !== "string" && r.isTagged)).toBe(true);
  });
});

describe("what a line says of the clock", () => {
  const read = (of: ForeignLine, atS: readonly number[]) => {
    let state = foreignStart(1);
    return atS.map((s) => {
      const arrival = { at: hostUs(s * 1e6), host: "laptop" };
      const next = readForeign(of, state, { gate: "1", time: String(s + 7) }, arrival);
      state = next.state;
      return next.read.ok ? foreignExchanges(of, next.read.value, arrival, "p") : [];
    });
  };

  it("is told for every box of the receiver, at most each two minutes", () => {
    const counts = read(line, [10, 20, 129, 130, 200, 249, 250]).map((rows) => rows.length);
    expect(counts).toEqual([2, 0, 0, 2, 0, 0, 2]);
    expect(read(line, [10])[0]?.map(({ box }) => box)).toEqual(["S1", "F1"]);
  });

  it("puts the passing between the latency before the arrival and the arrival", () => {
    for (const resolutionS of [0.001, 0.1, 1]) {
      const of = { ...line, resolutionS };
      const [one] = read(of, [10])[0] ?? [];
      if (one === undefined) throw new TypeError("no exchange");
      const { t1Us, t2Us, t3Us, t4Us } = one;
      expect([t1Us, t4Us]).toEqual([9.9e6, 10e6]);
      // RFC 5905, section 8: offset and round trip.
      const offsetUs = (t2Us - t1Us + (t3Us - t4Us)) / 2;
      expect(offsetUs).toBe(7e6 + 0.05e6);
      const roundTripS = (t4Us - t1Us - (t3Us - t2Us)) / 1e6;
      expect(roundTripS).toBeCloseTo(foreignRoundTripS(of), 5);
      // By hand: six such bounds, averaged as if independent, leave (latency + step) / sqrt(12).
      const standard = roundTripS / 2 / Math.sqrt(3) / Math.sqrt(6);
      expect(standard).toBeCloseTo((0.1 + resolutionS) / Math.sqrt(12), 5);
    }
  });
});
