import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { afterRuns, sortedRuns } from "../../src/stats/counted-runs.ts";
import { type MadeRun, madeSession, normals } from "./made-session.ts";

const run = (over: Partial<MadeRun>): MadeRun => ({ setup: "A", timeS: 100, ...over });

describe("counted runs", () => {
  it("are the finished ones; the others are told apart", () => {
    const input = madeSession({
      runs: [
        run({ status: "warm-up" }),
        run({}),
        run({ status: "void" }),
        run({ status: "dnf", timeS: null }),
        run({ status: "unsure" }),
        run({ status: "warm-up" }),
        run({ setup: "B" }),
        run({ status: "on-course", timeS: null }),
      ],
    });
    const { counted, counts } = sortedRuns(input, ["R1"]);
    expect(counts).toEqual({ counted: 2, void: 1, warmUp: 2, dnf: 1, unsure: 1 });
    // The first run that is no warm-up is k = 1; whatever follows takes the next.
    expect(counted.map((r) => r.k)).toEqual([1, 6]);
  });

  it("a run struck out in every sector, or at all without splits, is void", () => {
    const split = (voidSectors: readonly number[]) => run({ sectorS: [40, 60], voidSectors });
    const sectors = ["Roots", "Gully"];
    const input = madeSession({ sectors, runs: [split([1, 2]), split([2]), split([])] });
    expect(sortedRuns(input, ["R1"]).counts).toMatchObject({ counted: 2, void: 1 });
    const without = madeSession({ runs: [run({ voidSectors: [1] }), run({})] });
    expect(sortedRuns(without, ["R1"]).counts).toMatchObject({ counted: 1, void: 1 });
  });

  it("a run with a sector struck out is void while some counted run lacks a split", () => {
    const sectors = ["Roots", "Gully"];
    const runs = [
      run({ sectorS: [40, 60], voidSectors: [1] }),
      run({ sectorS: [40, 60] }),
      run({ sectorS: [null, 60] }),
    ];
    const { counts, counted } = sortedRuns(madeSession({ sectors, runs }), ["R1"]);
    expect(counts).toMatchObject({ counted: 2, void: 1 });
    expect(counted.map((r) => r.sectorS)).toEqual([[40, 60], null]);
    const split = runs.map((r) => ({ ...r, sectorS: [40, 60] }));
    expect(sortedRuns(madeSession({ sectors, runs: split }), ["R1"]).counts.counted).toBe(3);
  });

  it("refuses a finished run without a time or a place", () => {
    expect(() => compareRiders(madeSession({ runs: [run({ timeS: null })] }))).toThrow(RangeError);
  });
});

describe("the session after so many counted runs", () => {
  const normal = normals(3);
  const runs = Array.from({ length: 20 }, (_, i) =>
    run({
      rider: i % 2 === 0 ? "R1" : "R2",
      setup: "ABBA"[Math.floor(i / 2) % 4] ?? "A",
      timeS: 100 + normal(),
      status: i === 4 ? "void" : i === 0 ? "warm-up" : "ok",
    }),
  );
  const input = madeSession({
    runs,
    riders: ["R1", "R2"],
    plannedEnds: [{ rider: "R1", endRun: 8, announcedAtRun: 5 }],
  });

  it("keeps each rider's first n and what lies between them", () => {
    const cut = afterRuns(input, 3);
    expect(compareRiders(cut).map((r) => [r.counted_runs, r.void_runs, r.warm_up_runs])).toEqual([
      [3, 1, 1],
      [3, 0, 0],
    ]);
    expect(cut.plannedEnds).toEqual([]);
    expect(afterRuns(input, 5).plannedEnds).toHaveLength(1);
  });

  it("keeps all of a rider with fewer, and none for none", () => {
    expect(afterRuns(input, 9).runs.map((r) => r.runId)).toEqual(
      input.runs.filter((_, i) => i < 19).map((r) => r.runId),
    );
    expect(afterRuns(input, 99).runs).toEqual(input.runs);
    const none = afterRuns(input, 0);
    expect(none.runs.map((r) => r.status)).toEqual(["warm-up"]);
    expect(compareRiders(none)[0]?.parts[0]?.pairs[0]).toMatchObject({
      runs: 0,
      difference_s: null,
      verdict: "cannot-tell",
    });
  });
});
