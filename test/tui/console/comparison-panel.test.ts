// What the comparison's panel keeps when there is little room, and what its page has.
import { describe, expect, it } from "vitest";
import type { Pair } from "../../../src/domain/comparison.ts";
import type { Remark } from "../../../src/domain/remark.ts";
import type { Summary } from "../../../src/summary/summary.ts";
import { bandLines, comparisonLines } from "../../../src/tui/console/comparison-lines.ts";
import type { Line } from "../../../src/tui/line.ts";
import { lookOf } from "../../../src/tui/look.ts";
import { aDay, summaryOf } from "../a-day.ts";
import { aConsole, picture } from "./a-console.tsx";

const LOOK = lookOf("none", true);
const remark = (level: Remark["level"], text: string, rider: string | null = "R1"): Remark => ({
  level,
  kind: "made",
  rider,
  setup: null,
  run: null,
  text,
});
const ASKED = remark("ask", "run 7 was 4.2 s slower than the others say: a mistake? else count it");
const WARNED = remark("warn", "A first, then B");
const NOTED = remark("note", "B weighs 0.4 kg more");
const OTHERS = remark("ask", "run 2 of somebody else?", "R2");

function withRemarks(remarks: readonly Remark[], pairs?: readonly Pair[]): Summary {
  const summary = summaryOf(aDay({ runs: 10 }));
  const riders = summary.comparison.riders.map((rider) =>
    pairs === undefined
      ? rider
      : { ...rider, parts: [{ part: "whole", sector: null, name: null, pairs } as const] },
  );
  return { ...summary, comparison: { ...summary.comparison, riders, remarks } };
}

const texts = (lines: readonly Line[]): string[] =>
  lines.map((row) =>
    row
      .map((span) => span.text)
      .join("")
      .trimEnd(),
  );
const panel = (summary: Summary, rows: number): string[] =>
  texts(comparisonLines(summary, "R1", 47, rows, LOOK));

describe("the panel", () => {
  const summary = withRemarks([ASKED, WARNED, NOTED, OTHERS]);

  it("asks before it counts, warns after, and leaves what to do to the page", () => {
    const shown = panel(summary, 30).join("\n");
    expect(shown).toMatch(/\? run 7 was 4\.2 s slower than the others say: a\s+mistake\?\n/);
    expect(shown).not.toContain("else count it");
    expect(shown).not.toContain("somebody else");
    expect(shown.indexOf("? run 7")).toBeLessThan(shown.indexOf("counted runs"));
    expect(shown.indexOf("! A first")).toBeGreaterThan(shown.indexOf("counted runs"));
    expect(shown.indexOf("B weighs")).toBeGreaterThan(shown.indexOf("! A first"));
    expect(shown).not.toContain("more: c");
  });

  it("says how much is left for the page, and that a question is among it", () => {
    const all = panel(summary, 30).filter((text) => text !== "");
    for (let rows = 6; rows < 14; rows += 1) {
      const shown = panel(summary, rows);
      expect(shown).toHaveLength(rows);
      const hasAll = all.every((text) => shown.includes(text) || text.startsWith("OVER"));
      const last = shown.findLast((text) => text !== "") ?? "";
      if (!shown.some((text) => text.startsWith("? run 7"))) {
        expect(last).toMatch(/^\? a question( and \d+ more)?: c$/);
      } else if (!hasAll && !shown.includes("B weighs 0.4 kg more")) {
        expect(last).toMatch(/^and \d+ more: c$/);
      }
    }
  });

  it("is plain where nothing is left out", () => {
    expect(panel(withRemarks([]), 30).join("\n")).not.toContain(": c");
  });
});

describe("several set-ups", () => {
  it("are named in every sentence; what is too early is faint, without a thick part", () => {
    const [pair] = withRemarks([]).comparison.riders[0]?.parts[0]?.pairs ?? [];
    if (pair === undefined) throw new Error("no pair");
    const early: Pair = {
      ...pair,
      setup: "A",
      multiplier: null,
      band_s: null,
      verdict: "cannot-tell",
    };
    const open: Pair = { ...pair, verdict: "cannot-tell" };
    const summary = withRemarks([], [open, early]);
    const shown = panel(summary, 30).join("\n");
    expect(shown).toContain("B: can't tell yet");
    expect(shown).toContain("A: too early");
    const [, faint] = bandLines(summary, [open, { ...early, inner_band_s: [-90, 90] }], 60, LOOK);
    expect(faint?.some((span) => span.isDim)).toBe(true);
    expect(faint?.map((span) => span.text).join("")).not.toContain("=");
  });
});

it("the page has every remark in full, and everybody's", async () => {
  const under = aConsole({ journal: aDay({ runs: 10 }), nowS: 4000 });
  under.press("c");
  const page = await picture(under, 100, 30);
  expect(page).toContain("AGAINST A");
  expect(page).toContain("trend over the day");
  const went = page.indexOf("where the time went (each band allows for reading 2 sectors):");
  expect(went).toBeGreaterThan(page.indexOf("trend over the day"));
  expect(page.indexOf("Roots: ")).toBeGreaterThan(went);
});
