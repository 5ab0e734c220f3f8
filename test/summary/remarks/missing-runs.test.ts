import { describe, expect, it } from "vitest";
import { missingRuns } from "../../../src/summary/remarks/missing-runs.ts";
import type { MadeRun, MadeSession } from "../../stats/made-session.ts";
import { basisOf } from "./basis-of.ts";

function ridden(order: string, rider = "R1"): MadeRun[] {
  return Array.from(order, (setup, i) => ({ rider, setup, timeS: 100 + ((i * 7) % 5) / 10 }));
}

function texts(made: MadeSession): readonly string[] {
  return missingRuns(basisOf(made)).map((remark) => remark.text);
}

describe("what is missing from a rider's runs", () => {
  it("is another set-up, once three runs were all on one", () => {
    expect(texts({ runs: ridden("BB") })).toEqual([]);
    expect(missingRuns(basisOf({ runs: ridden("BBB") }))).toEqual([
      {
        level: "warn",
        kind: "missing-runs",
        rider: "R1",
        setup: "A",
        run: null,
        text: "R1 has ridden only B: ride A next, back to back",
      },
    ]);
    expect(texts({ runs: ridden("AAA") })).toEqual([
      "R1 has ridden only A: ride B next, back to back",
    ]);
    expect(texts({ runs: ridden("AAB") })).toEqual([]);
  });

  it("counts what counts: a run struck out is none", () => {
    const runs = [...ridden("BBB"), { setup: "A", timeS: 101, status: "void" as const }];
    expect(texts({ runs })).toHaveLength(1);
  });

  it("is said without advice once the day is over", () => {
    expect(texts({ runs: ridden("BBB"), isClosed: true })).toEqual(["R1 has ridden only B"]);
  });

  it("is the baseline, for whoever rode two others", () => {
    const made = { runs: ridden("BCCB"), setups: ["A", "B", "C"], settings: { plannedRuns: 14 } };
    const wanted = ["R1 has not ridden A, the baseline: ride it to compare"];
    expect(texts(made)).toEqual(wanted);
    expect(texts({ ...made, own: { R1: { setups: ["B", "C"] } } })).toEqual(wanted);
  });

  it("is a set-up not ridden when half the plan is over", () => {
    const made = (n: number): MadeSession => ({
      runs: ridden("ABBAABBA".slice(0, n)),
      setups: ["A", "B", "C", "D"],
      settings: { plannedRuns: 14 },
    });
    expect(texts(made(6))).toEqual([]);
    expect(texts(made(7))).toEqual([
      "half of R1's plan is over without a run on C: ride C next",
      "half of R1's plan is over without a run on D: ride D next",
    ]);
    const own = { R1: { setups: ["A", "B", "C"], plannedRuns: 12 } };
    expect(texts({ ...made(6), own })).toEqual([
      "half of R1's plan is over without a run on C: ride C next",
    ]);
    expect(texts({ ...made(8), settings: { plannedRuns: null, bands: "open" } })).toEqual([]);
  });

  it("is nothing for a rider who is to ride a single set-up", () => {
    expect(texts({ runs: ridden("BBBBBBBB"), own: { R1: { setups: ["B"] } } })).toEqual([]);
    expect(texts({ runs: ridden("BBBB"), own: { R1: { setups: [] } } })).toEqual([]);
  });

  it("is asked of each rider alone", () => {
    const runs = [...ridden("ABBA"), ...ridden("BBBB", "R2")];
    expect(texts({ runs, riders: ["R1", "R2"] })).toEqual([
      "R2 has ridden only B: ride A next, back to back",
    ]);
  });
});
