// What the console asks beside the clock: which lists follow each other, and what is written.
import { describe, expect, it } from "vitest";
import type { Run } from "../../../src/domain/run.ts";
import type { ConsoleState } from "../../../src/tui/console/console-state.ts";
import type { Desk } from "../../../src/tui/console/desk.ts";
import { askExertion, askExpectation } from "../../../src/tui/console/feel-acts.ts";
import { rateFeel } from "../../../src/tui/console/run-acts.ts";
import type { JournalWriter } from "../../session/a-journal.ts";
import { aDay, summaryOf } from "../a-day.ts";
import { recordActs } from "../recorded-acts.ts";

interface DeskUnderTest {
  readonly desk: Desk;
  readonly calls: string[];
  readonly title: () => string | undefined;
  readonly labels: () => readonly string[];
  /** Takes the line of the list that starts so. */
  readonly take: (start: string) => void;
  /** Types a text and accepts it; what is complained of, or null. */
  readonly enter: (text: string) => string | null | undefined;
}

function aDesk(journal: JournalWriter, answer: { ok: boolean } = { ok: true }): DeskUnderTest {
  const { acts, calls } = recordActs(answer);
  let pick: { title: string; items: NonNullable<ConsoleState["pick"]>["items"] } | undefined;
  let accept: ((text: string) => string | null) | undefined;
  const unused = (): never => {
    throw new RangeError("not asked for here");
  };
  const desk: Desk = {
    acts,
    summary: () => summaryOf(journal),
    status: unused,
    state: unused,
    change: unused,
    say: () => undefined,
    refuse: (text) => calls.push(`refused: ${text}`),
    pick: (title, items) => {
      pick = { title, items };
    },
    type: (_, taken) => {
      accept = taken;
    },
    ask: unused,
    selectedRow: unused,
    now: unused,
    quit: unused,
  };
  return {
    desk,
    calls,
    title: () => pick?.title,
    labels: () => pick?.items.map((item) => item.label) ?? [],
    take(start) {
      const item = pick?.items.find((each) => each.label.startsWith(start));
      if (item === undefined) throw new RangeError(`no line "${start}" in "${pick?.title ?? ""}"`);
      pick = undefined;
      item.take({ digit: null, keyedAt: 0 as Parameters<typeof item.take>[0]["keyedAt"] });
    },
    enter: (text) => accept?.(text),
  };
}

function lastRun(journal: JournalWriter): Run {
  const run = summaryOf(journal).runs.at(-1);
  if (run === undefined) throw new RangeError("no run");
  return run;
}

const asking = (runs: number): JournalWriter =>
  aDay({ runs, isByHand: true, given: { aspects: ["grip", "comfort"] } });

describe("how it was", () => {
  it("asks for the run, then for each aspect, and writes the answers", () => {
    const journal = asking(2);
    const run = lastRun(journal);
    const under = aDesk(journal);
    rateFeel(under.desk, run);
    expect(under.title()).toBe("How was run 2 of Rider one?");
    under.take("clean");
    expect(under.title()).toBe("grip in run 2 of Rider one?");
    expect(under.labels()).toHaveLength(10);
    expect(under.labels()[0]).toBe("1  worst");
    under.take("7");
    expect(under.title()).toBe("comfort in run 2 of Rider one?");
    under.take("10  best");
    expect(under.title()).toBeUndefined();
    expect(under.calls).toEqual([
      `rateFeel ${run.runId} grip 7`,
      `rateFeel ${run.runId} comfort 10`,
    ]);
  });

  it.each([
    ["small mistake", ["noteIncident RUN mistake null"]],
    ["big mistake", ["noteIncident RUN mistake null", "addNote big mistake RUN"]],
    ["held up", ["noteIncident RUN held-up null"]],
  ])("notes a %s and goes on", (answer, written) => {
    const journal = asking(1);
    const run = lastRun(journal);
    const under = aDesk(journal);
    rateFeel(under.desk, run);
    under.take(answer);
    expect(under.calls).toEqual(written.map((call) => call.replace("RUN", run.runId)));
    expect(under.title()).toContain("grip");
  });

  it("strikes a run with a problem out and asks why, without rating it", () => {
    const journal = asking(1);
    const run = lastRun(journal);
    const under = aDesk(journal);
    rateFeel(under.desk, run);
    under.take("problem");
    expect(under.calls).toEqual([`voidRun ${run.runId} null []`]);
    expect(under.title()).toBe("Void: run 1 of Rider one. Why?");
  });

  it("goes on where the answers end, and asks for all of it again once they are complete", () => {
    const journal = asking(1);
    const run = lastRun(journal);
    const rate = (aspect: string): void => {
      journal.write(2000, { type: "rating-given", body: { run: run.runId, aspect, score: 5 } });
    };
    rate("grip");
    const under = aDesk(journal);
    rateFeel(under.desk, run);
    expect(under.title()).toBe("comfort in run 1 of Rider one?");
    rate("comfort");
    rateFeel(under.desk, run);
    expect(under.title()).toBe("How was run 1 of Rider one?");
  });

  it("stops at a rating that is refused", () => {
    const journal = asking(1);
    const under = aDesk(journal, { ok: false });
    rateFeel(under.desk, lastRun(journal));
    under.take("clean");
    under.take("3");
    expect(under.title()).toBeUndefined();
    expect(under.calls).toHaveLength(1);
  });

  it("asks only how it felt where the sheet names no aspects", () => {
    const journal = aDay({ runs: 1, isByHand: true });
    const run = lastRun(journal);
    const under = aDesk(journal);
    rateFeel(under.desk, run);
    under.take("9  very good");
    expect(under.calls).toEqual([`rateFeel ${run.runId} feel 9`]);
    expect(under.title()).toBeUndefined();
  });
});

describe("exertion", () => {
  it("is 0 to 10, and a line's number is the figure", () => {
    const journal = aDay({ runs: 1, isByHand: true });
    const under = aDesk(journal);
    const run = lastRun(journal);
    askExertion(under.desk, run);
    for (const [i, label] of under.labels().slice(0, 10).entries()) {
      expect(label.split(" ")[0]).toBe(String(i + 1));
    }
    under.take("0  nothing at all");
    const { runId } = run;
    const measure = { runId, rider: "R1", setup: "A", key: "exertion", value: 0, unit: null };
    expect(under.calls).toEqual([`takeMeasure ${JSON.stringify(measure)}`]);
  });
});

describe("an expectation", () => {
  const measure = (rider: string, value: number): string =>
    `takeMeasure ${JSON.stringify({ runId: null, rider, setup: "B", key: "expected_s", value, unit: "s" })}`;

  it("is a set-up, a way and seconds; below nought quicker", () => {
    const under = aDesk(aDay({ runs: 0, isByHand: true }));
    askExpectation(under.desk);
    expect(under.title()).toBe("What does Rider one expect of B?");
    under.take("B quicker than A");
    expect(under.enter("-1")).toBe("seconds above nought, like 1.5");
    expect(under.enter("")).toBe("seconds above nought, like 1.5");
    expect(under.enter("1,5")).toBeNull();
    askExpectation(under.desk);
    under.take("B slower than A");
    expect(under.enter("0.4")).toBeNull();
    askExpectation(under.desk);
    under.take("no difference");
    expect(under.calls).toEqual([measure("R1", -1.5), measure("R1", 0.4), measure("R1", 0)]);
  });

  it("is asked of one of several riders; no idea writes nothing", () => {
    const under = aDesk(aDay({ runs: 0, isByHand: true, riders: 2 }));
    askExpectation(under.desk);
    under.take("Rider two");
    under.take("no idea");
    expect(under.calls).toEqual([]);
    askExpectation(under.desk);
    under.take("Rider two");
    under.take("no difference");
    expect(under.calls).toEqual([measure("R2", 0)]);
  });

  it("is about one of several set-ups, the rider's own", () => {
    const journal = aDay({ runs: 0, isByHand: true });
    const body = { values: {}, worthS: null, price: null, weightKg: null, baseline: false };
    journal.write(500, { type: "setup-added", body: { ...body, id: "C", name: "Other" } });
    const under = aDesk(journal);
    askExpectation(under.desk);
    expect(under.title()).toBe("Which set-up?");
    expect(under.labels().map((label) => label[0])).toEqual(["B", "C"]);
    under.take("C");
    expect(under.title()).toBe("What does Rider one expect of C?");
  });
});
