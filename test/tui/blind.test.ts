// While the standing is hidden, nothing on any screen and in any sentence gives it away; once the
// session is closed, all of it is said.
import { describe, expect, it } from "vitest";
import type { Comparison } from "../../src/domain/comparison.ts";
import type { Feel } from "../../src/domain/feel.ts";
import { HEAD_KNOCK_KEY } from "../../src/domain/measure-keys.ts";
import type { Summary } from "../../src/summary/summary.ts";
import { reasonWhileHidden } from "../../src/tui/blind-words.ts";
import {
  boardHeader,
  boardNext,
  boardReason,
  boardStanding,
  boardTime,
} from "../../src/tui/board/board-lines.ts";
import type { Line } from "../../src/tui/line.ts";
import { lookOf } from "../../src/tui/look.ts";
import { createSentenceTeller, sentencesBetween } from "../../src/tui/plain/sentences.ts";
import type { JournalWriter } from "../session/a-journal.ts";
import { aDay, instant, ride, summaryOf } from "./a-day.ts";
import { aConsole, picture } from "./console/a-console.tsx";

const LOOK = lookOf("none", true);
const NOW_S = 600 + 10 * 300;

const FEEL: Feel = {
  rider: "R1",
  aspect: "feel",
  setup: "B",
  baseline: "A",
  pairs: 6,
  better: 6,
  worse: 0,
  same: 0,
  agree: 6,
  p: 0.03125,
  signed_rank_p: 0.03125,
  verdict: "clear",
};

/** A decided day: what was rated, expected, dropped and remarked is all there to be shown. */
function decidedDay(): JournalWriter {
  const journal = aDay({ runs: 9, isByHand: true });
  const body = { run: null, rider: "R1", setup: "B", key: "expected_s", value: -1.5, unit: "s" };
  journal.write(500, { type: "measure-taken", body });
  for (const { runId: run, setup } of summaryOf(journal).runs) {
    const score = setup === "B" ? 9 : 4;
    journal.write(NOW_S - 50, { type: "rating-given", body: { run, aspect: "feel", score } });
  }
  return journal;
}

function told(journal: JournalWriter): Summary {
  const summary = summaryOf(journal);
  const because =
    "decided; stop, or ride B on: +-1.9 -> +-0.7 s; dropped: C (slower than B by 2 s)";
  const remarks: Comparison["remarks"] = [
    {
      level: "ask",
      kind: "slow-run",
      rider: "R1",
      setup: "A",
      run: summary.runs.at(-1)?.runId ?? null,
      text: "run 9 was 4.2 s slower than the others say: a mistake?",
    },
    { level: "note", kind: "worth", rider: null, setup: "B", run: null, text: "B: worth it" },
  ];
  const next = { ...summary.comparison.next, rider: "R1", setup: "B", because, stop: "decided" };
  return {
    ...summary,
    comparison: { ...summary.comparison, next: next as Comparison["next"], remarks, feel: [FEEL] },
    earlierEnd: { rider: "R1", endRun: 11, runsLeft: 2 },
  };
}

const GIVEN_AWAY =
  /quicker|slower|decided|dropped|between -|can't tell|cannot tell|no difference|\+-|worth it|clear for|leaning|better in|prefer|point to|expected|earlier end\?|end the plan|-2\.\d/u;

describe("the console, blind", () => {
  it.each([
    ["[LIVE]", ""],
    ["[SCROLL]", "kk"],
    ["hidden until the session is closed", "c"],
    ["How did run 9 of Rider one feel?", "y"],
    ["Void: run 9 of Rider one. Why?", "x"],
    ["ON COURSE", "e"],
    ["Everything that can be done", "a"],
  ])("gives nothing away in %s", async (shown, keys) => {
    const journal = decidedDay();
    for (const [columns, rows] of [
      [80, 24],
      [200, 55],
    ] as const) {
      const under = aConsole({ journal, nowS: NOW_S, status: { isBlind: true } });
      under.feed.publish(told(journal));
      under.feed.flush();
      under.press(keys);
      const text = await picture(under, columns, rows);
      expect(text).toContain(shown);
      expect(text).not.toMatch(GIVEN_AWAY);
    }
  });

  it("says it once the session is closed", async () => {
    const journal = decidedDay();
    journal.write(NOW_S, { type: "session-closed", body: {} });
    const under = aConsole({ journal, nowS: NOW_S + 1, status: { isBlind: true } });
    under.feed.publish(told(journal));
    under.feed.flush();
    under.press("c");
    const text = await picture(under, 200, 55);
    expect(text).toContain("B quicker by");
    expect(text).toContain("feel: B better in 6, A in 0, same in 0 of 6 pairs: clear for B");
    expect(text).toContain("both point to B");
    expect(text).toContain("ratings carry expectation");
    expect(text).toContain("Rider one expected B quicker by 1.5 s");
    expect(text).toContain("B: worth it");
  });
});

describe("the board, blind", () => {
  const text = (summary: Summary): string => {
    const shot = { summary, now: instant(NOW_S), isBlind: true, news: null };
    const lines: readonly Line[] = [
      ...boardHeader(shot, 100, LOOK),
      ...boardTime(shot, 70, LOOK),
      ...boardNext(shot, 26, LOOK),
      ...boardStanding(shot, 100, 30, LOOK),
      boardReason(shot),
    ];
    return lines.map((row) => row.map((span) => span.text).join("")).join("\n");
  };

  it("says what to fit, no more", () => {
    const shown = text(told(decidedDay()));
    expect(shown).toContain("NEXT");
    expect(shown).not.toMatch(GIVEN_AWAY);
    expect(shown).not.toMatch(/2:[01]\d/u);
  });

  it("still says what keeps a rider from being sent", () => {
    const journal = decidedDay();
    const measure = { run: null, rider: "R1", setup: null, key: HEAD_KNOCK_KEY, value: "yes" };
    journal.write(NOW_S, { type: "measure-taken", body: { ...measure, unit: null } });
    const shown = text(told(journal));
    expect(shown).toContain("see a doctor");
    expect(shown).not.toMatch(GIVEN_AWAY);
  });
});

describe("sentences, blind", () => {
  it("give neither times nor the standing away, and say it at the close", () => {
    const journal = aDay({ runs: 8, isByHand: true });
    const tell = createSentenceTeller({ isBlind: true });
    const all = [...tell(told(journal), instant(NOW_S - 600))];
    const before = told(journal);
    ride(journal, 600 + 8 * 300, 132.6, true);
    all.push(...tell(told(journal), instant(NOW_S)));
    all.push(...sentencesBetween(before, told(journal), { isBlind: true }));
    const words = all.join("\n");
    expect(words).toContain("finished run 9 on A No insert");
    expect(words).toContain("next: Rider one on B Insert");
    expect(words).not.toMatch(GIVEN_AWAY);
    expect(words).not.toMatch(/132|2:12|59\.67/u);
    const open = told(journal);
    journal.write(NOW_S, { type: "session-closed", body: {} });
    const closed = told(journal);
    for (const said of [
      tell(closed, instant(NOW_S + 1)),
      sentencesBetween(open, closed, { isBlind: true }),
    ]) {
      expect(said.join("\n")).toContain("B quicker by");
    }
  });
});

describe("a reason while the standing is hidden", () => {
  it("is the day's end, but no other stop", () => {
    const journal = aDay({ runs: 9 });
    const open = told(journal);
    const at = (stop: "decided" | "day-over") => ({
      ...open,
      comparison: { ...open.comparison, next: { ...open.comparison.next, stop } },
    });
    expect(reasonWhileHidden(at("decided"))).toBe("");
    expect(reasonWhileHidden(at("day-over"))).toBe(
      "no run fits into the time left: the day is over",
    );
  });

  it("is a rider's safety", () => {
    const journal = aDay({ runs: 9 });
    const measure = { run: null, rider: "R1", setup: null, key: HEAD_KNOCK_KEY, value: "yes" };
    journal.write(NOW_S, { type: "measure-taken", body: { ...measure, unit: null } });
    expect(reasonWhileHidden(told(journal))).toContain("see a doctor");
  });
});
