// The console as a person sees it, at every size and in every mode, as text kept in test/golden.
import { describe, expect, it } from "vitest";
import { F1, type JournalWriter, S1 } from "../../session/a-journal.ts";
import { aDay, heard, summaryOf } from "../a-day.ts";
import { aConsole, type Given, mounted, picture } from "./a-console.tsx";

const LAST_S = 600 + 10 * 300;

/** Ten runs, the first a warm-up, the fifth struck out; a walker in the finish beam; one riding. */
function midday(): JournalWriter {
  const journal = aDay({ runs: 10 });
  const [first, , , , fifth] = summaryOf(journal).runs;
  journal.mark(LAST_S - 200, first?.runId ?? "", "warm-up");
  journal.mark(LAST_S - 190, fifth?.runId ?? "", "void");
  journal.beam(F1, LAST_S - 100);
  heard(journal, LAST_S);
  journal.bike(S1, LAST_S + 10);
  return heard(journal, LAST_S + 40);
}

function given(journal: JournalWriter, more: Partial<Given> = {}): Given {
  return { journal, nowS: LAST_S + 44, ...more };
}

const golden = (name: string): string => `../../golden/${name}.txt`;

describe("the console's picture", () => {
  it.each([
    [80, 24],
    [100, 30],
    [200, 55],
    [40, 20],
  ])("at %ix%i", async (columns, rows) => {
    const text = await picture(aConsole(given(midday())), columns, rows);
    await expect(text).toMatchFileSnapshot(golden(`console-${String(columns)}x${String(rows)}`));
  });

  it("is the same after resizes as if it had been opened at that size", async () => {
    const under = aConsole(given(midday()));
    const shown = mounted(under, 100, 30);
    for (const [columns, rows] of [
      [80, 24],
      [40, 20],
      [200, 55],
      [80, 24],
    ] as const) {
      shown.terminal.resize(columns, rows);
      under.setNow(LAST_S + 44);
      const text = `${(await shown.terminal.text()).join("\n")}\n`;
      expect(text).toBe(await picture(under, columns, rows));
    }
    expect(await shown.terminal.scrolled()).toBe(0);
    shown.end();
  });

  it("before the first run, by hand: what to do first", async () => {
    const journal = aDay({ runs: 0, isByHand: true });
    const status = { recorder: { kind: "by-hand" } } as const;
    const text = await picture(aConsole({ journal, nowS: 500, status }), 80, 24);
    await expect(text).toMatchFileSnapshot(golden("console-empty-80x24"));
  });

  it("with the gates silent: never clear, faults in words", async () => {
    const under = aConsole(given(midday(), { nowS: LAST_S + 400 }));
    const text = await picture(under, 80, 24);
    expect(text).toContain("START NOT HEARD SINCE 09:00: COURSE MAY BE OCCUPIED");
    await expect(text).toMatchFileSnapshot(golden("console-silent-80x24"));
  });

  it.each([
    ["scroll", "kkk"],
    ["pick", "kkkb"],
    ["text", "nwind from the west"],
    ["help", "?"],
    ["emergency", "e"],
    ["acts", "a"],
    ["void", "x"],
  ])("in mode %s", async (name, keys) => {
    const emergencyText = [
      "Meet at the forest gate, grid 12 34",
      "Call 000; first-aider: marshal 2",
    ];
    const under = aConsole(given(midday(), { status: { emergencyText } }));
    under.press(keys);
    await expect(await picture(under, 80, 24)).toMatchFileSnapshot(golden(`console-${name}-80x24`));
  });

  it("asking before it closes the session", async () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    const under = aConsole({ journal, nowS: 1503 });
    under.press("a");
    under.controller.press({ type: "named", name: "page-down" }, 2e6);
    under.press("j".repeat(99));
    const items = under.controller.snapshot().state.pick?.items ?? [];
    const at = items.findIndex((item) => item.label.startsWith("close session"));
    under.press("k".repeat(items.length - 1 - at));
    under.press("\r");
    await expect(await picture(under, 80, 24)).toMatchFileSnapshot(golden("console-close-80x24"));
  });

  it("with two riders, in characters that every terminal has", async () => {
    const journal = aDay({ runs: 6, riders: 2 });
    heard(journal, 2400);
    const text = await picture(aConsole({ journal, nowS: 2405 }), 80, 24, true);
    expect(text).toMatch(/^[\n -~]*$/u);
    await expect(text).toMatchFileSnapshot(golden("console-two-riders-ascii-80x24"));
  });

  it("blind: the comparison and the reasons are hidden until the session is closed", async () => {
    const under = aConsole(given(midday(), { status: { isBlind: true } }));
    const text = await picture(under, 100, 30);
    expect(text).not.toMatch(/quicker|decided|between/u);
    await expect(text).toMatchFileSnapshot(golden("console-blind-100x30"));
  });
});
