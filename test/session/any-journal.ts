// Journals with anything in them that may stand there, for the properties of session and app.
import fc from "fast-check";
import type { Body, Content, EntryType } from "../../src/journal/content.ts";
import { F1, JournalWriter, P1, R1, R2, S1, threeGates } from "./a-journal.ts";

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

export const decision: fc.Arbitrary<Content> = fc.oneof(
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
  says("condition-marked", fc.record({ note: fc.constant("rain"), isStep: fc.boolean() })),
  says("gate-moved", fc.record({ gate: fc.integer({ min: 0, max: 3 }), note: fc.constant("") })),
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

export type Step = { readonly afterS: number; readonly do: Content | "S1" | "P1" | "F1" | "boot" };

export const steps: fc.Arbitrary<readonly Step[]> = fc.array(
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

/** @param j - what the journal begins with; it is written on */
export function journal(
  of: readonly Step[],
  gates = threeGates,
  j = new JournalWriter(),
): JournalWriter {
  j.made(gates, [R1, R2]);
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
