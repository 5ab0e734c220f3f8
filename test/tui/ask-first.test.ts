// While a rider is asked how a run was, no screen and no sentence has its time or what follows from it.
import { describe, expect, it } from "vitest";
import { askedFirst, ridersAsked } from "../../src/summary/asked-first.ts";
import type { Summary } from "../../src/summary/summary.ts";
import {
  boardReason,
  boardStanding,
  boardTime,
  NEXT_COLUMNS,
  TOP_ROWS,
} from "../../src/tui/board/board-lines.ts";
import { comparisonLines } from "../../src/tui/console/comparison-lines.ts";
import { comparisonPage } from "../../src/tui/console/comparison-page.ts";
import { firstState } from "../../src/tui/console/console-state.ts";
import { lastTimeLines } from "../../src/tui/console/last-time-lines.ts";
import { type Line, lineWidth } from "../../src/tui/line.ts";
import { lookOf } from "../../src/tui/look.ts";
import { createSentenceTeller } from "../../src/tui/plain/sentences.ts";
import type { JournalWriter } from "../session/a-journal.ts";
import { aDay, instant, ride, summaryOf } from "./a-day.ts";
import { aStatus } from "./console/a-console.tsx";

const LOOK = lookOf("none", true);
const ASPECTS = ["grip", "comfort"];
const START_S = 600 + 8 * 300;
const TIME_S = 127.654;
const FINISH_S = START_S + TIME_S;

/** Nine runs; the ninth, on A, has just finished. */
function finished(riders: 1 | 2 = 1): JournalWriter {
  const journal = aDay({ runs: 8, isByHand: true, riders, given: { aspects: ASPECTS } });
  ride(journal, START_S, TIME_S, true);
  return journal;
}

function answered(journal: JournalWriter): JournalWriter {
  const run = summaryOf(journal).runs.at(-1)?.runId ?? "";
  for (const aspect of ASPECTS) {
    journal.write(FINISH_S + 5, { type: "rating-given", body: { run, aspect, score: 7 } });
  }
  return journal;
}

function text(lines: readonly Line[]): string {
  return lines
    .map((row) =>
      row
        .map((span) => span.text)
        .join("")
        .trimEnd(),
    )
    .join("\n");
}

function consoleText(summary: Summary, atS: number): string {
  const now = instant(atS);
  const asked = ridersAsked(summary, now);
  const shot = { summary, now, status: aStatus, state: firstState("none"), news: null };
  return [
    lastTimeLines(summary, 49, 6, 5, LOOK, askedFirst(summary, now)),
    comparisonLines(summary, "R1", 47, 30, LOOK, asked),
    comparisonPage(shot, 100, LOOK),
  ]
    .map(text)
    .join("\n");
}

function boardText(summary: Summary, atS: number): string {
  const shot = { summary, now: instant(atS), isBlind: false, news: null };
  const width = 76 - NEXT_COLUMNS - 3;
  return [boardTime(shot, width, LOOK), boardStanding(shot, 76, 20, LOOK), [boardReason(shot)]]
    .map(text)
    .join("\n");
}

const STANDING = /quicker|slower|between|can't tell|decided|\+-/u;

describe("the console", () => {
  it("asks in place of the time, and shows the comparison after the answers", () => {
    const summary = summaryOf(finished());
    const shown = consoleText(summary, FINISH_S + 2);
    expect(shown).toContain("LAST TIME  run 9  Rider one");
    expect(shown).toContain("how was it? y: answer before the time");
    expect(shown).toContain("grip, comfort");
    expect(shown.match(/after the answers/gu)).toHaveLength(2);
    expect(shown).not.toMatch(STANDING);
    const after = consoleText(summaryOf(answered(finished())), FINISH_S + 6);
    expect(after).not.toContain("how was it?");
    expect(after).toMatch(STANDING);
    expect(consoleText(summary, FINISH_S + 61)).toMatch(STANDING);
  });

  it("goes on showing the others' comparison, but nothing of all together", () => {
    const summary = summaryOf(finished(2));
    const asked = new Set(["R2"]);
    const shown = (riders: ReadonlySet<string>): string =>
      text(comparisonLines(summary, "R1", 60, 40, LOOK, riders));
    expect(shown(asked)).toContain("counted runs");
    expect(shown(asked)).not.toContain("all riders");
    expect(shown(new Set())).toContain("all riders");
  });
});

describe("the board", () => {
  it("asks, large, in place of the time; no standing, no reason", () => {
    const summary = summaryOf(finished());
    const shown = boardText(summary, FINISH_S + 2);
    expect(shown).toContain("HOW WAS IT?  run 9  Rider one");
    expect(shown).toContain("grip, comfort: tell the operator");
    expect(shown).toContain("after the answers");
    expect(shown).not.toMatch(STANDING);
    expect(boardText(summary, FINISH_S + 61)).toMatch(STANDING);
  });

  it("has room for the question on the smallest screen", () => {
    const shot = {
      summary: summaryOf(finished()),
      now: instant(FINISH_S + 2),
      isBlind: true,
      news: null,
    };
    const lines = boardTime(shot, 76 - NEXT_COLUMNS - 3, LOOK);
    expect(lines).toHaveLength(TOP_ROWS);
    for (const each of lines) expect(lineWidth(each)).toBeLessThanOrEqual(76 - NEXT_COLUMNS - 3);
    expect(text(lines).match(/##/gu)?.length).toBeGreaterThan(40);
  });
});

describe("sentences", () => {
  const journal = aDay({ runs: 8, isByHand: true, given: { aspects: ASPECTS } });
  const told = (isAnswered: boolean): readonly (readonly string[])[] => {
    const tell = createSentenceTeller({});
    const before = tell(summaryOf(journal), instant(START_S - 1));
    expect(before.join("\n")).toMatch(STANDING);
    const after = finished();
    const asked = tell(summaryOf(after), instant(FINISH_S + 1));
    const still = tell(summaryOf(after), instant(FINISH_S + 2));
    const answers = isAnswered ? summaryOf(answered(after)) : summaryOf(after);
    const shown = tell(answers, instant(FINISH_S + (isAnswered ? 6 : 61)));
    const later = tell(answers, instant(FINISH_S + 70));
    return [asked, still, shown, later];
  };

  it.each([true, false])("say the time after the answers (%s) or a minute", (isAnswered) => {
    const [asked, still, shown, later] = told(isAnswered);
    const words = asked?.join("\n") ?? "";
    expect(words).toMatch(/Rider one finished run 9 on A No insert, by hand/u);
    expect(words).toContain("Rider one, how was it? grip, comfort: tell the operator");
    expect(words).not.toMatch(STANDING);
    expect(words).not.toMatch(/2:07/u);
    expect(still).toEqual([]);
    expect(shown?.[0]).toBe("run 9 of Rider one: 2:07.7");
    expect(shown?.join("\n")).toMatch(STANDING);
    expect(later).toEqual([]);
  });

  it("say a time at once where nothing is asked", () => {
    const tell = createSentenceTeller({});
    const plain = aDay({ runs: 8, isByHand: true });
    tell(summaryOf(plain), instant(START_S - 1));
    ride(plain, START_S, TIME_S, true);
    expect(tell(summaryOf(plain), instant(FINISH_S + 1)).join("\n")).toContain("2:07.7, by hand");
  });
});
