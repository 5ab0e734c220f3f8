// What a run's uncertainty is made of. Figures for two boxes at 8 and 3 m/s are worked out by hand from
// JCGM 100:2008, 5.1.2; they are not of another program.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sessionUs } from "../../src/domain/time.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { gatePartsOf } from "../../src/session/gate-parts.ts";
import { travel } from "../../src/session/travel.ts";
import { budgetLines } from "../../src/summary/budget-lines.ts";
import { summarise } from "../../src/summary/summary.ts";
import {
  differenceUncertainty,
  type TimeBudget,
  timeBudget,
} from "../../src/summary/time-budget.ts";
import {
  F1,
  handGates,
  JournalWriter,
  loopGates,
  S1,
  threeGates,
  twoGates,
} from "../session/a-journal.ts";
import { journal, steps } from "../session/any-journal.ts";

const summaryOf = (j: { readonly entries: JournalWriter["entries"] }) =>
  summarise(sessionOf(extendFold(emptyFold(), j.entries)));

function budget(j: JournalWriter, nth = 0): TimeBudget {
  const summary = summaryOf(j);
  const found = timeBudget(summary, summary.runs[nth]?.runId ?? "");
  if (found === null) throw new Error("no budget");
  return found;
}

/** Two boxes whose clocks are known to 0.177 ms each: 0.25 ms together. */
function twoBoxes(speed: number, leastTripS = 0.005) {
  const side = (box: string) => ({
    box,
    boxUs: 1,
    clock: `${box} 1`,
    instants: [
      {
        at: sessionUs(0),
        host: "h",
        uncertaintyS: 0.25e-3 / Math.SQRT2,
        leastTripS,
        isProvisional: false,
        isRough: false,
      },
    ] as const,
    gateParts: gatePartsOf("beam", null, speed),
  });
  return travel(side("S1"), side("F1"));
}

describe("the uncertainty of a run time between two boxes", () => {
  it("is 0.64 ms at 8 m/s and 1.4 ms at 3 m/s, where the geometry is the largest part", () => {
    expect(1000 * twoBoxes(8).uncertaintyS).toBeCloseTo(0.64, 2);
    const slow = twoBoxes(3);
    expect(1000 * slow.uncertaintyS).toBeCloseTo(1.4, 1);
    const largest = slow.parts.reduce((a, b) => (b.uncertaintyS > a.uncertaintyS ? b : a));
    expect(largest.kind).toBe("meets");
  });

  it("is what the budget's parts come to, and the unequal ways alone are alike in all runs", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 1400).exchanges(F1, 1, 1400);
    j.bike(S1, 300.5);
    j.bike(F1, 420.75);
    j.bike(S1, 800);
    j.bike(F1, 921);
    const [first, second] = [budget(j, 0), budget(j, 1)];
    expect(first.combinedS).toBe(summaryOf(j).runs[0]?.uncertaintyS);
    expect(first.expandedS).toBe(2 * (first.combinedS ?? 0));
    // 4 ms there and back: half of both is more than the 0.5 ms assumed of like modems.
    expect(first.parts.filter((p) => p.isCommon)).toMatchObject([
      { kind: "paths", at: "both", halfWidthS: 0.5e-3 },
    ]);
    expect(first.commonS).toBeCloseTo(0.5e-3 / Math.sqrt(3), 12);
    // It cancels in a difference: the other parts of both runs are all that is left.
    const left = Math.hypot(first.ownS ?? 0, second.ownS ?? 0);
    expect(differenceUncertainty(first, second)).toBeCloseTo(left, 12);
    const lines = budgetLines(first);
    expect(lines).toHaveLength(first.parts.length + 3);
    expect(lines.join("\n")).toContain("unequal ways to and from the boxes");
    expect(lines.at(-1)).toContain("6.0 ms in all runs alike");
  });

  it("has the ways bounded by the round trips where those are shorter still", () => {
    const half = (leastTripS: number) =>
      twoBoxes(8, leastTripS).parts.find((p) => p.kind === "paths")?.halfWidthS;
    expect(half(0.005)).toBe(0.5e-3);
    // Half of 0.2 ms at each end.
    expect(half(0.2e-3)).toBeCloseTo(0.2e-3, 12);
  });
});

describe("other runs", () => {
  it("through one box: its own clock, no more than the gate twice", () => {
    const j = new JournalWriter().made(loopGates);
    j.bike(S1, 10);
    j.bike(S1, 130.25);
    const kinds = budget(j).parts.map((p) => p.kind);
    expect([...new Set(kinds)].sort()).toEqual(["meets", "optics", "stamp"]);
    expect(budget(j).commonS).toBe(0);
  });

  it("by hand: a hand's 0.2 s at both ends, with tenths of a second in words", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 10);
    j.key(2, 130);
    expect(budget(j).parts.map((p) => [p.kind, p.uncertaintyS])).toEqual([
      ["press", 0.2],
      ["press", 0.2],
    ]);
    expect(budgetLines(budget(j))[2]).toBe(
      "together 283 ms (standard uncertainty), +-566 ms at about 95 %",
    );
  });

  it("imported: as given, or said to be unknown", () => {
    const j = new JournalWriter().made(handGates);
    const row = { rider: "R1", setup: "A", status: "ok" as const, timeS: 121, reason: null };
    const more = { sectorS: [null, null], startedAtUs: null };
    const rows = [0.3, null].map((uncertaintyS) => ({ ...row, ...more, uncertaintyS }));
    j.write(5, { type: "times-imported", body: { file: "t.csv", rows } });
    expect(budget(j, 0)).toMatchObject({ combinedS: 0.3, expandedS: 0.6 });
    expect(budget(j, 1)).toMatchObject({ combinedS: null, parts: [] });
    expect(budgetLines(budget(j, 1))).toEqual(["no uncertainty was given with this imported time"]);
  });

  it("without a time have none, and neither has a run that is not there", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 10);
    const summary = summaryOf(j);
    expect(timeBudget(summary, summary.runs[0]?.runId ?? "")).toBeNull();
    expect(timeBudget(summary, "nobody")).toBeNull();
  });
});

it("comes to the run's own uncertainty in any session", () => {
  let budgets = 0;
  fc.assert(
    fc.property(steps, fc.constantFrom(threeGates, loopGates), (of, gates) => {
      const summary = summaryOf(journal(of, gates));
      for (const run of summary.runs) {
        const found = timeBudget(summary, run.runId);
        if (found === null || found.combinedS === null) continue;
        budgets += 1;
        expect(found.combinedS).toBeCloseTo(run.uncertaintyS ?? Number.NaN, 12);
      }
    }),
    { seed: 12, numRuns: 250 },
  );
  expect(budgets).toBeGreaterThan(10);
});
