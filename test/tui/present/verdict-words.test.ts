import { describe, expect, it } from "vitest";
import type { Pair, RiderComparison } from "../../../src/domain/comparison.ts";
import {
  cautiousWords,
  dayTrendWords,
  moreRunsWords,
  relativeWords,
  spreadWords,
  stopWords,
  verdictSentence,
  worstAndBest,
} from "../../../src/tui/present/verdict-words.ts";

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
      "too early: two runs on each needed (B 1, A 6)",
    );
    expect(verdictSentence(EARLY, CONTEXT)).toBe(
      "too early: more runs needed for a band (B 6, A 6)",
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
  });

  it("claims nothing for two riders together", () => {
    expect(verdictSentence({ ...OPEN, verdict: null }, CONTEXT)).toBe(
      "two riders, no joint answer: between -2.10 and +1.50 s",
    );
  });
});

describe("words beside the verdict", () => {
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
    // 2.6 s in 130 s: 2.0 %, 1.2 s in 60 s
    expect(relativeWords(QUICKER, 130)).toBe("-2.0 %, -1.20 s a minute");
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
