// How many runs people have mended.
import { expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { touchedByHand } from "../../src/session/touched-by-hand.ts";
import { F1, handGates, JournalWriter, S1, twoGates } from "./a-journal.ts";

const touched = (j: JournalWriter) => touchedByHand(sessionOf(extendFold(emptyFold(), j.entries)));

it("a start keyed where a box stands is a mending, until it is taken back", () => {
  const j = new JournalWriter().made(twoGates).exchanges(S1, 1, 600).exchanges(F1, 1, 600);
  j.bike(S1, 10);
  j.bike(F1, 140);
  j.bike(F1, 440);
  expect(touched(j)).toEqual([]);
  const keyed = j.key(0, 310);
  expect(touched(j)).toEqual([String(keyed)]);
  j.undo(500, keyed);
  expect(touched(j)).toEqual([]);
});

it("timing by hand and warm-ups are no mending; a passing taken for a bike is", () => {
  const byHand = new JournalWriter().made(handGates);
  const run = byHand.key(0, 10);
  byHand.key(2, 140);
  byHand.mark(200, run, "warm-up");
  expect(touched(byHand)).toEqual([]);
  const j = new JournalWriter().made(twoGates).exchanges(S1, 1, 600).exchanges(F1, 1, 600);
  const start = j.bike(S1, 10, 2.4, 1);
  j.bike(F1, 140);
  j.write(200, { type: "passing-promoted", body: { passing: "S1:0012:1" } });
  expect(touched(j)).toEqual([String(start)]);
});
