// What a marked step did to the run times, held against a fit worked out another way, and whether it
// can be told from a swap.
import { describe, expect, it } from "vitest";
import { type GroundStep, groundSteps, setupToRepeat } from "../../src/stats/ground-steps.ts";
import { leastSquares } from "../../src/stats/least-squares.ts";
import { type MadeRun, madeSession, normals } from "./made-session.ts";

/** A bar where the ground changes: `ABB|AABBA`. */
function stepped(order: string, seed = 2): MadeRun[] {
  const normal = normals(seed);
  return order.split("|").flatMap((setups, ground) =>
    Array.from(setups, (setup): MadeRun => {
      const timeS = 90 + (setup === "A" ? 0 : -1) + 2 * ground + normal();
      return { setup, timeS, ground };
    }),
  );
}

function stepsOf(runs: readonly MadeRun[]): readonly GroundStep[] {
  return groundSteps(madeSession({ runs, settings: { spreads: "each" } }), "R1");
}

describe("what a step did", () => {
  it("is its column's coefficient with Student's band", () => {
    const runs = stepped("ABBAAB|BAABBA");
    const columns = [
      runs.map(() => 1),
      runs.map((_, i) => i),
      runs.map((run) => run.ground ?? 0),
      runs.map((run) => Number(run.setup === "B")),
    ];
    const fit = leastSquares(
      columns,
      runs.map((run) => run.timeS ?? Number.NaN),
    );
    const [step] = stepsOf(runs);
    expect(step?.runId).toBe("7");
    expect(step?.effect?.slowerS).toBeCloseTo(fit.coefficients[2] ?? Number.NaN, 9);
    const errorS = Math.sqrt((fit.rss / 8) * (fit.inverse[2]?.[2] ?? Number.NaN));
    // Two-sided 5 % point of Student's t with 8 degrees of freedom, Fisher and Yates, table III.
    expect((step?.effect?.halfWidthS ?? Number.NaN) / errorS).toBeCloseTo(2.306, 3);
  });

  it("is named by the first run after the mark, though it may not count", () => {
    const voided = stepped("ABBA|ABBA").map((run, i) =>
      i === 4 ? { ...run, status: "void" as const } : run,
    );
    expect(stepsOf(voided).map((step) => step.runId)).toEqual(["5"]);
  });

  it("is told of each step on its own, and of none before the first run or after the last", () => {
    expect(stepsOf(stepped("|ABBA|BAAB|ABBA|")).map((step) => step.runId)).toEqual(["5", "9"]);
    expect(stepsOf(stepped("ABBA"))).toEqual([]);
    expect(stepsOf([])).toEqual([]);
  });

  it("is not told where nothing scatters, where it is a swap, or with no run to spare", () => {
    const silent = stepped("ABBA|ABBA").map((run) => ({ ...run, timeS: 90 + (run.ground ?? 0) }));
    expect(stepsOf(silent)[0]?.effect).toBeNull();
    expect(stepsOf(stepped("A|A"))[0]?.effect).toBeNull();
    expect(stepsOf(stepped("AB|B"))[0]?.effect).toBeNull();
  });

  it("rests on the runs with nothing struck out", () => {
    const runs = stepped("ABBAAB|BAABBA").map((run) => ({ ...run, sectorS: [40, 50] }));
    const struck = runs.map((run, i) => (i === 2 ? { ...run, voidSectors: [1] } : run));
    const without = runs.map((run, i) => (i === 2 ? { ...run, status: "void" as const } : run));
    const told = (made: readonly MadeRun[]) =>
      groundSteps(madeSession({ runs: made, sectors: ["Roots", "Gully"] }), "R1")[0]?.effect;
    expect(told(struck)?.slowerS).toBeCloseTo(told(without)?.slowerS ?? Number.NaN, 9);
  });
});

describe("a step at a swap", () => {
  const pair = { candidate: "B", baseline: "A" };
  const repeated = (order: string, block: (k: number) => string = () => "0 R1"): string | null => {
    const rows = stepped(order).map(({ setup, ground = 0 }, i) => ({
      block: block(i + 1),
      setup,
      ground,
      k: i + 1,
    }));
    return setupToRepeat(rows, ["A", "B"], "linear", pair);
  };

  it.each([
    ["AAA|BBB", "A"],
    ["B|A", "B"],
    ["AAAA|BB|B", "A"],
    ["ABB|A", "A"],
    ["ABAB|AB", null],
    ["AB|AB", "A"],
    ["AAA|BBBAA", "B"],
  ])("%s: to be ridden again: %s", (order, again) => {
    expect(repeated(order)).toBe(again);
  });

  it.each(["", "AAA", "AAAA|", "AA|ABB", "AAB|BB", "ABBA|ABBA", "ABBA|BAAB", "AAABBB"])(
    "%s: nothing",
    (order) => {
      expect(repeated(order)).toBeNull();
    },
  );

  it("is none of a day's beginning", () => {
    expect(repeated("AAA|BBB", (k) => (k > 3 ? "1 R1" : "0 R1"))).toBeNull();
  });
});
