// When a run is settled: every box has shown a later time and no number of its events is missing.
import { describe, expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { F1, JournalWriter, loopGates, S1, twoGates } from "./a-journal.ts";

function provisional(j: JournalWriter): boolean | undefined {
  return sessionOf(extendFold(emptyFold(), j.entries)).runs[0]?.provisional;
}

/** A run of two minutes, the clocks known long past it. */
function ridden(): JournalWriter {
  const j = new JournalWriter().made(twoGates);
  j.exchanges(S1, 1, 800).exchanges(F1, 1, 800);
  j.heartbeat(S1, 5);
  j.heartbeat(F1, 5);
  j.beam(S1, 300);
  j.beam(F1, 420);
  return j;
}

describe("a run between two boxes", () => {
  it("is provisional until both have shown a later time", () => {
    const j = ridden();
    expect(provisional(j)).toBe(true);
    j.heartbeat(F1, 430, 2);
    // A start of 410 s may still come by a slow radio.
    expect(provisional(j)).toBe(true);
    j.heartbeat(S1, 419, 2);
    expect(provisional(j)).toBe(true);
    j.heartbeat(S1, 421, 2);
    expect(provisional(j)).toBe(false);
  });

  it("stays so while the start box has an event that has not come, and no longer once it is lost", () => {
    const j = ridden();
    j.heartbeat(F1, 430, 2);
    j.heartbeat(S1, 430, 3);
    expect(provisional(j)).toBe(true);
    j.line(440, { type: "gone", box: "S1", boot: S1.boot, fromSeq: 2, toSeq: 2 });
    expect(provisional(j)).toBe(false);
  });

  it("is settled by the event that was missing", () => {
    const j = ridden();
    j.heartbeat(F1, 430, 2);
    j.event(S1, "B", 440, { seq: 3 });
    j.heartbeat(S1, 450, 4);
    expect(provisional(j)).toBe(true);
    j.event(S1, "C", 300.3, { seq: 2, arrivedS: 451 });
    expect(provisional(j)).toBe(false);
  });

  it("asks only the newest boot: what an earlier one did not send is lost", () => {
    const j = ridden();
    j.heartbeat(F1, 430, 2);
    j.heartbeat(S1, 425, 9);
    expect(provisional(j)).toBe(true);
    const again = { ...S1, boot: 19, aheadS: -440 };
    j.exchanges(again, 445, 500);
    j.heartbeat(again, 446);
    expect(provisional(j)).toBe(false);
  });

  it("does not wait for ever over a box that claims millions of events", () => {
    const j = ridden();
    j.heartbeat(F1, 430, 2);
    j.line(440, { type: "gone", box: "S1", boot: S1.boot, fromSeq: 1, toSeq: 9_999_998 });
    j.heartbeat(S1, 450, 9_999_999);
    expect(provisional(j)).toBe(false);
  });
});

it("a run through one box is settled by its own finish", () => {
  const j = new JournalWriter().made(loopGates);
  j.heartbeat(S1, 5);
  j.beam(S1, 10);
  j.beam(S1, 130);
  expect(provisional(j)).toBe(false);
});
