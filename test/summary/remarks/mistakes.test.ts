// Mistakes by set-up: what is counted, what is tested, in which words.
import { describe, expect, it } from "vitest";
import type { MadeRun, MadeSession } from "../../stats/made-session.ts";
import { mirrored } from "../../stats/mirrored-day.ts";
import { remarksOf, textsOf } from "./remarks-of.ts";

/** Runs in turn, B so much quicker; numbers of A's runs are 1, 4, 5, 8, ..., of B's 2, 3, 6, 7, ... */
function day(n: number, effectS = 0, rider = "R1"): MadeRun[] {
  return mirrored(n).map((setup, i) => ({
    rider,
    setup,
    timeS: 60 + 0.1 * ((3 * i) % 4) + (setup === "B" ? effectS : 0),
  }));
}
const onB = (runs: number, kind = "mistake"): MadeSession["incidents"] =>
  [2, 3, 6, 7, 10, 11, 14, 15].slice(0, runs).map((run) => ({ runId: String(run), kind }));

describe("mistakes by set-up", () => {
  it("four of eight against none could be chance, five hardly", () => {
    expect(remarksOf({ runs: day(16), incidents: onB(4) ?? [] }, "mistakes")).toEqual([
      {
        level: "note",
        kind: "mistakes",
        rider: null,
        setup: "B",
        run: null,
        text: "mistakes: 4 of 8 runs on B, none of 8 on A: could be chance",
      },
    ]);
    expect(textsOf({ runs: day(16), incidents: onB(5) ?? [] }, "mistakes")).toEqual([
      "mistakes: 5 of 8 runs on B, none of 8 on A: hardly chance (p 0.03)",
    ]);
    expect(textsOf({ runs: day(16), incidents: onB(8) ?? [] }, "mistakes")).toEqual([
      "mistakes: 8 of 8 runs on B, none of 8 on A: hardly chance (p below 0.01)",
    ]);
  });

  it("the set-up with more of them comes first; several on one run are one run", () => {
    const incidents = [1, 1, 4, 2].map((run) => ({ runId: String(run), kind: "dab" }));
    expect(textsOf({ runs: day(8), incidents }, "mistakes")).toEqual([
      "mistakes: 2 of 4 runs on A (dab 2), 1 of 4 on B (dab 1): could be chance",
    ]);
  });

  it("one run is no runs", () => {
    expect(
      textsOf({ runs: day(3), incidents: [{ runId: "1", kind: "mistake" }] }, "mistakes"),
    ).toEqual(["mistakes: 1 of 1 run on A, none of 2 on B: could be chance"]);
  });

  it("kinds are named where there are others than mistakes", () => {
    const incidents = [
      { runId: "2", kind: "near-miss" },
      { runId: "2", kind: "mistake" },
      { runId: "3", kind: "puncture" },
    ];
    expect(textsOf({ runs: day(8), incidents }, "mistakes")).toEqual([
      "mistakes: 2 of 4 runs on B (mistake 1, near miss 1, puncture 1), none of 4 on A: could be chance",
    ]);
  });

  it("a run struck out or not finished for a crash, a puncture or the chain is among them", () => {
    const runs = day(8).map((run, i): MadeRun => {
      if (i === 1) return { ...run, status: "void", reason: "crash" };
      if (i === 2)
        return { ...run, status: "dnf", timeS: null, reason: "chain or other mechanical" };
      if (i === 5) return { ...run, status: "void", reason: "walker or animal on the trail" };
      if (i === 6) return { ...run, status: "void", reason: "timing fault" };
      return run;
    });
    expect(textsOf({ runs }, "mistakes")).toEqual([
      "mistakes: 2 of 4 runs on B (crash 1, mechanical 1), none of 4 on A: could be chance",
    ]);
    const counted = runs.map((run) => ({ ...run, status: "ok" as const, timeS: 60 }));
    expect(textsOf({ runs: counted }, "mistakes")).toEqual([]);
  });

  it("warm-ups, the rider on course and what is noted on no run do not count", () => {
    const warm: MadeRun = { setup: "B", timeS: 70, status: "warm-up" };
    const riding: MadeRun = { setup: "B", timeS: null, status: "on-course" };
    const incidents = ["1", "10", null].map((runId) => ({ runId, kind: "crash" }));
    expect(textsOf({ runs: [warm, ...day(8), riding], incidents }, "mistakes")).toEqual([]);
  });

  it("three set-ups share the level of the test", () => {
    const runs = [...day(16), ...Array.from({ length: 8 }, () => ({ setup: "C", timeS: 60 }))];
    const given = { runs, setups: ["A", "B", "C", "D"], incidents: onB(5) ?? [] };
    expect(textsOf(given, "mistakes")).toEqual([
      "mistakes: 5 of 8 runs on B, none of 8 on A: could be chance",
    ]);
  });
});

describe("a quicker set-up with more mistakes", () => {
  const settings = { plannedRuns: 16 };
  const sentences = (given: MadeSession): readonly string[] =>
    textsOf({ settings, ...given }, "mistakes").filter((text) => text.includes("quicker"));

  it("has a sentence of its own", () => {
    expect(sentences({ runs: day(16, -2), incidents: onB(4) ?? [] })).toEqual([
      "B quicker but with more mistakes (4 of 8 runs, none of 8 on A)",
    ]);
  });

  it("may be the baseline", () => {
    const incidents = [1, 4, 5, 8].map((run) => ({ runId: String(run), kind: "crash" }));
    expect(sentences({ runs: day(16, 2), incidents })).toEqual([
      "A quicker but with more mistakes (4 of 8 runs, none of 8 on B)",
    ]);
  });

  it("has none for a mistake or two, nor while nothing is called, nor for the slower one's", () => {
    expect(sentences({ runs: day(16, -2), incidents: onB(2) ?? [] })).toEqual([]);
    expect(sentences({ runs: day(16, 0), incidents: onB(5) ?? [] })).toEqual([]);
    expect(sentences({ runs: day(16, 2), incidents: onB(5) ?? [] })).toEqual([]);
  });

  it("of several riders goes by the runs that the answer rests on", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = riders.flatMap((rider) => day(16, -2, rider));
    const texts = sentences({ runs, riders, incidents: onB(4) ?? [] });
    expect(texts).toEqual(["R1: B quicker but with more mistakes (4 of 8 runs, none of 8 on A)"]);
    const five = sentences({ runs, riders, incidents: onB(6) ?? [] });
    expect(five).toEqual([
      "R1: B quicker but with more mistakes (6 of 8 runs, none of 8 on A)",
      "all riders: B quicker but with more mistakes (6 of 24 runs, none of 24 on A)",
    ]);
  });
});

describe("runs held up by others", () => {
  it("are told apart and not tested", () => {
    const incidents = [2, 3, 6, 7, 10, 11].map((run) => ({ runId: String(run), kind: "held-up" }));
    const runs = day(16).map(
      (run, i): MadeRun =>
        i === 0 ? { ...run, status: "void", reason: "held up by another rider" } : run,
    );
    const given = { runs, incidents, setups: ["A", "B", "C"] };
    expect(remarksOf(given, "held-up", "mistakes")).toEqual([
      {
        level: "note",
        kind: "held-up",
        rider: null,
        setup: null,
        run: null,
        text: "held up by others: 1 of 8 runs on A, 6 of 8 on B",
      },
    ]);
    expect(textsOf({ runs: day(4) }, "held-up")).toEqual([]);
  });
});
