// The words for how set-ups felt, beside the clock's: two answers, never one.
import { describe, expect, it } from "vitest";
import type { Comparison, Verdict } from "../../../src/domain/comparison.ts";
import type { Feel } from "../../../src/domain/feel.ts";
import { feelWords } from "../../../src/tui/present/feel-words.ts";
import { aDay, summaryOf } from "../a-day.ts";

const LEANS: Feel = {
  rider: "R1",
  aspect: "grip",
  setup: "B",
  baseline: "A",
  pairs: 8,
  better: 7,
  worse: 1,
  same: 0,
  agree: 6,
  p: 0.0703125,
  signed_rank_p: 0.05,
  verdict: "leaning",
};

const DAY = summaryOf(aDay({ runs: 2 })).comparison;

function comparison(feel: readonly Feel[], verdict: Verdict = "cannot-tell"): Comparison {
  const riders = DAY.riders.map((rider) => ({
    ...rider,
    parts: rider.parts.map((part) => ({
      ...part,
      pairs: part.pairs.map((pair) => ({ ...pair, verdict })),
    })),
  }));
  return { ...DAY, riders, feel };
}

function words(feel: readonly Feel[], aspects: readonly string[], verdict?: Verdict): string[] {
  return [...feelWords(comparison(feel, verdict), "R1", aspects)];
}

describe("one aspect", () => {
  it("is counts, ties among them, and a verdict", () => {
    const some = { ...LEANS, better: 5, worse: 1, same: 2, p: 0.21875 };
    const [text] = words([{ ...some, verdict: "none" }], ["grip"]);
    expect(text).toMatch(/^grip: B better in 5, A in 1, same in 2 of 8 pairs: no clear feel; /u);
  });

  it("is counts alone with fewer than four untied pairs, and nothing without a pair", () => {
    const few = { ...LEANS, better: 2, worse: 1, pairs: 3, p: null, verdict: null };
    expect(words([few], ["grip"])).toEqual(["grip: B better in 2, A in 1, same in 0 of 3 pairs"]);
    expect(words([{ ...few, better: 0, worse: 0, pairs: 0 }], ["grip"])).toEqual([]);
  });

  it("has two clear verdicts side by side with the clock, whichever they are", () => {
    const clear: Feel = { ...LEANS, verdict: "clear" };
    const other: Feel = { ...clear, better: 1, worse: 7 };
    const beside = (feel: Feel, verdict: Verdict): string | undefined =>
      words([feel], ["grip"], verdict)[0]?.split("; ").slice(1, -1).join("; ");
    expect(beside(clear, "quicker")).toBe("both point to B");
    expect(beside(other, "slower")).toBe("both point to A");
    expect(beside(other, "quicker")).toBe("feels better on A, quicker on B: both shown");
    expect(beside(clear, "slower")).toBe("feels better on B, quicker on A: both shown");
    expect(beside(clear, "cannot-tell")).toBe("you prefer B; the clock cannot tell yet");
    expect(beside(other, "no-difference")).toBe(
      "you prefer A; no difference worth having by the clock",
    );
  });

  it("says how often single pairs agree: counts, from twelve on with a share", () => {
    expect(words([LEANS], ["grip"])[0]).toMatch(
      /clock and feel point the same way in 6 of 8 pairs$/u,
    );
    const many = { ...LEANS, pairs: 12, better: 10, worse: 2, agree: 9 };
    // R 4.2: binom.test(9, 12), 0.75 (0.428 to 0.945), from memory
    expect(words([many], ["grip"])[0]).toMatch(/in 9 of 12 pairs \(75 %, 43 to 95 %\)$/u);
  });
});

describe("several aspects", () => {
  it("are sentences of their own, the clock beside the first named alone", () => {
    const comfort: Feel = { ...LEANS, aspect: "comfort" };
    const [grip, second] = words([LEANS, comfort], ["grip", "comfort"]);
    expect(grip).toContain("clock");
    expect(second).toBe("comfort: B better in 7, A in 1, same in 0 of 8 pairs: leaning to B");
  });

  it("make a leaning, but no clear one, what could be chance", () => {
    const aspects = ["grip", "comfort", "brakes", "noise"];
    expect(words([LEANS], aspects)[0]).toContain(
      "leaning to B, could be chance with 4 aspects; you prefer B",
    );
    expect(words([{ ...LEANS, verdict: "clear" }], aspects)[0]).not.toContain("chance");
    expect(words([LEANS], aspects.slice(0, 2))[0]).not.toContain("chance");
  });

  it("hold no text that drives a terminal, and nobody else's ratings", () => {
    const evil: Feel = { ...LEANS, aspect: "\u001b[2Jgrip\u202e" };
    for (const text of words([evil], [evil.aspect])) expect(text).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    expect(words([{ ...LEANS, rider: "R2" }], ["grip"])).toEqual([]);
  });
});
