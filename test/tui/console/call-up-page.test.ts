import { describe, expect, it } from "vitest";
import type { SessionUs } from "../../../src/domain/time.ts";
import type { LiveCallUp } from "../../../src/summary/call-up-ahead.ts";
import { callUpPage, callUpWords } from "../../../src/tui/console/call-up-page.ts";
import { lineWidth } from "../../../src/tui/line.ts";
import { lookOf } from "../../../src/tui/look.ts";
import { instant } from "../a-day.ts";

const look = lookOf("dark", true);
const now: SessionUs = instant(2 * 3600 + 31 * 60);

function row(rider: string, given: Partial<LiveCallUp> = {}): LiveCallUp {
  return {
    rider,
    setup: "A",
    bike: "bike-1",
    parts: ["wheels-1"],
    isReady: true,
    notBefore: now,
    why: "counted runs so far: 2",
    behind: null,
    isCalled: false,
    ...given,
  };
}

const LIST = [
  row("R1", { isCalled: true }),
  row("R2", {
    bike: "bike-2",
    notBefore: instant(2 * 3600 + 31 * 60 + 40),
    why: "starts behind R1",
    behind: { rider: "R1", gapS: 39.2 },
  }),
  row("R3", {
    setup: "B",
    parts: ["wheels-2"],
    isReady: false,
    notBefore: instant(2 * 3600 + 41 * 60 + 20),
    why: "wheels-2 comes back with R1, then swap from A to B, 4 min",
  }),
  row("R4", { bike: null, parts: [], notBefore: null, isReady: false, why: "no bike fits R4" }),
];
const NAMES: Readonly<Record<string, string>> = { R1: "Rider one", R2: "Rider two" };
const names = (id: string): string => NAMES[id] ?? id;
const page = (list: readonly LiveCallUp[], width: number): readonly string[] =>
  callUpPage(list, now, "UTC", names, width, look).map((line) =>
    line
      .map((span) => span.text)
      .join("")
      .trimEnd(),
  );

describe("the page of the call-up list", () => {
  it("has the next start in its first row, and the gaps below", () => {
    expect(page(LIST, 100)).toEqual([
      `CALL-UP LIST ${"-".repeat(87)}`,
      "RIDER     BIKE   PARTS    SET-UP READY   NOT BEFORE WHY",
      "Rider one bike-1 wheels-1 A      ready   now        counted runs so far: 2",
      "Rider two bike-2 wheels-1 A      ready   10:32      starts behind R1",
      "R3        bike-1 wheels-2 B      not yet 10:42      wheels-2 comes back with R1, then swap from A to",
      "                                                    B, 4 min",
      "R4        none   -        A      not yet -          no bike fits R4",
      "Rider two not before 40 s after Rider one",
      "the gap is the least: marshals and local rules come first",
    ]);
    const [, , first] = callUpPage(LIST, now, "UTC", names, 100, look);
    expect(first?.every((span) => span.isBold === true)).toBe(true);
  });

  it("keeps to the width, the reasons on rows of their own where it is narrow", () => {
    expect(page(LIST, 60)).toContain("  wheels-2 comes back with R1, then swap from A to B, 4 min");
    expect(page(LIST, 40).slice(1, 6)).toEqual([
      "Rider one on A, bike-1, wheels-1, now:",
      "counted runs so far: 2",
      "Rider two on A, bike-2, wheels-1, not",
      "before 10:32: starts behind R1",
      "R3 on B, bike-1, wheels-2, not before",
    ]);
    for (const width of [24, 40, 60, 80, 100, 140]) {
      for (const line of callUpPage(LIST, now, "UTC", names, width, look)) {
        expect(lineWidth(line)).toBeLessThanOrEqual(width);
      }
    }
  });

  it("says so if the next start would be taken for somebody else", () => {
    const [first, second] = LIST.slice(1);
    const swapped = [first, { ...second, isCalled: true }].map((each) => row("R2", each));
    expect(page(swapped, 100)).toContain(
      "the next start is taken for R3: call Rider two up if Rider two goes first",
    );
    expect(page(LIST, 100).some((text) => text.startsWith("the next start"))).toBe(false);
  });

  it("calls nobody up while the course is held", () => {
    const held = [row("R1"), row("R2")].map((each) => ({
      ...each,
      isReady: false,
      why: "the course is held",
    }));
    expect(page(held, 100)[2]).toBe(
      "Rider one bike-1 wheels-1 A      not yet -          the course is held",
    );
    expect(callUpWords(held, now, "UTC")).toBe("then R2 on A, bike-1, wheels-1, not yet");
  });

  it("is there when nobody is to start", () => {
    expect(page([], 60)[1]).toBe("nobody is to start");
  });

  it("shows own bikes, and nothing that could move the cursor", () => {
    const own = page([row("R1", { bike: null, parts: [], why: "\u001b[2Jx" })], 100);
    expect(own[2]).toBe("Rider one own  -     A      ready now        x");
  });
});

describe("the start after the next one", () => {
  it("is one short line", () => {
    expect(callUpWords(LIST.slice(1), now, "UTC")).toBe(
      "then R3 on B, bike-1, wheels-2, not before 10:42",
    );
    expect(callUpWords([row("R1"), row("R2", { bike: null, parts: [] })], now, "UTC")).toBe(
      "then R2 on A, now",
    );
    expect(callUpWords(LIST.slice(0, 1), now, "UTC")).toBeUndefined();
    expect(callUpWords(LIST.slice(2), now, "UTC")).toBeUndefined();
  });
});
