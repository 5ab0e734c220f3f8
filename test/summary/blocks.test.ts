// The day cut at marks of the conditions and at gates that were moved.
import { expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { dayBlocks } from "../../src/summary/blocks.ts";
import { handGates, JournalWriter } from "../session/a-journal.ts";

/** Runs by hand at these times, marks in between. */
function day(ride: (j: JournalWriter) => void) {
  const j = new JournalWriter().made(handGates);
  ride(j);
  return dayBlocks(sessionOf(extendFold(emptyFold(), j.entries)));
}

function ride(j: JournalWriter, atS: number): void {
  j.key(0, atS);
  j.key(2, atS + 120);
}

const mark = (j: JournalWriter, atS: number, note: string, isStep = false): number =>
  j.write(atS, { type: "condition-marked", body: { note, isStep } });

it("a mark counts from the next start on, a run on course stays where it began", () => {
  const blocks = day((j) => {
    ride(j, 100);
    j.key(0, 400);
    mark(j, 450, "rain");
    j.key(2, 520);
    ride(j, 700);
    j.write(900, { type: "gate-moved", body: { gate: 2, note: "" } });
    j.write(901, { type: "note-added", body: { run: null, note: "tea" } });
    ride(j, 1000);
    ride(j, 1300);
  });
  expect(blocks.map(({ opened, runs }) => [opened?.kind ?? null, runs.length])).toEqual([
    [null, 2],
    ["conditions", 1],
    ["gate-moved", 2],
  ]);
  expect(blocks[1]?.opened?.text).toBe("rain");
});

it("marks before the first run, after the last, or one upon the other cut nothing more", () => {
  const before = day((j) => {
    mark(j, 50, "wet");
    ride(j, 100);
    mark(j, 300, "dry");
  });
  expect(before).toEqual([]);
  const twice = day((j) => {
    ride(j, 100);
    mark(j, 300, "rain");
    mark(j, 310, "hail");
    ride(j, 400);
  });
  expect(twice.map(({ opened }) => opened?.text ?? null)).toEqual([null, "hail"]);
  expect(
    day((j) => {
      ride(j, 100);
    }),
  ).toEqual([]);
});

it("another day is a block of its own", () => {
  const blocks = day((j) => {
    ride(j, 100);
    mark(j, 300, "rain");
    ride(j, 400);
    j.nextDay(90_000, () => {
      j.made(handGates);
      ride(j, 90_100);
    });
  });
  expect(blocks.map((each) => [each.day, each.opened?.text ?? null])).toEqual([
    [0, null],
    [0, "rain"],
    [1, null],
  ]);
});
