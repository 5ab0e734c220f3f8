import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Pair, RiderComparison } from "../../../src/domain/comparison.ts";
import { compareRiders } from "../../../src/stats/compare.ts";
import {
  cautiousWords,
  dayTrendWords,
  endOfDayWords,
  moreRunsWords,
  relativeWords,
  sectorsHeading,
  spreadWords,
  stopWords,
  verdictSentence,
  worstAndBest,
} from "../../../src/tui/present/verdict-words.ts";
import { countedRuns, type MadeSession, madeSession } from "../../stats/made-session.ts";

const QUICKER: Pair = {
  setup: "B",
  baseline: "A",
  runs: 6,
  baseline_runs: 6,
  difference_s: -2.6,
  standard_error_s: 0.77,
  df: 9,
  multiplier: 3.18,
  band_s: [-5.05, -0.15],
  inner_band_s: [-4.68, -0.52],
  cautious_s: -2.2,
  verdict: "quicker",
  new_to: false,
  called_at_run: 11,
  more_runs: null,
  chance_within_plan: null,
};
const OPEN: Pair = {
  ...QUICKER,
  difference_s: -0.3,
  band_s: [-2.1, 1.5],
  inner_band_s: [-1.8, 1.2],
  verdict: "cannot-tell",
  called_at_run: null,
  more_runs: 6,
  chance_within_plan: 0.7,
};
const EARLY: Pair = { ...OPEN, band_s: null, inner_band_s: null, chance_within_plan: null };
const CONTEXT = { marginS: 0.8, newTo: [] };

describe("verdict", () => {
  it("names the difference and its band when one is called", () => {
    expect(verdictSentence(QUICKER, CONTEXT)).toBe(
      "B quicker by 2.60 s (between -5.05 and -0.15 s)",
    );
    const slower: Pair = { ...QUICKER, verdict: "slower", difference_s: 1.2, band_s: [0.3, 2.1] };
    expect(verdictSentence(slower, CONTEXT)).toBe("B slower by 1.20 s (between +0.30 and +2.10 s)");
  });

  it("says no difference worth having with the margin's name", () => {
    expect(verdictSentence({ ...OPEN, verdict: "no-difference" }, CONTEXT)).toBe(
      "no difference worth having (worth having: 0.8 s)",
    );
  });

  it("says what it cannot tell yet", () => {
    expect(verdictSentence(OPEN, CONTEXT)).toBe("can't tell yet: -0.3 s, between -2.1 and +1.5 s");
    const close: Pair = { ...OPEN, band_s: [-2.1, 0.04] };
    expect(verdictSentence(close, CONTEXT)).toBe(
      "can't tell yet: -0.30 s, between -2.10 and +0.04 s",
    );
  });

  it("says too early, and for want of what", () => {
    expect(verdictSentence({ ...EARLY, runs: 0 }, CONTEXT)).toBe("too early: B not ridden yet");
    expect(verdictSentence({ ...EARLY, baseline_runs: 0 }, CONTEXT)).toBe(
      "too early: A not ridden yet",
    );
    expect(verdictSentence({ ...EARLY, runs: 1 }, CONTEXT)).toBe(
      "too early: a second run on B needed (B 1, A 6)",
    );
    expect(verdictSentence({ ...EARLY, baseline_runs: 1 }, CONTEXT)).toBe(
      "too early: a second run on A needed (B 6, A 1)",
    );
    expect(verdictSentence({ ...EARLY, runs: 1, baseline_runs: 1 }, CONTEXT)).toBe(
      "too early: a second run on each needed (B 1, A 1)",
    );
    expect(verdictSentence(EARLY, CONTEXT)).toBe(
      "too early: more runs needed for a band (B 6, A 6)",
    );
  });

  it("says what to ride where the runs can't tell two set-ups apart", () => {
    const unknown: Pair = { ...EARLY, difference_s: null, standard_error_s: null, df: null };
    for (const df of [undefined, 3]) {
      const context = { ...CONTEXT, ...(df === undefined ? {} : { df }) };
      expect(verdictSentence(unknown, context)).toBe(
        "A and B were never swapped back and forth: ride A again",
      );
      expect(verdictSentence({ ...unknown, runs: 5 }, context)).toMatch(/: ride B again$/);
    }
    expect(
      verdictSentence({ ...unknown, runs: 2, baseline_runs: 2 }, { ...CONTEXT, df: null }),
    ).toBe("too early: one more run needed (B 2, A 2)");
  });

  it("says so where the times show no run-to-run spread", () => {
    for (const standard_error_s of [0, null]) {
      const even: Pair = { ...EARLY, standard_error_s, df: null };
      expect(verdictSentence(even, CONTEXT)).toBe(
        "too early: no run-to-run spread to go by yet, ride both again (B 6, A 6)",
      );
    }
  });

  it("says why a pair is open although its band leaves 0 out", () => {
    const held: Pair = { ...OPEN, new_to: true, difference_s: 1.2, band_s: [0.3, 2.1] };
    expect(verdictSentence(held, { ...CONTEXT, newTo: ["B"] })).toBe(
      "can't tell yet: +1.2 s, between +0.3 and +2.1 s, but not without the first two runs on B; B was new to the rider",
    );
    const baseline: Pair = { ...held, difference_s: -1.2, band_s: [-2.1, -0.3] };
    expect(verdictSentence(baseline, { ...CONTEXT, newTo: ["A"] })).toMatch(
      /, but not without the first two runs on A; A was new to the rider$/,
    );
  });

  it("carries the words about a set-up that was new, baseline included", () => {
    const unfamiliar: Pair = { ...OPEN, new_to: true };
    expect(verdictSentence(unfamiliar, { marginS: 0.8, newTo: ["B"] })).toMatch(
      /; B was new to the rider$/,
    );
    expect(verdictSentence(unfamiliar, { marginS: 0.8, newTo: ["A", "C"] })).toMatch(
      /; A was new to the rider$/,
    );
    expect(verdictSentence(unfamiliar, { marginS: 0.8, newTo: ["A", "B"] })).toMatch(
      /; B and A were new to the rider$/,
    );
    expect(
      verdictSentence(unfamiliar, { marginS: 0.8, newTo: ["B"], newToWhom: "a rider" }),
    ).toMatch(/; B was new to a rider$/);
  });

  it("claims nothing for two riders together", () => {
    expect(verdictSentence({ ...OPEN, verdict: null }, CONTEXT)).toBe(
      "fewer than three riders, no joint answer: between -2.10 and +1.50 s",
    );
  });
});

/** Every pair that a real comparison gives while it is too early has an answer in words. */
describe("words for what the comparison really gives", () => {
  const wordsOf = (made: MadeSession): readonly string[] =>
    compareRiders(madeSession(made)).flatMap((rider) =>
      rider.parts.flatMap((part) =>
        part.pairs.map((pair) => verdictSentence(pair, { marginS: null, newTo: [], df: rider.df })),
      ),
    );
  const runsOf = (order: string, times: readonly number[]): MadeSession["runs"] =>
    countedRuns(Array.from(order), times);
  const TIMES = [60.2, 58.1, 58.7, 60.9, 61.3, 58.4];

  it.each([
    ["nothing ridden", "", "too early: B not ridden yet"],
    ["one set-up only", "AAA", "too early: B not ridden yet"],
    ["no baseline runs", "BBB", "too early: A not ridden yet"],
    ["a single run of each", "AB", "too early: a second run on each needed (B 1, A 1)"],
    ["a single run of one", "ABB", "too early: a second run on A needed (B 2, A 1)"],
  ])("%s", (_, order, words) => {
    expect(wordsOf({ runs: runsOf(order, TIMES) })).toEqual([words]);
  });

  it("a curved trend before the runs can bear it", () => {
    const made = { runs: runsOf("ABBA", TIMES), settings: { drift: "learning" } } as const;
    expect(wordsOf(made)).toEqual(["too early: one more run needed (B 2, A 2)"]);
  });

  it("a day for each set-up", () => {
    const runs = runsOf("AAABBB", TIMES).map((run, i) => ({ ...run, day: i < 3 ? 0 : 1 }));
    expect(wordsOf({ runs, settings: { days: 2 } })).toEqual([
      "A and B were never swapped back and forth: ride A again",
    ]);
  });

  it.each(["common", "each"] as const)("times without any spread, %s", (spreads) => {
    const made = { runs: runsOf("ABBAAB", [60, 58, 58, 60, 60, 58]), settings: { spreads } };
    expect(wordsOf(made)).toEqual([
      "too early: no run-to-run spread to go by yet, ride both again (B 3, A 3)",
    ]);
  });

  it("too few runs for a band", () => {
    expect(wordsOf({ runs: runsOf("ABBA", TIMES) })).toEqual([
      "too early: more runs needed for a band (B 2, A 2)",
    ]);
  });

  it("never a figure that is none", () => {
    const orders = fc.array(fc.constantFrom("A", "B", "C"), { maxLength: 12 });
    const times = fc.array(fc.constantFrom(58, 59, 60.5), { minLength: 12, maxLength: 12 });
    const drift = fc.constantFrom("none", "linear", "learning");
    const spreads = fc.constantFrom("each", "common");
    fc.assert(
      fc.property(orders, times, drift, spreads, (order, t, d, s) => {
        const words = wordsOf({
          runs: countedRuns(order, t),
          setups: ["A", "B", "C"],
          settings: { drift: d, spreads: s },
        }).join("\n");
        expect(words).not.toMatch(/NaN|Infinity|undefined|null/);
        expect(words).not.toBe("");
      }),
      { seed: 5, numRuns: 200 },
    );
  });
});

describe("words beside the verdict", () => {
  it("head the sectors and tell the riders' mean", () => {
    expect(sectorsHeading(3)).toBe("where the time went (each band allows for reading 3 sectors)");
    expect(
      endOfDayWords({ setup: "B", baseline: "A", riders: 4, mean_s: -2.1, band_s: [-3.1, -1.1] }),
    ).toBe("4 riders: -2.10 s on average, between -3.10 and -1.10 s");
  });

  it("turns the band into cost and gain", () => {
    expect(worstAndBest({ ...OPEN, band_s: [-2.1, 0.6] })).toBe(
      "at worst B costs you 0.6 s, at best it gains 2.1 s",
    );
    expect(worstAndBest({ ...OPEN, band_s: [-5.05, -0.15] })).toBe(
      "at worst B gains 0.1 s, at best it gains 5.0 s",
    );
    expect(worstAndBest({ ...OPEN, band_s: [0.3, 2.1] })).toBe(
      "at worst B costs you 2.1 s, at best it costs you 0.3 s",
    );
    expect(worstAndBest(EARLY)).toBeUndefined();
  });

  it("says how far an answer is off, in whole runs, and nothing once there is one", () => {
    expect(moreRunsWords(OPEN)).toBe("about 6 more");
    expect(moreRunsWords({ ...OPEN, more_runs: null, chance_within_plan: 0.2 })).toBe(
      "probably not within this plan",
    );
    expect(moreRunsWords(EARLY)).toBeUndefined();
    expect(moreRunsWords(QUICKER)).toBeUndefined();
  });

  it("shows the cautious figure beside a call only", () => {
    expect(cautiousWords(QUICKER)).toBe("to count on, cautiously: 2.2 s");
    expect(cautiousWords(OPEN)).toBeUndefined();
  });

  it("gives percent and seconds a minute ridden", () => {
    // 2.6 s in 130 s: 2.0 %, 1.2 s in 60 s; the band from -5.05 to -0.15 s
    expect(relativeWords(QUICKER, 130)).toBe("-2.0 % (-3.9 to -0.1), -1.20 s a minute");
    expect(relativeWords({ ...QUICKER, band_s: null }, 130)).toBe("-2.0 %, -1.20 s a minute");
    expect(relativeWords({ ...QUICKER, difference_s: null }, 130)).toBeUndefined();
    expect(relativeWords(QUICKER, 0)).toBeUndefined();
  });

  it("speaks of the rider's spread and the trend over the day", () => {
    const rider: RiderComparison = {
      rider: "R1",
      counted_runs: 12,
      void_runs: 1,
      warm_up_runs: 2,
      dnf_runs: 0,
      unsure_runs: 0,
      spread_s: 1.31,
      drift_s_per_run: 0.11,
      learning_s: null,
      df: 9,
      setup_spreads: [
        { setup: "A", runs: 6, df: 4.5, spread_s: 1.2 },
        { setup: "B", runs: 6, df: 4.5, spread_s: 1.4 },
        { setup: "C", runs: 0, df: null, spread_s: null },
      ],
      parts: [],
    };
    expect(spreadWords(rider)).toBe("spread: A 1.20 s, B 1.40 s");
    expect(spreadWords({ ...rider, setup_spreads: [] })).toBeUndefined();
    expect(dayTrendWords(rider)).toBe("trend over the day: +0.11 s a run");
    expect(dayTrendWords({ ...rider, drift_s_per_run: null })).toBeUndefined();
  });

  it("has words for every stop", () => {
    for (const stop of ["decided", "cannot-be-decided-today", "day-over"] as const) {
      expect(stopWords(stop)).toMatch(/^[a-z]/);
    }
  });
});
