// Whatever was ridden, every remark is a sentence: nothing throws, and no figure is none.
import fc from "fast-check";
import { expect, it } from "vitest";
import type { RunStatus } from "../../../src/domain/run.ts";
import { remarksOn } from "../../../src/summary/remarks/remarks.ts";
import type { MadeRun } from "../../stats/made-session.ts";
import { basisOf } from "./basis-of.ts";

const STATUSES: readonly RunStatus[] = ["ok", "ok", "ok", "ok", "void", "dnf", "warm-up", "unsure"];

const run = fc
  .record({
    setup: fc.constantFrom("A", "B", "C"),
    rider: fc.constantFrom("R1", "R2", "R3"),
    day: fc.constantFrom(0, 0, 0, 1),
    ground: fc.constantFrom(0, 0, 1, 2),
    status: fc.constantFrom(...STATUSES),
    first: fc.constantFrom(30, 30.2, 31, 29.5, 44),
    second: fc.constantFrom(28, 28.3, 27, 29),
    voidSectors: fc.constantFrom([], [], [], [1], [2]),
  })
  .map(({ first, second, ...rest }): MadeRun => {
    const timeS = rest.status === "dnf" ? null : first + second;
    return { ...rest, timeS, sectorS: [first, second] };
  });

it("any runs give whole sentences", () => {
  fc.assert(
    fc.property(
      fc.array(run, { maxLength: 40 }),
      fc.constantFrom("none", "linear", "learning"),
      fc.constantFrom("each", "common"),
      fc.constantFrom(null, 8, 14),
      fc.boolean(),
      fc.integer({ min: 1, max: 3 }),
      (runs, drift, spreads, plannedRuns, isClosed, many) => {
        const riders = ["R1", "R2", "R3"].slice(0, many);
        const basis = basisOf(
          {
            runs: runs
              .filter((each) => riders.includes(each.rider ?? ""))
              .toSorted((a, b) => (a.day ?? 0) - (b.day ?? 0)),
            riders,
            setups: ["A", "B", "C"],
            newTo: { R1: ["B"], R2: ["A"] },
            sectors: ["Roots", "Gully"],
            settings: { drift, spreads, plannedRuns, days: 2, marginS: 1 },
            isClosed,
          },
          {
            A: { values: { rear_insert: "none" }, weightKg: 14 },
            B: { values: { rear_insert: "none" }, weightKg: 14, worthS: 1.5, price: 3 },
          },
        );
        for (const remark of remarksOn(basis)) {
          expect(remark.text).not.toMatch(/NaN|Infinity|undefined|null/);
          expect(remark.text).toMatch(/^\S.*[^\s.]$/);
        }
      },
    ),
    { seed: 17, numRuns: 150 },
  );
});
