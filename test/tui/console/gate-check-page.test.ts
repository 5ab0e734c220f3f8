// The gate check page in words: each state of a gate, at 80 and at 40 columns.
import { describe, expect, it } from "vitest";
import type { BoxHealth } from "../../../src/domain/equipment.ts";
import type { BoxId } from "../../../src/domain/session.ts";
import { gateCheckRuns } from "../../../src/summary/gate-check.ts";
import type { Summary } from "../../../src/summary/summary.ts";
import {
  GATE_HELP,
  gateCheckPage,
  leftoverWords,
} from "../../../src/tui/console/gate-check-page.ts";
import { lineWidth } from "../../../src/tui/line.ts";
import { lookOf } from "../../../src/tui/look.ts";
import {
  F1,
  handGates,
  JournalWriter,
  P1,
  S1,
  type SimBox,
  threeGates,
} from "../../session/a-journal.ts";
import { instant, summaryOf } from "../a-day.ts";

const look = lookOf("none", true);

/** Boxes heard, clocks known, start walked through by a bike at 100 s; last heard at 112 s. */
function morning(given: readonly SimBox[] = [S1, P1, F1]): JournalWriter {
  const j = new JournalWriter().made(threeGates, undefined, { zone: "UTC" });
  for (const box of given) j.exchanges(box, 2, 95, 1);
  j.bike(S1, 100, 0.42, 6);
  for (const box of given) j.heartbeat(box, 112, 3);
  return j;
}

function page(
  summary: Summary,
  atS = 112.5,
  width = 80,
  lastsTo?: (box: BoxId) => string | null,
): string {
  const of = { summary, now: instant(atS), since: instant(99) };
  const lines = gateCheckPage(lastsTo === undefined ? of : { ...of, lastsTo }, width, look);
  for (const each of lines) expect(lineWidth(each)).toBeLessThanOrEqual(width);
  return lines.map((each) => each.map((span) => span.text).join("")).join("\n");
}

/** Line breaks and indents taken out: the words alone. */
const words = (text: string): string => text.replace(/\s+/gu, " ");

const withBox = (summary: Summary, box: BoxId, given: Partial<BoxHealth>): Summary => ({
  ...summary,
  boxes: summary.boxes.map((each) => (each.box === box ? { ...each, ...given } : each)),
});

describe("the gate check page", () => {
  it("ticks what was walked through and asks for the rest", () => {
    expect(page(summaryOf(morning())).split("\n").slice(1, 11)).toEqual([
      "[x] start: seen 12 s ago, 0.42 s, 6 blockings: a bike",
      "    box S1, heard 0 s ago; start (S) as on the sheet; battery 3.70 V; beam 97 %,",
      "    clear; clock good to 0.1 ms, 94 answers; 0 glitches",
      "[ ] split 1: WALK THROUGH IT",
      "    box P1, heard 0 s ago; role not told yet; battery 3.70 V; beam 97 %, clear;",
      "    clock: 94 answers, first minute over; 0 glitches",
      "[ ] finish: WALK THROUGH IT",
      "    box F1, heard 0 s ago; role not told yet; battery 3.70 V; beam 97 %, clear;",
      "    clock: 94 answers, first minute over; 0 glitches",
      "not seen yet: split 1, finish",
    ]);
  });

  it("fits 40 columns with the same words", () => {
    const wide = words(page(summaryOf(morning())));
    const narrow = words(page(summaryOf(morning()), 112.5, 40));
    expect(narrow.replace(/-{2,}/gu, "--")).toBe(wide.replace(/-{2,}/gu, "--"));
  });

  it("is ready when all were seen and are well, whatever the shape", () => {
    const j = morning();
    j.bike(P1, 105, 1.8, 1);
    j.bike(F1, 106, 0.01, 1);
    for (const box of [S1, P1, F1]) j.heartbeat(box, 120, 9);
    const text = words(page(summaryOf(j), 121));
    expect(text).toContain("[x] start: seen 21 s ago, 0.42 s, 6 blockings: a bike");
    expect(text).toContain(
      "[x] split 1: seen 16 s ago, one long block of 1.8 s: a walker, shown as not a bike",
    );
    expect(text).toContain("one short block of 0.010 s: a leaf or an insect, shown as not a bike");
    expect(text).toContain("all 3 gates seen: ready");
    expect(words(page(withBox(summaryOf(j), "P1", { battMv: 3350 }), 121))).toContain(
      "all 3 gates seen: ready, but see to: split 1 low battery",
    );
    expect(words(page(summaryOf(j), 135))).toContain(
      "all 3 gates seen, NOT READY: start quiet, split 1 quiet, finish quiet",
    );
  });

  const states: readonly (readonly [string, Partial<BoxHealth>, string])[] = [
    ["not heard", { lastHeardAt: null }, "! NOT HEARD YET: switched on? cable? radio?"],
    [
      "quiet on a cable",
      { lastHeardAt: instant(98.5), usualGapS: 2 },
      "! QUIET FOR 0:14 (since 08:01, heard every 2 s before): cable? battery? box P1, last heard 08:01:38",
    ],
    ["clear", { beamPct: 98 }, "beam 98 %, clear"],
    ["weak", { beamPct: 84 }, "! beam weak, seen 84 % of the time: aim again, mind the sun"],
    ["blocked", { isBlocked: true }, "! BEAM BLOCKED: no times until it is clear"],
    ["low", { battMv: 3390 }, "! battery low: change it before the first run"],
    [
      "in another place",
      { role: "F" },
      "! SAYS THAT IT IS THE FINISH (F), the sheet has it at the split 1: boxes mixed up?",
    ],
    ["disputed", { isDisputed: true }, "! ONE NUMBER USED TWICE: two boxes of that id? reset it"],
    ["young", { exchanges: 12 }, "clock: 12 answers, first minute not over"],
    ["old enough", { exchanges: 75 }, "clock: 75 answers, first minute over"],
    ["restarted", { restarts: 2 }, "restarted 2 times"],
    ["glitching", { glitches: 3 }, "3 glitches"],
  ];
  it.each(states)("says of a gate that is %s so, wide and narrow", (_, given, said) => {
    const summary = withBox(summaryOf(morning()), "P1", given);
    for (const width of [80, 40]) expect(words(page(summary, 112.5, width))).toContain(said);
  });

  it("says how well a clock is known once it has timed something", () => {
    expect(words(page(summaryOf(morning())))).toMatch(/clock good to 0\.\d ms, 94 answers/u);
  });

  it("does not call a beam weak for the passing itself", () => {
    const summary = withBox(summaryOf(morning()), "S1", { beamPct: 79 });
    expect(words(page(summary, 105))).toContain("beam 79 %, somebody just passed");
    expect(words(page(summary, 112.5))).toContain("beam weak, seen 79 % of the time");
  });

  it("names a box that is not on the sheet, and the gate that it may be for", () => {
    const j = morning([S1, F1]);
    j.bike({ ...P1, id: "P9" }, 111);
    expect(words(page(summaryOf(j)))).toContain(
      "? box P9 is heard and is not on the sheet, says that it is the split 1 (P1): is it the one for the split 1?",
    );
  });

  it("leaves room for how long a battery lasts", () => {
    const lastsTo = (box: BoxId) => (box === "F1" ? "lasts to about 15:40" : null);
    const text = words(page(summaryOf(morning()), 112.5, 80, lastsTo));
    expect(text.match(/battery 3\.70 V, lasts to about 15:40/gu)).toHaveLength(1);
  });

  it("has nothing to check by hand", () => {
    const text = words(page(summaryOf(new JournalWriter().made(handGates)), 10));
    expect(text).toContain("[-] start: by hand, no beam to check");
    expect(text).toContain("no gate has a box: nothing to check");
  });

  it("ends with how a gate stands", () => {
    const text = words(page(summaryOf(morning())));
    for (const help of GATE_HELP) expect(text).toContain(help);
    expect(text.endsWith(GATE_HELP.at(-1) ?? "")).toBe(true);
  });
});

describe("what the check has left behind", () => {
  it("is counted, and an open run is put as a question", () => {
    const j = morning();
    j.bike(F1, 105, 1.8, 1);
    const summary = summaryOf(j);
    const said = leftoverWords(gateCheckRuns(summary), { summary, now: instant(112.5) });
    expect(said).toEqual([
      'Left from walking through: 1 passing in no run: strike out as "gate check"',
      "A run was opened 0:12 ago: a rider, or the check? Strike it out only if nobody is riding",
    ]);
    expect(
      leftoverWords(gateCheckRuns(summaryOf(new JournalWriter().made(threeGates))), {
        summary,
        now: instant(112.5),
      }),
    ).toEqual([]);
  });
});
