// What must hold for every journal: cuts, prefixes, undo, nonsense.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Entry } from "../../src/journal/entry.ts";
import { emptyFold, extendFold, type Fold, sessionOf } from "../../src/session/fold.ts";
import { heldOf } from "../../src/session/held.ts";
import { loopGates, threeGates } from "./a-journal.ts";
import { decision, journal, steps } from "./any-journal.ts";

const fold = (entries: readonly Entry[]): Fold => extendFold(emptyFold(), entries);
const settings = { seed: 7, numRuns: 150 };

describe("every journal", () => {
  it("folded in any cuts gives the session of folding it at once", () => {
    fc.assert(
      fc.property(
        steps,
        fc.array(fc.integer({ min: 0, max: 200 }), { maxLength: 5 }),
        (of, cuts) => {
          const { entries } = journal(of);
          const places = [0, ...cuts.map((c) => c % (entries.length + 1)), entries.length];
          places.sort((a, b) => a - b);
          let piecewise = emptyFold();
          places.forEach((from, i) => {
            piecewise = extendFold(piecewise, entries.slice(from, places[i + 1] ?? from));
            sessionOf(piecewise);
          });
          expect(sessionOf(piecewise)).toEqual(sessionOf(fold(entries)));
          expect(heldOf(piecewise)).toEqual(heldOf(fold(entries)));
        },
      ),
      settings,
    );
  });

  it("has a valid state at every prefix, which later entries do not change", () => {
    fc.assert(
      fc.property(steps, fc.constantFrom(threeGates, loopGates), (of, gates) => {
        const { entries } = journal(of, gates);
        let growing = emptyFold();
        const folds = entries.map((entry) => {
          growing = extendFold(growing, [entry]);
          return growing;
        });
        sessionOf(growing);
        for (const [i, prefix] of folds.entries()) {
          const session = sessionOf(prefix);
          if (i % 7 === 0) expect(session).toEqual(sessionOf(fold(entries.slice(0, i + 1))));
          expect(session.lastSeq).toBe(i + 1);
          expect(new Set(session.runs.map((r) => r.runId)).size).toBe(session.runs.length);
          for (const run of session.runs) {
            expect(run.sectorS).toHaveLength(Math.max(session.gates.length - 1, 1));
            if (run.status === "ok") expect(run.timeS).toBeGreaterThan(0);
            if (run.status === "on-course" || run.status === "dnf") expect(run.timeS).toBeNull();
          }
        }
      }),
      { ...settings, numRuns: 60 },
    );
  });

  it("growing one fold two ways keeps the two apart", () => {
    fc.assert(
      fc.property(steps, steps, steps, (before, one, other) => {
        const left = journal([...before, ...one]).entries;
        const right = journal([...before, ...other]).entries;
        const shared = journal(before).entries.length;
        const trunk = fold(left.slice(0, shared));
        const a = extendFold(trunk, left.slice(shared));
        sessionOf(a);
        const b = extendFold(trunk, right.slice(shared));
        expect(sessionOf(b)).toEqual(sessionOf(fold(right)));
        expect(sessionOf(a)).toEqual(sessionOf(fold(left)));
        expect(sessionOf(trunk)).toEqual(sessionOf(fold(left.slice(0, shared))));
      }),
      settings,
    );
  });

  it("taking a decision back gives the runs from before it, and bringing it in those after", () => {
    fc.assert(
      fc.property(steps, decision, (of, last) => {
        const j = journal(of);
        const before = sessionOf(fold(j.entries));
        const seq = j.write(5000, last);
        const after = sessionOf(fold(j.entries));
        if (after.undo?.seq !== seq) return;
        const undone = j.undo(5000, seq);
        const back = sessionOf(fold(j.entries));
        expect(back.runs.map(plain)).toEqual(before.runs.map(plain));
        expect(back.mounted).toEqual(before.mounted);
        expect(back.settings).toEqual(before.settings);
        expect(back.redo?.seq).toBe(undone);
        j.undo(5000, undone);
        expect(sessionOf(fold(j.entries)).runs.map(plain)).toEqual(after.runs.map(plain));
      }),
      settings,
    );
  });
});

/** Time goes on between the entries: who is out too long may change. */
function plain<R extends { readonly flags: readonly string[] }>(run: R) {
  return { ...run, flags: run.flags.filter((flag) => !flag.startsWith("DNF?")) };
}
