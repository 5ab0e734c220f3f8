// The ground of each run: how many steps were marked that day before its start.
import { describe, expect, it } from "vitest";
import type { Content } from "../../src/journal/content.ts";
import { parseContent } from "../../src/journal/entry.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import { handGates, JournalWriter } from "./a-journal.ts";

const session = (j: JournalWriter): Session => sessionOf(extendFold(emptyFold(), j.entries));
const groundsOf = (j: JournalWriter): readonly number[] => session(j).runs.map((run) => run.ground);

const rain: Content = { type: "condition-marked", body: { note: "rain", isStep: true } };
const sun: Content = { type: "condition-marked", body: { note: "sun", isStep: false } };
const aimed: Content = { type: "gate-moved", body: { gate: 2, note: "re-aimed" } };

/** Runs by hand, 100 s each, started at these instants. */
function byHand(j: JournalWriter, ...startsS: readonly number[]): void {
  for (const atS of startsS) {
    j.key(0, atS);
    j.key(2, atS + 100);
  }
}

function imported(...times: readonly number[]): Content {
  const rows = times.map((timeS) => ({
    rider: "R1",
    setup: "A",
    status: "ok" as const,
    timeS,
    sectorS: [],
    startedAtUs: null,
    uncertaintyS: null,
    reason: null,
  }));
  return { type: "times-imported", body: { file: "times.csv", rows } };
}

describe("the ground of a run", () => {
  it("counts the steps before its start: one on course keeps the one it started on", () => {
    const j = new JournalWriter().made(handGates);
    byHand(j, 100);
    j.key(0, 300);
    j.write(350, rain);
    j.key(2, 400);
    byHand(j, 500);
    j.write(650, aimed);
    expect(session(j)).toMatchObject({ ground: 2 });
    byHand(j, 700);
    expect(groundsOf(j)).toEqual([0, 0, 1, 2]);
  });

  it("is not changed by conditions that are only noted", () => {
    const j = new JournalWriter().made(handGates);
    byHand(j, 100);
    j.write(250, sun);
    byHand(j, 300);
    expect(groundsOf(j)).toEqual([0, 0]);
    expect(session(j).ground).toBe(0);
  });

  it("forgets a mark that was taken back, and knows it again once that is", () => {
    const j = new JournalWriter().made(handGates);
    byHand(j, 100);
    const mark = j.write(250, rain);
    byHand(j, 300);
    const undo = j.write(450, { type: "entry-undone", body: { seq: mark } });
    expect([groundsOf(j), session(j).ground]).toEqual([[0, 0], 0]);
    j.write(460, { type: "entry-undone", body: { seq: undo } });
    expect([groundsOf(j), session(j).ground]).toEqual([[0, 1], 1]);
  });

  it("begins at 0 each day of a merged session", () => {
    const j = new JournalWriter().made(handGates);
    byHand(j, 100);
    j.write(250, rain);
    byHand(j, 300);
    j.nextDay(90_000, () => {
      j.made(handGates);
      byHand(j, 90_100);
      j.write(90_250, aimed);
      j.write(90_251, rain);
      byHand(j, 90_300);
    });
    expect(groundsOf(j)).toEqual([0, 1, 0, 2]);
    expect(session(j).ground).toBe(2);
    j.write(91_000, rain);
    expect([groundsOf(j), session(j).ground]).toEqual([[0, 1, 0, 2], 3]);
  });

  it("of imported rows goes by the order of the journal", () => {
    const j = new JournalWriter().made(handGates);
    j.write(100, imported(60, 61));
    j.write(200, rain);
    j.write(300, imported(63));
    expect(groundsOf(j)).toEqual([0, 0, 1]);
  });
});

it("older marks of the conditions read as no step", () => {
  expect(parseContent("condition-marked", 1, { note: "rain" })).toEqual({
    ok: true,
    value: { type: "condition-marked", body: { note: "rain", isStep: false } },
  });
});
