// Instants of RFC 3339 against its published examples and against JavaScript's own reading.
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { rfc3339, sessionUs } from "../../src/domain/time.ts";
import { parseRfc3339 } from "../../src/sheet/rfc3339.ts";
import { exampleOf } from "./rfc-examples.ts";

describe("parseRfc3339", () => {
  // RFC 3339, section 5.8 and appendix D; instants confirmed with R 4.2.2 (data/rfc-examples.json).
  test("gives the instants of the published examples", () => {
    const { inputs, expected } = exampleOf("rfc3339-examples");
    expect(inputs.text).toHaveLength(5);
    expect(inputs.text?.map(parseRfc3339)).toEqual(
      expected.posix_seconds?.map((s) => Math.round(s * 1_000_000)),
    );
  });

  // RFC 3339, section 5.6 (ABNF).
  test("refuses what is not RFC 3339", () => {
    const { inputs } = exampleOf("rfc3339-invalid");
    expect(inputs.text).toHaveLength(8);
    expect(inputs.text?.map(parseRfc3339)).toEqual(inputs.text?.map(() => null));
  });

  test("a second 60 anywhere but at the end of a UTC day is refused", () => {
    expect(parseRfc3339("2016-12-31T23:58:60Z")).toBeNull();
    expect(parseRfc3339("2016-12-31T23:59:60+01:00")).toBeNull();
    expect(parseRfc3339("2017-01-01T00:59:60+01:00")).toBe(Date.UTC(2017, 0, 1) * 1000);
    expect(parseRfc3339("2016-12-31T23:59:61Z")).toBeNull();
  });

  test("small letters and an unknown offset are allowed, blanks are not", () => {
    const us = Date.UTC(2026, 4, 9, 10, 31) * 1000;
    expect(parseRfc3339("2026-05-09t10:31:00z")).toBe(us);
    expect(parseRfc3339("2026-05-09T10:31:00-00:00")).toBe(us);
    expect(parseRfc3339("2026-05-09 10:31:00Z")).toBeNull();
    expect(parseRfc3339("2026-05-09T10:31:00Z ")).toBeNull();
    expect(parseRfc3339("0099-01-01T00:00:00Z")).toBe(Date.parse("0099-01-01T00:00:00Z") * 1000);
  });

  test("fractions round to a microsecond", () => {
    const fraction = (text: string) =>
      (parseRfc3339(`2026-05-09T10:31:00.${text}Z`) ?? 0) - Date.UTC(2026, 4, 9, 10, 31) * 1000;
    expect(fraction("1")).toBe(100_000);
    expect(fraction("0000014999")).toBe(1);
    expect(fraction("0000015")).toBe(2);
    expect(fraction("9999999")).toBe(1_000_000);
  });

  test("reads back what is written of session time, to the millisecond", () => {
    fc.assert(
      fc.property(fc.integer({ min: -62e12, max: 253e12 }), (ms) => {
        expect(parseRfc3339(rfc3339(sessionUs(ms * 1000)))).toBe(ms * 1000);
      }),
      { seed: 3339 },
    );
  });

  test("agrees with the engine's own reading wherever both take the text", () => {
    const two = (min: number, max: number) =>
      fc.integer({ min, max }).map((n) => String(n).padStart(2, "0"));
    const parts = fc.tuple(
      fc.integer({ min: 1000, max: 9999 }),
      two(0, 13),
      two(0, 32),
      two(0, 23),
      two(0, 60),
      two(0, 59),
      fc.constantFrom("Z", "+00:00", "-08:00", "+05:45", "+23:59"),
    );
    fc.assert(
      fc.property(parts, ([y, mo, d, h, mi, s, z]) => {
        const text = `${String(y)}-${mo}-${d}T${h}:${mi}:${s}${z}`;
        const day = new Date(Date.UTC(y, Number(mo) - 1, Number(d)));
        // Date.parse takes 31 April for 1 May; RFC 3339, 5.7, does not.
        const isDay = day.getUTCMonth() === Number(mo) - 1 && day.getUTCDate() === Number(d);
        const ms = isDay ? Date.parse(text) : Number.NaN;
        expect(parseRfc3339(text)).toBe(Number.isNaN(ms) ? null : ms * 1000);
      }),
      { seed: 3340, numRuns: 500 },
    );
  });
});
