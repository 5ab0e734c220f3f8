// Keys for what is asked of riders, for the pages of the day, and for a session that explores.
import { describe, expect, it } from "vitest";
import { HEAD_KNOCK_KEY } from "../../../src/domain/measure-keys.ts";
import { stopsNow } from "../../../src/summary/stops-now.ts";
import {
  A,
  handGates,
  JournalWriter,
  madeBody,
  R1,
  S1,
  settings,
} from "../../session/a-journal.ts";
import { aDay, ride, summaryOf } from "../a-day.ts";
import { aConsole, type ConsoleUnderTest, choose, picture } from "./a-console.tsx";

const TAB = "\t";
const LEFT = "\u001b[D";
const RIGHT = "\u001b[C";

function stateOf(under: ConsoleUnderTest) {
  return under.controller.snapshot().state;
}

function saidBy(under: ConsoleUnderTest): string {
  return stateOf(under).said?.text ?? "";
}

/** Nine runs, the last two with a mistake each. */
function tired(): JournalWriter {
  const journal = aDay({ runs: 9 });
  for (const run of summaryOf(journal).runs.slice(-2)) {
    const body = { run: run.runId, sector: null, kind: "mistake" as const, note: null };
    journal.write(3200, { type: "incident-noted", body });
  }
  return journal;
}

describe("a rider who may be tired or hurt", () => {
  it("is asked before anything is fitted, and sent on by yes alone", async () => {
    const under = aConsole({ journal: tired(), nowS: 3210 });
    expect(await picture(under, 80, 24)).toContain("Rider one is asked first");
    under.press("\r");
    expect(stateOf(under).question?.text).toContain("2 mistakes in the last 3 runs");
    under.press("\r");
    expect(under.calls).toEqual([]);
    under.press("\ry");
    expect(under.calls).toEqual([
      'takeMeasure {"runId":null,"rider":"R1","setup":null,"unit":null,"key":"rides_on","value":"mistakes"}',
    ]);
  });

  it("rides no bike that crashed before every point of the list is ticked", () => {
    const journal = aDay({ runs: 3 });
    const body = { run: summaryOf(journal).runs[2]?.runId ?? "", sector: null, note: null };
    journal.write(1500, { type: "incident-noted", body: { ...body, kind: "crash" } });
    const under = aConsole({ journal, nowS: 1510 });
    under.press("\r");
    expect(stateOf(under).question?.text).toMatch(/1 of 7: .*qualified mechanic/);
    under.press("yyn");
    expect(under.calls).toEqual([]);
    expect(saidBy(under)).toMatch(/^held: wheels true, axles tight/);
    // A start taken all the same does not end the hold.
    journal.bike(S1, 1600);
    under.setNow(1605);
    under.publish();
    expect(stopsNow(under.feed.summary()).map(({ kind }) => kind)).toEqual(["bike-not-checked"]);
    choose(under, "bike checked");
    under.press("yyyyyyy");
    expect(under.calls).toEqual([
      'takeMeasure {"runId":null,"rider":"R1","setup":null,"unit":null,"key":"bike_checked","value":"every point"}',
    ]);
  });

  it("stops for the day after a knock to the head, whatever is pressed", () => {
    const journal = aDay({ runs: 3 });
    const under = aConsole({ journal, nowS: 1510 });
    choose(under, "knock to the head");
    under.press("y");
    expect(under.calls[0]).toContain(HEAD_KNOCK_KEY);
    const body = { run: null, rider: "R1", setup: null, key: HEAD_KNOCK_KEY, value: "yes" };
    journal.write(1520, { type: "measure-taken", body: { ...body, unit: null } });
    under.publish();
    under.press("\r");
    expect(saidBy(under)).toMatch(/no more riding today, see a doctor/);
    expect(under.calls).toHaveLength(1);
  });
});

describe("the rider who waits", () => {
  it("has the rest since the finish beside the name where there is room", async () => {
    const under = aConsole({ journal: aDay({ runs: 3 }), nowS: 1329 + 7.5 * 60 });
    expect(await picture(under, 100, 30)).toContain("next: Rider one on B ▲, 7 min rest");
  });
});

describe("the pages of the day", () => {
  it("follow one another by Tab and lead back by Esc", () => {
    const under = aConsole({ journal: aDay({ runs: 3, riders: 2 }), nowS: 1510 });
    const pages: string[] = [];
    for (let i = 0; i < 7; i += 1) {
      under.press(TAB);
      pages.push(stateOf(under).page);
    }
    expect(pages).toEqual(["plan", "gates", "call-up", "comparison", "boxes", "keys", "plan"]);
    under.press("\u001b");
    expect(stateOf(under).mode).toBe("LIVE");
  });

  it("show what the plan would be with more runs, slower swaps, a set-up less", async () => {
    const under = aConsole({ journal: aDay({ runs: 0, isByHand: true }), nowS: 503 });
    expect(await picture(under, 80, 24)).toContain("12 runs, 6 swaps");
    under.press(`${TAB}${RIGHT}${RIGHT}${RIGHT}${LEFT}...,`);
    expect(stateOf(under).whatIf).toEqual({ runs: 2, without: [], swapMinutes: 2 });
    expect(await picture(under, 80, 30)).toMatch(
      /What if: \+2 runs, \+2 min a swap[\s\S]*Runs: 14/,
    );
    under.press("2");
    expect(await picture(under, 80, 24)).toContain("keep two set-ups at least");
    under.press("2");
    expect(stateOf(under).whatIf.without).toEqual([]);
    under.press("9");
    expect(saidBy(under)).toBe("there is no set-up 9");
    // What was only tried is no plan of this day.
    under.press("\u001b");
    expect(await picture(under, 80, 24)).toContain("12 runs, 6 swaps");
    under.press(TAB);
    under.press("0");
    expect(stateOf(under).whatIf).toEqual({ runs: 0, without: [], swapMinutes: 0 });
    expect(under.calls).toEqual([]);
  });

  it("keep what-if keys to the plan", () => {
    const under = aConsole({ journal: aDay({ runs: 3 }), nowS: 1510 });
    under.press(`c${RIGHT}`);
    expect(saidBy(under)).toBe("that is for the plan: Tab turns to it");
  });

  it("choose the trend over the day from a list", () => {
    const under = aConsole({ journal: aDay({ runs: 0 }), nowS: 510 });
    choose(under, "trend");
    expect(stateOf(under).pick?.items.map((item) => item.label)[1]).toMatch(/as it is/);
    under.press("3");
    expect(under.calls).toEqual(["setDrift learning"]);
  });
});

/** A hand-timed stretch on which rear pressure is explored, after `runs` runs as suggested. */
function exploring(runs: number): JournalWriter {
  const journal = new JournalWriter();
  const explored = {
    settings: [{ key: "rear_pressure_bar", low: 1.3, high: 1.9, step: 0.05 }],
    checkRuns: 8,
  };
  const given = { ...settings, marginS: null, plannedRuns: 8 };
  journal.write(0, { type: "session-made", body: { ...madeBody(given, handGates), explored } });
  journal.write(0, {
    type: "rider-added",
    body: { ...R1, newTo: [], setups: null, plannedRuns: null },
  });
  const present = { ...A, values: { rear_pressure_bar: 1.8 } };
  journal.write(0, { type: "setup-added", body: present });
  for (let i = 0; i < runs; i += 1) {
    const summary = summaryOf(journal);
    const next = summary.exploration?.next ?? [];
    const { setup } = summary.comparison.next;
    if (setup === null) throw new RangeError("something is suggested");
    if (!summary.setups.some((each) => each.id === setup)) {
      const values = { rear_pressure_bar: next[0] ?? 0 };
      const body = { ...present, id: setup, name: setup, baseline: false, values };
      journal.write(600 + i * 300, { type: "setup-added", body });
    }
    const body = { rider: "R1", setup, minutes: null, checked: true };
    journal.write(601 + i * 300, { type: "setup-swapped", body });
    const u = ((next[0] ?? 0) - 1.5) / 0.3;
    ride(journal, 660 + i * 300, 130 + 4 * u * u + 0.1 * (i % 3), true);
  }
  return journal;
}

describe("a session that explores", () => {
  it("puts the suggested value on the bike by Enter, and says its name first", async () => {
    const under = aConsole({ journal: exploring(0), nowS: 603 });
    const [value] = under.feed.summary().exploration?.next ?? [];
    const shown = await picture(under, 80, 24);
    expect(shown).toContain(`NEXT  Rider one: B ${(value ?? 0).toFixed(2)} bar`);
    expect(shown).toContain("EXPLORING rear pressure");
    under.press("\r");
    expect(under.calls).toEqual([`rideValues R1 [${String(value)}]`]);
  });

  it("takes another value, and asks again for what is no number", () => {
    const under = aConsole({ journal: exploring(2), nowS: 1503 });
    choose(under, "another value");
    under.press("soft\r");
    expect(stateOf(under).text?.complaint).toMatch(/^a number from 1.3 to 1.9/);
    under.press("\u007f\u007f\u007f\u007f1,65\r");
    expect(under.calls).toEqual(["rideValues R1 [1.65]"]);
  });

  it("shows its curve on a page, and begins the closing check on yes", async () => {
    const under = aConsole({ journal: exploring(8), nowS: 3503 });
    under.press(`${TAB}${TAB}`);
    expect(stateOf(under).page).toBe("exploring");
    expect(await picture(under, 100, 45)).toMatch(/SECONDS AGAINST NOW[\s\S]*VALUES RIDDEN/);
    under.press("\u001b");
    expect(await picture(under, 80, 24)).toContain("Enter: closing check");
    under.press("\r");
    expect(stateOf(under).question?.text).toMatch(/1\.50 bar against 1\.80 bar, 8 runs/);
    under.press("y");
    expect(under.calls).toEqual(["beginCheck [1.5]"]);
  });

  it("refuses its acts elsewhere", () => {
    const under = aConsole({ journal: aDay({ runs: 3 }), nowS: 1510 });
    choose(under, "closing check");
    expect(saidBy(under)).toBe("no setting is explored in this session");
    choose(under, "exploring");
    expect(saidBy(under)).toBe("no setting is explored in this session");
  });
});
