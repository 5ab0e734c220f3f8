// What must hold for every journal: cuts, prefixes, undo, nonsense.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Body, Content, EntryType } from "../../src/journal/content.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { emptyFold, extendFold, type Fold, sessionOf } from "../../src/session/fold.ts";
import { heldOf } from "../../src/session/held.ts";
import { F1, JournalWriter, loopGates, P1, R1, R2, S1, threeGates } from "./a-journal.ts";

const fold = (entries: readonly Entry[]): Fold => extendFold(emptyFold(), entries);
const settings = { seed: 7, numRuns: 150 };

const runIds = fc.constantFrom("4", "5", "6", "7", "8", "9", "10", "12", "15.1", "999");
const passings = fc.constantFrom(
  ...["S1:0012:1", "S1:0012:2", "F1:0007:1", "S1:0012:2@2", "hand:9", "hand:14", "?", "?@99"],
);
const riders = fc.constantFrom("R1", "R2", "nobody");
const setups = fc.constantFrom("A", "B", "nothing");
const seqs = fc.integer({ min: 1, max: 40 });

/** Decisions, most of which make sense somewhere. */
function says<T extends EntryType>(type: T, body: fc.Arbitrary<Body<T>>): fc.Arbitrary<Content> {
  // Type and body belong together by their parameter, which the union can't see.
  return body.map((made) => ({ type, body: made }) as Content);
}

const decision: fc.Arbitrary<Content> = fc.oneof(
  says(
    "run-marked",
    fc.record({
      run: runIds,
      mark: fc.constantFrom("warm-up" as const, "ok" as const, "void" as const, "dnf" as const),
      sectors: fc.constantFrom<number[]>([], [], [1], [2], [1, 2], [9]),
      reason: fc.constantFrom(null, "walker"),
    }),
  ),
  says(
    "passing-assigned",
    fc.record({
      passing: fc.option(passings),
      rider: fc.option(riders),
      run: fc.option(runIds),
    }),
  ),
  says("passing-rejected", fc.record({ passing: passings, reason: fc.constant(null) })),
  says("passing-promoted", fc.record({ passing: passings })),
  says("runs-joined", fc.record({ start: passings, finish: passings })),
  says("run-split", fc.record({ run: runIds })),
  says(
    "setup-swapped",
    fc.record({
      rider: riders,
      setup: setups,
      minutes: fc.constant(null),
      checked: fc.boolean(),
    }),
  ),
  says("setup-corrected", fc.record({ run: runIds, setup: setups })),
  says("rider-corrected", fc.record({ run: runIds, rider: riders })),
  says(
    "passing-keyed",
    fc.record({
      gate: fc.integer({ min: 0, max: 4 }),
      keyedMonoUs: fc.option(fc.integer({ min: 0, max: 3_000_000_000 })),
      typedAtUs: fc.constant(null),
      rider: fc.option(riders),
      uncertaintyS: fc.constant(0.2),
    }),
  ),
  says(
    "times-imported",
    fc.record({
      file: fc.constant("t.csv"),
      rows: fc.array(
        fc.record({
          rider: riders,
          setup: setups,
          status: fc.constantFrom("ok" as const, "warm-up" as const, "dnf" as const),
          timeS: fc.option(fc.double({ min: 50, max: 200, noNaN: true })),
          uncertaintyS: fc.constant(null),
          sectorS: fc.constant([]),
          startedAtUs: fc.constant(null),
          reason: fc.constant(null),
        }),
        { maxLength: 3 },
      ),
    }),
  ),
  says("settings-changed", fc.record({ marginS: fc.constantFrom(null, 0.5, 1) })),
  says("plan-end-announced", fc.record({ rider: riders, endRun: fc.integer({ min: 1, max: 20 }) })),
  says(
    "plan-fixed",
    fc.record({
      setups: fc.constant(["A", "B"]),
      riders: fc.constant([{ rider: "R1", plannedRuns: 12, order: ["B"], nuN: null, z2N: {} }]),
      seed: fc.integer(),
    }),
  ),
  says("entry-undone", fc.record({ seq: seqs })),
  says(
    "line-received",
    fc.record({
      port: fc.constant("/dev/x"),
      raw: fc.string({ maxLength: 80 }),
      decoded: fc.constant(null),
      fault: fc.option(fc.string()),
    }),
  ),
  fc.constant<Content>({ type: "session-closed", body: {} }),
  fc.constant<Content>({ type: "course-held", body: { reason: "walker" } }),
  fc.constant<Content>({ type: "recorder-stopped", body: { reason: "test" } }),
  says(
    "session-merged",
    fc.record({
      day: fc.constantFrom(1, 1, 2),
      name: fc.constant(""),
      date: fc.constant("2026-05-10"),
      host: fc.constant("laptop-1"),
      entries: fc.integer({ min: 0, max: 20 }),
    }),
  ),
);

type Step = { readonly afterS: number; readonly do: Content | "S1" | "P1" | "F1" | "boot" };

const steps: fc.Arbitrary<readonly Step[]> = fc.array(
  fc.record({
    afterS: fc.integer({ min: 0, max: 90 }),
    do: fc.oneof(
      { weight: 2, arbitrary: fc.constantFrom("S1" as const, "P1" as const, "F1" as const) },
      { weight: 1, arbitrary: fc.constant("boot" as const) },
      { weight: 3, arbitrary: decision },
    ),
  }),
  { maxLength: 40 },
);

function journal(of: readonly Step[], gates = threeGates): JournalWriter {
  const j = new JournalWriter().made(gates, [R1, R2]);
  let at = 10;
  let boot = 18;
  for (const step of of) {
    at += step.afterS;
    const start = { ...S1, boot };
    if (step.do === "S1") j.bike(start, at);
    else if (step.do === "P1") j.bike(P1, at);
    else if (step.do === "F1") j.bike(F1, at);
    else if (step.do === "boot") {
      boot += 1;
      j.exchanges({ ...S1, boot }, at, at + 2, 1);
    } else j.write(at, step.do);
    j.exchanges(F1, at, at);
  }
  return j;
}

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
