// The comparison in sentences: what stands there, and in which order.
import { describe, expect, it } from "vitest";
import { comparisonLines } from "../../src/cli/comparison-lines.ts";
import type { Rider } from "../../src/domain/session.ts";
import { compareAfter } from "../../src/summary/summary.ts";
import { handGates, JournalWriter, R1, type settings } from "../session/a-journal.ts";
import { normals } from "../stats/made-session.ts";
import { mirrored } from "../stats/mirrored-day.ts";
import { summaryOf } from "../tui/a-day.ts";

interface Made {
  readonly runs: number;
  readonly effectS: number;
  readonly riders?: readonly Rider[];
  readonly given?: Partial<typeof settings>;
  readonly isClosed?: boolean;
  readonly order?: (n: number) => readonly string[];
}

/** Imported times of two sectors, A B B A ..., B that much quicker or slower, all of it in the first. */
function day(made: Made): JournalWriter {
  const riders = made.riders ?? [R1];
  const journal = new JournalWriter().made(handGates, riders, made.given ?? {});
  const normal = normals(12);
  const order = (made.order ?? mirrored)(made.runs);
  const rows = riders.flatMap((rider) =>
    order.map((setup) => {
      const first = 60 + 0.4 * normal() + (setup === "B" ? made.effectS : 0);
      const sectorS = [first, 60 + 0.4 * normal()].map((s) => Math.round(s * 1e3) / 1e3);
      const timeS = Math.round(((sectorS[0] ?? 0) + (sectorS[1] ?? 0)) * 1e3) / 1e3;
      return {
        ...{ uncertaintyS: null, startedAtUs: null, reason: null, status: "ok" as const },
        ...{ rider: rider.id, setup, timeS, sectorS },
      };
    }),
  );
  journal.write(100, { type: "times-imported", body: { file: "times.csv", rows } });
  if (made.isClosed === true) {
    journal.write(200, { type: "session-closed", body: {} });
  }
  return journal;
}

function linesOf(journal: JournalWriter, after?: number): readonly string[] {
  const summary = summaryOf(journal);
  const comparison = after === undefined ? summary.comparison : compareAfter(summary, after);
  return comparisonLines(comparison, summary);
}

describe("the comparison in sentences", () => {
  const lines = linesOf(day({ runs: 12, effectS: -3, given: { plannedRuns: 12 } }));
  const pair = lines.find((line) => line.startsWith("B v A: ")) ?? "";

  it("says the verdict with percent and seconds a minute, and what to count on", () => {
    expect(pair).toMatch(
      /^B v A: B quicker by \d\.\d\d s \(between -\d\.\d\d and -\d\.\d\d s\); -\d\.\d % \(-\d\.\d to -\d\.\d\), -1\.\d\d s a minute; to count on, cautiously: \d\.\d s$/,
    );
  });

  it("says where the time went, and that the bands allow for it", () => {
    const at = lines.indexOf("where the time went (each band allows for reading 2 sectors):");
    expect(at).toBeGreaterThan(lines.indexOf(pair));
    expect(lines[at + 1]).toMatch(/^[^:]+: B v A: B quicker by/);
    expect(lines[at + 2]).toMatch(/^[^:]+: B v A: can't tell yet: /);
  });

  it("says the spreads with their ranges and the trend, and the remarks last", () => {
    const spread = lines.findIndex((line) =>
      /^spread: A \d\.\d\d s \(80 % range \d\.\d\d to \d\.\d\d s\), B \d\.\d\d s \(/.test(line),
    );
    expect(lines[spread + 1]).toMatch(/^trend over the day: /);
    expect(lines.at(-1)).toMatch(/^[AB] (?:more|as) even/);
    expect(lines.join("\n")).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it("as it stood before, from the runs until then", () => {
    const early = linesOf(day({ runs: 12, effectS: -3 }), 4);
    expect(early.join("\n")).not.toMatch(/where the time went|a minute/);
    expect(early).toContain("B v A: too early: more runs needed for a band (B 2, A 2)");
  });

  it("marks a warning, whatever the verdict", () => {
    const halves = (n: number): string[] =>
      Array.from({ length: n }, (_, i) => (i < n / 2 ? "A" : "B"));
    const found = linesOf(day({ runs: 12, effectS: -3, order: halves }));
    expect(found.find((line) => line.startsWith("! "))).toMatch(/^! A first, then B: /);
  });
});

describe("several riders", () => {
  const riders = ["one", "two", "three"].map((name, i): Rider => {
    const newTo = i === 1 ? ["B"] : [];
    return { ...R1, id: `R${String(i + 1)}`, name: `Rider ${name}`, tag: null, newTo };
  });

  it("are named, and read together while they ride and at the end of the day", () => {
    const lines = linesOf(day({ runs: 8, effectS: -3, riders, isClosed: true }));
    expect(lines).toContain("Rider two: 8 runs counted");
    expect(lines.find((line) => line.startsWith("together: "))).toMatch(
      /^together: B v A: B quicker by .*; B was new to a rider; to count on, cautiously/,
    );
    expect(lines.find((line) => line.startsWith("riders like these: "))).toMatch(
      /^riders like these: B v A: 3 riders: -\d\.\d\d s on average, between -\d\.\d\d and -\d\.\d\d s$/,
    );
    expect(lines.filter((line) => /new to/.test(line)).join("\n")).toMatch(
      /^! B is new to Rider two: 0 practice runs of 3/m,
    );
  });

  it("as two get a band together and no claim", () => {
    const lines = linesOf(day({ runs: 8, effectS: -3, riders: riders.slice(0, 2) }));
    expect(lines.find((line) => line.startsWith("together: "))).toMatch(
      /^together: B v A: fewer than three riders, no joint answer: between /,
    );
    expect(lines.join("\n")).not.toMatch(/riders like these/);
  });
});
