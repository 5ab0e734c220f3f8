// What counts as an expectation: said before the first run that counts.
import { describe, expect, it } from "vitest";
import type { Measure } from "../../src/domain/happening.ts";
import { EXPECTED_KEY } from "../../src/domain/measure-keys.ts";
import { expectationsOf } from "../../src/summary/expectation.ts";
import { expectationWords } from "../../src/tui/expectation-words.ts";
import type { JournalWriter } from "../session/a-journal.ts";
import { aDay, summaryOf } from "../tui/a-day.ts";

function says(journal: JournalWriter, atS: number, value: number, more: Partial<Measure> = {}) {
  const body = { run: null, rider: "R1", setup: "B", key: EXPECTED_KEY, value, unit: "s" };
  journal.write(atS, { type: "measure-taken", body: { ...body, ...more } });
}

describe("expectations", () => {
  it("are the last word before the first counted run; what comes after is late", () => {
    const journal = aDay({ runs: 0, isByHand: true });
    says(journal, 500, -3);
    says(journal, 510, -1.5);
    says(journal, 520, 1, { setup: null });
    says(journal, 530, 7, { key: "exertion" });
    expect(expectationsOf(summaryOf(journal))).toEqual([
      { rider: "R1", setup: "B", expectedS: -1.5, isLate: false },
    ]);
    journal.key(0, 600);
    journal.key(2, 731);
    says(journal, 740, -2);
    expect(expectationsOf(summaryOf(journal))).toEqual([
      { rider: "R1", setup: "B", expectedS: -1.5, isLate: false },
      { rider: "R1", setup: "B", expectedS: -2, isLate: true },
    ]);
    const [first] = summaryOf(journal).runs;
    journal.mark(741, first?.runId ?? "", "warm-up");
    expect(
      expectationsOf(summaryOf(journal)).map(({ expectedS, isLate }) => [expectedS, isLate]),
    ).toEqual([[-2, false]]);
  });

  it("are late where nobody knows when the first run was", () => {
    const journal = aDay({ runs: 1, isByHand: true });
    says(journal, 100, -1);
    const summary = summaryOf(journal);
    const untimed = summary.runs.map((run) => ({ ...run, startedAt: null }));
    expect(expectationsOf(summary)[0]?.isLate).toBe(false);
    expect(expectationsOf({ ...summary, runs: untimed })[0]?.isLate).toBe(true);
  });
});

describe("their words", () => {
  const wordsAfter = (runs: number, values: readonly number[], isClosed = false): string[] => {
    const journal = aDay({ runs: 0, isByHand: true });
    for (const [i, value] of values.entries()) says(journal, 500 + i, value);
    const before = summaryOf(journal);
    const after = summaryOf(aDay({ runs, isByHand: true }));
    const [rider] = after.comparison.riders;
    if (rider === undefined) throw new RangeError("no rider");
    return [...expectationWords({ ...after, measures: before.measures, isClosed }, rider)];
  };

  it("wait for a verdict or the close of the day", () => {
    expect(wordsAfter(3, [-1.5])).toEqual([]);
    expect(wordsAfter(3, [-1.5], true)).toEqual(["Rider one expected B quicker by 1.5 s"]);
    expect(wordsAfter(8, [-1.5])).toEqual(["Rider one expected B quicker by 1.5 s"]);
  });

  it("say which way, and whether it was too late", () => {
    expect(wordsAfter(3, [0.7], true)).toEqual(["Rider one expected B slower by 0.7 s"]);
    expect(wordsAfter(3, [0], true)).toEqual(["Rider one expected B no quicker and no slower"]);
    const journal = aDay({ runs: 3, isByHand: true });
    says(journal, 2000, -1);
    const summary = { ...summaryOf(journal), isClosed: true };
    const [rider] = summary.comparison.riders;
    expect(rider && expectationWords(summary, rider)).toEqual([
      "Rider one said after run 1: B quicker by 1 s",
    ]);
  });
});
