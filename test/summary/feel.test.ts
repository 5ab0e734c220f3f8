// Ratings set against each other: which runs are paired, what is counted, how often it is wrong.
import { describe, expect, it } from "vitest";
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import type { Feel } from "../../src/domain/feel.ts";
import { agreementRange, feelOf } from "../../src/summary/feel.ts";
import { type MadeRun, type MadeSession, madeSession, normals } from "../stats/made-session.ts";

/** Runs in the order of the letters, their scores in one aspect; a dash: not rated. */
function rated(
  order: string,
  scores: readonly (number | "-")[],
  more: Partial<MadeSession> = {},
  aspect = "feel",
): ComparisonInput {
  const runs = Array.from(order, (setup, i): MadeRun => ({ setup, timeS: 90 + (i % 3) }));
  const input = madeSession({ runs, ...more });
  const ratings = input.runs.flatMap(({ runId }, i) => {
    const score = scores[i] ?? "-";
    return score === "-" ? [] : [{ runId, aspect, score }];
  });
  return { ...input, ratings };
}

function counts(input: ComparisonInput): readonly unknown[] {
  return feelOf(input).map(({ setup, better, worse, same, pairs }) => [
    setup,
    { better, worse, same, pairs },
  ]);
}

describe("pairing", () => {
  it("takes the nearest run of the other set-up, each run once, in run order", () => {
    // 1-2, 3-4, 5-6, and 7 with 8: B A, A B, ...; ratings of A 5, of B 6, 4, 5, 7.
    expect(counts(rated("ABBAABBA", [5, 6, 4, 5, 5, 5, 7, 5]))).toEqual([
      ["B", { better: 2, worse: 1, same: 1, pairs: 4 }],
    ]);
  });

  it("reaches three runs ahead and no farther; a struck-out run takes its place all the same", () => {
    const voided = (order: string, at: number): Partial<MadeSession> => ({
      runs: Array.from(order, (setup, i) => ({
        setup,
        timeS: 90,
        status: i === at ? ("void" as const) : ("ok" as const),
      })),
    });
    expect(counts(rated("AAAB", [5, 5, 5, 9]))).toEqual([
      ["B", { better: 1, worse: 0, same: 0, pairs: 1 }],
    ]);
    expect(counts(rated("AABA", [5, "-", 9, 1], voided("AABA", 1)))).toEqual([
      ["B", { better: 1, worse: 0, same: 0, pairs: 1 }],
    ]);
    const far = rated("ACCCB", [5, "-", "-", "-", 9], { setups: ["A", "B", "C"] });
    expect(counts(far)[0]).toEqual(["B", { better: 0, worse: 0, same: 0, pairs: 0 }]);
  });

  it("does not reach across days, to other riders or to runs without a rating", () => {
    const runs = (more: readonly Partial<MadeRun>[]): MadeRun[] =>
      more.map((each, i) => ({ setup: i % 2 === 0 ? "A" : "B", timeS: 90, ...each }));
    const days = { runs: runs([{ day: 0 }, { day: 1 }]) };
    expect(counts(rated("AB", [5, 6], days))).toEqual([
      ["B", { better: 0, worse: 0, same: 0, pairs: 0 }],
    ]);
    const riders = { riders: ["R1", "R2"], runs: runs([{ rider: "R1" }, { rider: "R2" }]) };
    expect(feelOf(rated("AB", [5, 6], riders)).map(({ pairs }) => pairs)).toEqual([0, 0]);
    expect(counts(rated("ABAB", [5, "-", "-", 6]))).toEqual([
      ["B", { better: 1, worse: 0, same: 0, pairs: 1 }],
    ]);
  });
});

describe("what is said of a set-up", () => {
  const verdicts = (scores: readonly number[]): Feel | undefined => {
    const order = "AB".repeat(scores.length);
    return feelOf(
      rated(
        order,
        scores.flatMap((score) => [5, score]),
      ),
    )[0];
  };

  it.each([
    [[6, 6, 6, 6, 6, 6], "clear", 0.03125],
    [[6, 6, 6, 6, 6, 6, 6, 4], "leaning", 0.0703125],
    [[4, 4, 4, 4, 5, 5], "leaning", 0.125],
    [[6, 6, 6, 6, 6, 4], "none", 0.21875],
    [[6, 6, 6, 5, 5, 5], null, null],
  ])("%j is %s", (scores, verdict, p) => {
    const found = verdicts(scores);
    expect(found?.verdict).toBe(verdict);
    if (p === null) expect(found).toMatchObject({ p: null, signed_rank_p: null });
    else expect(found?.p).toBeCloseTo(p, 12);
  });

  it("aspects come as they are asked, one that is no longer asked after them", () => {
    const settings = { aspects: ["grip", "comfort"] };
    const comfort = rated("AB", [5, 6], { settings }, "comfort");
    const grip = rated("AB", [5, 4], { settings }, "grip").ratings;
    const old = rated("AB", [5, 4], { settings }, "feel").ratings;
    const all = feelOf({ ...comfort, ratings: [...old, ...comfort.ratings, ...grip] });
    expect(all.map(({ aspect, better }) => [aspect, better])).toEqual([
      ["grip", 0],
      ["comfort", 1],
      ["feel", 0],
    ]);
    expect(feelOf({ ...comfort, ratings: [] })).toEqual([]);
  });

  it("naming the set-ups the other way round turns better into worse, and the p stay", () => {
    const scores = [5, 7, 6, 6, 8, 3, 5, 7, 4, 9];
    const [there] = feelOf(rated("ABBAABBAAB", scores));
    const [back] = feelOf(rated("ABBAABBAAB", scores, { baseline: "B" }));
    expect(back).toEqual({
      ...there,
      setup: "A",
      baseline: "B",
      better: there?.worse,
      worse: there?.better,
    });
  });

  it("counts the pairs in which clock and feel point the same way, a range from twelve on", () => {
    const of = (pairs: number, agreeing: number): Feel | undefined => {
      const runs = Array.from({ length: 2 * pairs }, (_, i): MadeRun => {
        const isSlower = (i % 2 === 1) === i >= 2 * agreeing;
        return { setup: i % 2 === 0 ? "A" : "B", timeS: isSlower ? 91 : 90 };
      });
      const scores = runs.map((_, i) => (i % 2 === 0 ? 5 : 6));
      return feelOf(rated("AB".repeat(pairs), scores, { runs }))[0];
    };
    const eight = of(8, 6);
    if (eight === undefined) throw new RangeError("no feel");
    expect(eight.agree).toBe(6);
    expect(agreementRange(eight)).toBeUndefined();
    const twelve = of(12, 9);
    if (twelve === undefined) throw new RangeError("no feel");
    // R 4.2: binom.test(9, 12)$conf.int (from memory)
    expect(agreementRange(twelve)?.low).toBeCloseTo(0.4281415, 6);
    expect(agreementRange(twelve)?.high).toBeCloseTo(0.9451394, 6);
  });
});

describe("false verdicts where nothing differs", () => {
  /** chosen: about as many as the published rates are known from, by their own scatter. */
  const DAYS = 1000;
  // Published: rates of simulated days, whole ratings with a standard deviation of 1, independent
  // pairs. Exact: the same as a sum over all counts of better, worse and same, 27.1 % ties.
  it.each([
    { pairs: 6, published: [0.003, 0.069], exact: [0.0047, 0.0645] },
    { pairs: 10, published: [0.024, 0.092], exact: [0.0185, 0.075] },
  ])("at $pairs pairs", ({ pairs, published, exact }) => {
    const draw = normals(20260509 + pairs);
    const tally = { clear: 0, leaning: 0, none: 0, ties: 0 };
    for (let day = 0; day < DAYS; day += 1) {
      const scores = Array.from({ length: 2 * pairs }, () =>
        Math.min(10, Math.max(1, Math.round(6 + draw()))),
      );
      const [feel] = feelOf(rated("ABBA".repeat(pairs / 2), scores));
      tally[feel?.verdict ?? "none"] += 1;
      tally.ties += feel?.same ?? 0;
    }
    expect(tally.ties / DAYS / pairs).toBeCloseTo(0.271, 1);
    const seen = [tally.clear, tally.clear + tally.leaning].map((days) => days / DAYS);
    for (const rates of [published, exact]) {
      for (const [i, rate] of rates.entries()) {
        const error = Math.sqrt((rate * (1 - rate)) / DAYS);
        const off = Math.abs((seen[i] ?? Number.NaN) - rate);
        expect(off, JSON.stringify(tally)).toBeLessThan(3 * error);
      }
    }
  });
});
