// The page and the panel about the day ahead.
import { describe, expect, it } from "vitest";
import { planDay } from "../../../src/advisor/plan-day.ts";
import { AS_PLANNED, type WhatIf } from "../../../src/domain/plan.ts";
import { planAhead } from "../../../src/summary/plan-ahead.ts";
import type { Summary } from "../../../src/summary/summary.ts";
import { planPage, planPanel } from "../../../src/tui/console/plan-page.ts";
import { type Line, lineWidth } from "../../../src/tui/line.ts";
import { lookOf } from "../../../src/tui/look.ts";
import { sheetOf } from "../../advisor/sessions.ts";
import { aDay, summaryOf } from "../a-day.ts";

const LOOK = lookOf("none", true);
const texts = (lines: readonly Line[]): string[] =>
  lines.map((row) => row.map((span) => span.text).join(""));
const before = summaryOf(
  aDay({ runs: 0, given: { lapMinutes: 10, minutes: 300, plannedRuns: 12, marginS: 0.8 } }),
);
const known: Summary = {
  ...before,
  settings: { ...before.settings, spreadS: 1.6, spreadDf: 12 },
};
const page = (whatIf: Partial<WhatIf>, summary = known, width = 78): string => {
  const wished = { ...AS_PLANNED, ...whatIf };
  return texts(planPage(planAhead(summary, wished), wished, width, LOOK)).join("\n");
};

describe("the page", () => {
  it("has state and keys, figures, curve, warnings and timetable", () => {
    const shown = page({});
    expect(shown).toContain("As planned. Set-ups: 1 A, 2 B");
    expect(shown).toContain("Right more runs; Left fewer runs; 1..9 set-up in, out");
    expect(shown).toContain("Runs: 12, order: A B B A A B B A A B B A");
    expect(shown).toMatch(/Smallest difference seen on 4 days in 5: \d\.\d\d s \(between/);
    expect(shown).toMatch(/Band at the end of the plan: about \+-\d\.\d\d s \(\+-\d/);
    expect(shown).toContain('"No difference worth having" (0.8 s): out of reach');
    expect(shown).toContain("measured with 12 degrees of freedom");
    expect(shown).toMatch(/\n {7}\|\+-+\+-+\+\n {8}8 +12 +24 runs\n/);
    expect(shown).toContain("no set-up is marked as new");
    expect(shown).toContain("0:40  run 1 on A");
    expect(shown).toContain("2:40  last finish");
  });

  it("says what would be otherwise, and refuses in words", () => {
    const what = page({ runs: 2, swapMinutes: -3 });
    expect(what).toContain("What if: +2 runs, -3 min a swap. Set-ups: 1 A, 2 B");
    expect(what).toContain("Runs: 14");
    expect(page({ runs: 1 })).toContain("What if: +1 run. Set-ups");
    const refused = page({ without: ["B"] });
    expect(refused).toContain("What if: without B. Set-ups: 1 A, 2 B out");
    expect(refused).toContain("A alone is left: there is nothing to compare it with: keep two");
    expect(refused).not.toContain("TIMETABLE");
  });

  it("without a spread says what to name, and draws nothing", () => {
    const shown = page({}, before);
    expect(shown).toMatch(/\d\.\d times your run-to-run spread/);
    expect(shown).toContain("Name your usual run-to-run spread (spread_s)");
    expect(shown).not.toContain("AGAINST RUNS");
  });

  it("keeps to its width, and lets no typed text drive the terminal", () => {
    const hours = {
      ...known.hours,
      breaks: [
        { afterRun: 2, at: null, minutes: 15, name: "\u001b[2Jtea \u202e and a very long rest" },
      ],
    };
    for (const width of [40, 57, 100, 200]) {
      const ahead = planAhead({ ...known, hours }, AS_PLANNED);
      for (const row of planPage(ahead, AS_PLANNED, width, LOOK)) {
        expect(lineWidth(row)).toBeLessThanOrEqual(width);
        const shown = row.map(({ text }) => text).join("");
        for (const hidden of ["\u001b", "\u202e"]) expect(shown).not.toContain(hidden);
      }
    }
  });

  it("of exploring speaks of values and the closing check", () => {
    const settings = [{ key: "rear_pressure_bar", low: 1.4, high: 1.8, step: 0.1 }];
    const explored = { settings, checkRuns: 8 };
    const shown = page({}, { ...known, explored });
    expect(shown).toContain("Exploring runs: 12; then a closing check of 8 runs");
    expect(shown).toContain("seen on 4 days in 5 by the closing check");
    expect(shown).not.toContain("Set-ups:");
  });
});

describe("the panel", () => {
  const panel = (summary = known, rows = 8, whatIf = AS_PLANNED): string[] =>
    texts(planPanel(planAhead(summary, whatIf), 40, rows, LOOK));

  it("has runs, reach with its ends, hours, and how much there is to see to", () => {
    const shown = panel();
    expect(shown).toHaveLength(8);
    expect(shown[1]).toBe("12 runs, 6 swaps");
    expect(shown[2]).toMatch(/^likely to be seen: \d\.\d s \(\d\.\d to \d\.\d\)$/);
    expect(shown[3]).toBe("160 min, fits");
    expect(shown[4]).toBe("3 things to see to");
    expect(shown.join("\n")).toContain("Tab: the whole plan");
  });

  it("says in capitals that the day does not fit, and why there is no plan", () => {
    const long = { ...known, settings: { ...known.settings, minutes: 120 } };
    expect(panel(long)[3]).toBe("160 min, DOES NOT FIT");
    const refused = panel(known, 8, { ...AS_PLANNED, runs: -6 }).join(" ");
    expect(refused).toContain("planned_runs = 6: too few runs");
  });

  it("keeps to its rows and the way to the whole plan", () => {
    for (const rows of [2, 3, 5, 12]) {
      const shown = panel(before, rows);
      expect(shown).toHaveLength(rows);
      expect(shown.some((row) => row.includes("Tab: the whole plan"))).toBe(true);
    }
    const refused = panel(known, 3, { ...AS_PLANNED, runs: -6 });
    expect(refused.at(-1)).toContain("Tab: the whole plan");
  });

  it("of exploring counts what is tried and what is checked", () => {
    const explored = {
      settings: [{ key: "rear_pressure_bar", low: 1.4, high: 1.8, step: 0.1 }],
      checkRuns: 8,
    };
    expect(panel({ ...known, explored })[1]).toBe("12 exploring runs, 8 to check");
    const plan = planDay({
      ...sheetOf({ setups: ["A"], settings: { plannedRuns: 12 } }),
      explored,
    });
    expect(plan.exploring).toEqual({ check_runs: 8 });
  });
});
