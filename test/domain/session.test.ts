// What follows from a sheet alone: sectors, baseline, minutes to swap, instants as text.
import { describe, expect, it } from "vitest";
import { assertNever } from "../../src/domain/errors.ts";
import { baselineOf, sectorNames, swapMinutes } from "../../src/domain/session.ts";
import { rfc3339, sessionUs } from "../../src/domain/time.ts";

const setup = (id: string, baseline: boolean) => ({
  id,
  name: id,
  baseline,
  values: {},
  worthS: null,
  price: null,
  weightKg: null,
});

describe("a sheet", () => {
  it("names sectors after the gate that ends them, or by number", () => {
    const gate = { box: null, terrain: null };
    const gates = [
      { ...gate, role: "start" as const, sector: null },
      { ...gate, role: "split" as const, sector: "Roots" },
      { ...gate, role: "finish" as const, sector: null },
    ];
    expect(sectorNames(gates)).toEqual(["Roots", "Sector 2"]);
  });

  it("has the marked set-up for a baseline, else the first", () => {
    expect(baselineOf([setup("A", false), setup("B", true)]).id).toBe("B");
    expect(baselineOf([setup("A", false), setup("B", false)]).id).toBe("A");
    expect(() => baselineOf([])).toThrow("at least one set-up");
  });

  it("gives the minutes of a swap, of its reverse, or none", () => {
    const swaps = [
      { from: "A", to: "B", minutes: 12 },
      { from: "B", to: "A", minutes: 10 },
      { from: "A", to: "C", minutes: 5 },
    ];
    expect(swapMinutes(swaps, "A", "B")).toBe(12);
    expect(swapMinutes(swaps, "B", "A")).toBe(10);
    expect(swapMinutes(swaps, "C", "A")).toBe(5);
    expect(swapMinutes(swaps, "B", "C")).toBe(0);
    expect(swapMinutes(swaps, "B", "B")).toBe(0);
  });
});

// RFC 3339, section 5.8: 1985-04-12T23:20:50.52Z is 20 min and 50.52 s after the 23rd hour of
// April 12th, 1985, UTC.
it("writes instants with microseconds, before 1970 too", () => {
  expect(rfc3339(sessionUs(Date.UTC(1985, 3, 12, 23, 20, 50, 520) * 1000))).toBe(
    "1985-04-12T23:20:50.520000Z",
  );
  expect(rfc3339(sessionUs(1))).toBe("1970-01-01T00:00:00.000001Z");
  expect(rfc3339(sessionUs(-1))).toBe("1969-12-31T23:59:59.999999Z");
});

it("stops at what the types say cannot be", () => {
  expect(() => assertNever("odd" as never)).toThrow('unexpected value: "odd"');
});
