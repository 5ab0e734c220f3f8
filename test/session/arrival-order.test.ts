// Whatever order the lines of the boxes come in, and however often the journal is read: the same runs.
import fc from "fast-check";
import { expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { F1, JournalWriter, P1, R1, R2, S1, type SimBox, threeGates } from "./a-journal.ts";

interface Seen {
  readonly box: SimBox;
  readonly atS: number;
  readonly seq: number;
}

const BOXES = { S1, P1, F1 };

/** What the gates saw, each box numbering its own in order of time. */
const seen: fc.Arbitrary<readonly Seen[]> = fc
  .array(
    fc.record({
      box: fc.constantFrom("S1" as const, "P1" as const, "F1" as const),
      atS: fc.integer({ min: 10, max: 1500 }),
    }),
    { maxLength: 30 },
  )
  .map((all) =>
    Object.entries(BOXES).flatMap(([id, box]) =>
      all
        .filter((event) => event.box === id)
        .sort((a, b) => a.atS - b.atS)
        .map(({ atS }, i) => ({ box, atS, seq: i + 1 })),
    ),
  );

/** Runs without what tells of the order of arrival: their names, and that late passings changed them. */
function runsOf(events: readonly Seen[]) {
  const j = new JournalWriter().made(threeGates, [R1, R2]);
  for (const box of [S1, P1, F1]) j.exchanges(box, 1, 1600, 50);
  for (const [i, { box, atS, seq }] of events.entries()) {
    j.event(box, "B", atS, { seq, arrivedS: 1600 + i });
  }
  const session = sessionOf(extendFold(emptyFold(), j.entries));
  expect(session.passings).toHaveLength(events.length);
  expect(sessionOf(extendFold(emptyFold(), j.entries))).toEqual(session);
  const states = session.passings.map((p) => [p.passingId, p.state, p.runId === null]);
  const runs = session.runs.map(({ runId, flags, ...run }) => {
    expect(runId).not.toBe("");
    return { ...run, flags: flags.filter((flag) => !flag.startsWith("match changed")) };
  });
  return { runs, states: states.sort() };
}

it("any order of arrival gives the same runs in the end", () => {
  fc.assert(
    fc.property(
      seen.chain((all) =>
        fc.tuple(fc.constant(all), fc.shuffledSubarray([...all], { minLength: all.length })),
      ),
      ([all, shuffled]) => {
        expect(runsOf(shuffled)).toEqual(runsOf(all));
      },
    ),
    { seed: 7, numRuns: 80 },
  );
});
