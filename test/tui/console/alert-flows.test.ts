// Faults and notices on the console: how long they stay, and what a press of the big key takes as seen.
import { describe, expect, it } from "vitest";
import { aDay, heard } from "../a-day.ts";
import { aConsole, mounted, picture } from "./a-console.tsx";

describe("alerts", () => {
  it("forgets that a gate was not heard yet once it is", () => {
    const journal = aDay({ runs: 0 }); // last heard at 600 s
    const made = journal.entries.findIndex((entry) => entry.type === "line-received");
    journal.entries.splice(made);
    const under = aConsole({ journal, nowS: 400 });
    expect(under.controller.snapshot().state.alerts.known).toHaveLength(3);
    heard(journal, 410);
    under.setNow(411);
    under.publish();
    expect(under.controller.snapshot().state.alerts.known).toEqual([]);
  });

  it("shows a notice until it was seen", async () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    const under = aConsole({ journal, nowS: 1503, status: { notices: ["no port was named"] } });
    expect(await picture(under, 80, 24)).toContain("no port was named");
    under.press(" ");
    expect(await picture(under, 80, 24)).not.toContain("no port was named");
  });

  it("shows one after the other where not all have room, and takes none as seen before", async () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    const notices = ["the first", "the second", "the third", "the fourth"];
    const under = aConsole({ journal, nowS: 1503, status: { notices } });
    const shown = mounted(under, 80, 24);
    const seen: string[] = [];
    for (let presses = 0; presses < 3; presses += 1) {
      const [, , one = "", two = ""] = await shown.terminal.text();
      seen.push(one.trim(), two.trim());
      under.press(" ");
    }
    expect(seen).toEqual([
      ...["the first", "! and 3 more: Space acknowledges"],
      ...["the second", "! and 2 more: Space acknowledges"],
      ...["the third", "the fourth"],
    ]);
    expect((await shown.terminal.text()).slice(2, 4).join("").trim()).toBe("");
    under.press(" ");
    expect(under.controller.snapshot().state.said?.text).toContain("nothing to acknowledge");
    shown.end();
  });

  it("takes gates silent for seen at once, and a notice behind them once it had a row", async () => {
    const journal = aDay({ runs: 3 });
    const under = aConsole({ journal, nowS: 2000, status: { notices: ["no port was named"] } });
    const shown = mounted(under, 100, 30);
    under.press(" ");
    expect((await shown.terminal.text())[3]).toContain("no port was named");
    under.press(" ");
    expect((await shown.terminal.text()).join("\n")).not.toContain("no port was named");
    expect(under.controller.snapshot().state.alerts.known).toHaveLength(4);
    shown.end();
  });

  it("keeps a fault that mended itself until it was seen", () => {
    const journal = aDay({ runs: 3 });
    const under = aConsole({ journal, nowS: 2000 });
    heard(journal, 2010);
    under.setNow(2011);
    under.publish();
    const known = under.controller.snapshot().state.alerts.known;
    expect(known.map((each) => each.isNow)).not.toContain(true);
    expect(known.length).toBe(3);
    under.press(" ");
    expect(under.controller.snapshot().state.alerts.known).toEqual([]);
  });

  it("says in front that a fault is over, where no width cuts it", async () => {
    const journal = aDay({ runs: 3 });
    const under = aConsole({ journal, nowS: 2000 });
    heard(journal, 2010);
    under.setNow(2011);
    under.publish();
    expect(await picture(under, 80, 24)).toMatch(/^!! \(over\) START QUIET FOR/mu);
  });
});
