// Who is asked before a time is shown, for how long, and who is not.
import { describe, expect, it } from "vitest";
import { askedFirst, isTimeHidden, ridersAsked } from "../../src/summary/asked-first.ts";
import type { Summary } from "../../src/summary/summary.ts";
import type { JournalWriter } from "../session/a-journal.ts";
import { aDay, instant, ride, summaryOf } from "../tui/a-day.ts";

const ASPECTS = ["grip", "comfort"];
const START_S = 1200;
const FINISH_S = 1330;

/** Two runs on a day that asks; the second finishes at 1330 s. */
function asking(aspects = ASPECTS): JournalWriter {
  const journal = aDay({ runs: 1, isByHand: true, given: { aspects } });
  ride(journal, START_S, FINISH_S - START_S, true);
  return journal;
}

function lastId(journal: JournalWriter): string {
  return summaryOf(journal).runs.at(-1)?.runId ?? "none";
}

function rate(journal: JournalWriter, atS: number, run: string, aspect: string): void {
  journal.write(atS, { type: "rating-given", body: { run, aspect, score: 7 } });
}

const askedAt = (summary: Summary, atS: number): string | undefined =>
  askedFirst(summary, instant(atS))?.runId;

describe("the question before the time", () => {
  it("stands from the finish until every aspect is rated, or a minute is over", () => {
    const journal = asking();
    const run = lastId(journal);
    const summary = summaryOf(journal);
    expect(askedAt(summary, FINISH_S + 1)).toBe(run);
    expect(isTimeHidden(summary, instant(FINISH_S + 1), run)).toBe(true);
    expect(askedAt(summary, FINISH_S + 59)).toBe(run);
    expect(askedAt(summary, FINISH_S + 61)).toBeUndefined();
    rate(journal, FINISH_S + 5, run, "grip");
    expect(askedAt(summaryOf(journal), FINISH_S + 6)).toBe(run);
    rate(journal, FINISH_S + 7, run, "comfort");
    expect(askedAt(summaryOf(journal), FINISH_S + 8)).toBeUndefined();
  });

  it("is not asked where the sheet names no aspects, nor in a closed session", () => {
    expect(askedAt(summaryOf(asking([])), FINISH_S + 1)).toBeUndefined();
    const journal = asking();
    journal.write(FINISH_S + 1, { type: "session-closed", body: {} });
    expect(askedAt(summaryOf(journal), FINISH_S + 2)).toBeUndefined();
  });

  it.each(["void", "dnf", "warm-up"] as const)("is not asked of a run that is %s", (mark) => {
    const journal = asking();
    journal.mark(FINISH_S + 1, lastId(journal), mark);
    expect(askedAt(summaryOf(journal), FINISH_S + 2)).toBeUndefined();
  });

  it("is asked in the order of the finishes, and hides each time until its own answers", () => {
    const journal = asking();
    const first = lastId(journal);
    ride(journal, FINISH_S + 2, 40 + 66, true);
    const summary = summaryOf(journal);
    const [, second, third] = summary.runs.map((run) =>
      run.runId === first ? { ...run, finishedAt: instant(FINISH_S + 90) } : run,
    );
    if (second === undefined || third === undefined) throw new RangeError("three runs expected");
    const both = { ...summary, runs: [{ ...third, rider: "R2" }, second] };
    const now = instant(FINISH_S + 120);
    expect(askedFirst(both, now)?.runId).toBe(first);
    expect(isTimeHidden(both, now, third.runId)).toBe(true);
    expect([...ridersAsked(both, now)]).toEqual(["R1", "R2"]);
    expect(isTimeHidden(both, now, "none")).toBe(false);
  });
});
