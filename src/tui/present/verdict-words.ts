// What can honestly be said about a pair of set-ups, in the rider's words; called by board and console.
import type { EndOfDayMean, Pair, RiderComparison, Stop } from "../../domain/comparison.ts";
import { assertNever } from "../../domain/errors.ts";
import { between, plain, signed, signedPercent } from "./seconds.ts";

export interface VerdictContext {
  /** Smallest difference worth having, s; null if none was named. */
  readonly marginS: number | null;
  /** Set-ups that the rider has to get used to. */
  readonly newTo: readonly string[];
  /** Degrees of freedom of the rider's fit; null below 1; left out where they are not known. */
  readonly df?: number | null;
  /** Other set-ups are spoken of beside it, so the sentence must name this one. */
  readonly isOneOfSeveral?: boolean;
  /** Whose familiarity it is; left out: the one rider's. */
  readonly newToWhom?: "the rider" | "a rider";
}

/** One decimal reads quicker; two where an end would look like nought though it is not. */
function decimalsFor(values: readonly number[]): number {
  return values.some((value) => value !== 0 && Math.abs(value) < 0.05) ? 2 : 1;
}

function newToWords(pair: Pair, { newTo, newToWhom = "the rider" }: VerdictContext): string {
  const unfamiliar = [pair.setup, pair.baseline].filter((setup) => newTo.includes(setup));
  if (!pair.new_to || unfamiliar.length === 0) return "";
  return `; ${unfamiliar.join(" and ")} ${unfamiliar.length > 1 ? "were" : "was"} new to ${newToWhom}`;
}

/** What is missing for an answer, and what to ride. */
function tooEarly(pair: Pair, df: number | null | undefined): string {
  const { setup, baseline, runs, baseline_runs: others } = pair;
  if (runs === 0) return `too early: ${setup} not ridden yet`;
  if (others === 0) return `too early: ${baseline} not ridden yet`;
  const counts = `${setup} ${String(runs)}, ${baseline} ${String(others)}`;
  const single = [...(runs < 2 ? [setup] : []), ...(others < 2 ? [baseline] : [])];
  if (single.length > 0) {
    const which = single.length > 1 ? "each" : single.join("");
    return `too early: a second run on ${which} needed (${counts})`;
  }
  if (pair.difference_s === null) {
    if (df === null) return `too early: one more run needed (${counts})`;
    return `${baseline} and ${setup} were never swapped back and forth: ride ${runs < others ? setup : baseline} again`;
  }
  // An error of 0, or none where there is a difference: the times repeat themselves.
  if (pair.standard_error_s === null || pair.standard_error_s === 0) {
    return `too early: no run-to-run spread to go by yet, ride both again (${counts})`;
  }
  return `too early: more runs needed for a band (${counts})`;
}

function undecided(pair: Pair, df: number | null | undefined): string {
  if (pair.band_s === null || pair.difference_s === null) return tooEarly(pair, df);
  const [lowS, highS] = pair.band_s;
  const decimals = decimalsFor([lowS, highS]);
  const band = between(lowS, highS, decimals);
  const words = `can't tell yet: ${signed(pair.difference_s, decimals)} s, ${band}`;
  // Open although the band leaves 0 out: held back, because the slow one was new to the rider.
  const slow = lowS > 0 ? pair.setup : highS < 0 ? pair.baseline : undefined;
  return slow === undefined ? words : `${words}, but not without the first two runs on ${slow}`;
}

function called(pair: Pair, word: string): string {
  const band = pair.band_s === null ? "" : ` (${between(pair.band_s[0], pair.band_s[1], 2)})`;
  return `${pair.setup} ${word} by ${plain(pair.difference_s, 2)} s${band}`;
}

/**
 * The verdict in one sentence, without a full stop: `B quicker by 2.60 s (between -5.05 and -0.15 s)`,
 * `can't tell yet: -0.3 s, between -2.1 and +1.5 s`. A verdict of null (fewer than three riders
 * together) shows the band and claims nothing.
 */
export function verdictSentence(pair: Pair, context: VerdictContext): string {
  const name = context.isOneOfSeveral === true ? `${pair.setup}: ` : "";
  const familiarity = newToWords(pair, context);
  switch (pair.verdict) {
    case "quicker":
    case "slower":
      return called(pair, pair.verdict) + familiarity;
    case "no-difference": {
      const margin =
        context.marginS === null ? "" : ` (worth having: ${String(context.marginS)} s)`;
      return `${name}no difference worth having${margin}${familiarity}`;
    }
    case "cannot-tell":
      return name + undecided(pair, context.df) + familiarity;
    case null:
      if (pair.band_s === null) return name + tooEarly(pair, context.df) + familiarity;
      return `${name}fewer than three riders, no joint answer: ${between(pair.band_s[0], pair.band_s[1], 2)}${familiarity}`;
    default:
      return assertNever(pair.verdict);
  }
}

/**
 * The band as what it may cost or gain: `at worst B costs you 0.6 s, at best it gains 2.1 s`.
 *
 * @returns undefined while there is no band
 */
export function worstAndBest(pair: Pair): string | undefined {
  if (pair.band_s === null) return undefined;
  const [lowS, highS] = pair.band_s;
  const decimals = decimalsFor([lowS, highS]);
  const worst = `${highS > 0 ? "costs you" : "gains"} ${plain(highS, decimals)} s`;
  const best = `${lowS > 0 ? "costs you" : "gains"} ${plain(lowS, decimals)} s`;
  return `at worst ${pair.setup} ${worst}, at best it ${best}`;
}

/**
 * How far an answer is off: `about 6 more`, `probably not within this plan`.
 *
 * @returns undefined once a verdict stands, and while nothing can be said
 */
export function moreRunsWords(pair: Pair): string | undefined {
  if (pair.verdict !== "cannot-tell" || pair.chance_within_plan === null) return undefined;
  if (pair.more_runs === null) return "probably not within this plan";
  return `about ${String(pair.more_runs)} more`;
}

/**
 * The figure to count on beside a call, which is too big by luck: `to count on: 2.2 s`.
 *
 * @returns undefined unless a difference was called
 */
export function cautiousWords(pair: Pair): string | undefined {
  const isCall = pair.verdict === "quicker" || pair.verdict === "slower";
  if (!isCall || pair.cautious_s === null) return undefined;
  return `to count on, cautiously: ${plain(pair.cautious_s, 1)} s`;
}

/**
 * The difference with its band in percent, and in seconds a minute ridden:
 * `-1.9 % (-3.4 to -0.4), -1.14 s a minute`.
 *
 * @param baselineS - fitted run time on the baseline, s, above 0
 * @returns undefined without a difference
 */
export function relativeWords(pair: Pair, baselineS: number): string | undefined {
  if (pair.difference_s === null || !(baselineS > 0)) return undefined;
  const share = pair.difference_s / baselineS;
  const band =
    pair.band_s === null
      ? ""
      : ` (${pair.band_s.map((endS) => signed((100 * endS) / baselineS, 1)).join(" to ")})`;
  return `${signedPercent(share)}${band}, ${signed(share * 60, 2)} s a minute`;
}

/** The spreads as figures, no verdict: `spread: A 1.20 s, B 1.40 s`; undefined without any. */
export function spreadWords(rider: RiderComparison): string | undefined {
  const known = rider.setup_spreads.filter((each) => each.spread_s !== null);
  if (known.length === 0) return undefined;
  return `spread: ${known.map((each) => `${each.setup} ${plain(each.spread_s, 2)} s`).join(", ")}`;
}

/** What the day did, whatever was ridden: `trend over the day: +0.11 s a run`; undefined without a fit. */
export function dayTrendWords(rider: RiderComparison): string | undefined {
  if (rider.drift_s_per_run === null) return undefined;
  return `trend over the day: ${signed(rider.drift_s_per_run, 2)} s a run`;
}

/** Heading of the sectors: `where the time went (each band allows for reading 3 sectors)`. */
export function sectorsHeading(sectors: number): string {
  return `where the time went (each band allows for reading ${String(sectors)} sectors)`;
}

/** The riders' mean at the end of a day: `4 riders: -2.10 s on average, between -3.10 and -1.10 s`. */
export function endOfDayWords({
  riders,
  mean_s: meanS,
  band_s: [lowS, highS],
}: EndOfDayMean): string {
  return `${String(riders)} riders: ${signed(meanS, 2)} s on average, ${between(lowS, highS, 2)}`;
}

/** Why no further run is suggested, or why it hardly helps. */
export function stopWords(stop: Stop): string {
  switch (stop) {
    case "decided":
      return "decided: more runs would only sharpen it";
    case "cannot-be-decided-today":
      return "more runs today can hardly decide it: stop, or ride on for a narrower band";
    case "day-over":
      return "no run fits into the time left: the day is over";
    default:
      return assertNever(stop);
  }
}
