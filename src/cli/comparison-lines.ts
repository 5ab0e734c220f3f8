// The comparison in sentences, for `compare`, `practice --runs` and whoever reads standard output.
import type { Comparison, Pair, Part, RiderComparison } from "../domain/comparison.ts";
import type { Exploration } from "../domain/exploration.ts";
import { settingName, valuesName } from "../domain/explored-values.ts";
import { baselineTimeS } from "../summary/baseline-time.ts";
import { spreadRange } from "../summary/spread-range.ts";
import type { Summary } from "../summary/summary.ts";
import { expectationWords } from "../tui/expectation-words.ts";
import { feelWords } from "../tui/present/feel-words.ts";
import { remarkWords } from "../tui/present/remark-words.ts";
import { plain } from "../tui/present/seconds.ts";
import {
  cautiousWords,
  dayTrendWords,
  endOfDayWords,
  moreRunsWords,
  relativeWords,
  sectorsHeading,
  type VerdictContext,
  verdictSentence,
  worstAndBest,
} from "../tui/present/verdict-words.ts";
import { riderContext, togetherContext } from "../tui/verdict-context.ts";

/**
 * One sentence a line; names as the sheet has them. What else is to be known comes last.
 *
 * @param exploration - what the values tried have said, of the same runs
 */
export function comparisonLines(
  comparison: Comparison,
  summary: Summary,
  exploration: Exploration | null = summary.exploration,
): readonly string[] {
  return [
    `${comparison.session.name}, ${comparison.session.stretch}, ${comparison.session.date}`,
    ...exploredLines(exploration, summary),
    ...comparison.riders.flatMap((rider) => riderLines(rider, comparison, summary)),
    ...togetherLines(comparison, summary),
    ...(summary.isMarginChanged
      ? ["the smallest difference worth having was changed after run 1"]
      : []),
    comparison.next.because,
    ...comparison.remarks.map(remarkWords),
  ];
}

/** What was tried and what it says; then that the closing check is about something else. */
function exploredLines(
  exploration: Exploration | null,
  { check, baseline }: Summary,
): readonly string[] {
  if (exploration === null) return [];
  const { runs, plannedRuns, settings, words } = exploration;
  const of = plannedRuns === null ? "" : ` of ${String(plannedRuns)}`;
  const what = settings.map(({ setting, present }) => {
    const { low, high } = setting;
    const name = (value: number): string => valuesName([setting], [value]);
    return `${settingName(setting)} from ${name(low)} to ${name(high)}, ${name(present)} at present`;
  });
  return [
    `exploring ${what.join("; ")}: ${String(runs)}${of} runs`,
    ...words,
    ...(check === null
      ? []
      : [
          `closing check of ${check.setup} against ${baseline}, ${String(check.runs)} runs; the runs that chose ${check.setup} do not count in it`,
        ]),
  ];
}

function riderLines(
  rider: RiderComparison,
  comparison: Comparison,
  summary: Summary,
): readonly string[] {
  const found = summary.riders.find((each) => each.id === rider.rider);
  const who = comparison.riders.length > 1 ? `${found?.name ?? rider.rider}: ` : "";
  // Every line names its pair itself.
  const context = {
    ...riderContext(comparison, summary.riders, rider),
    isOneOfSeveral: false,
  };
  const whole = rider.parts.filter((part) => part.part === "whole").flatMap((part) => part.pairs);
  return [
    who + countWords(rider),
    ...whole.map((pair) => {
      const usualS = baselineTimeS(summary.runs, rider);
      return pairLine(pair, context, usualS);
    }),
    ...sectorLines(rider, context),
    ...[spreadLine(rider), dayTrendWords(rider)].filter((line) => line !== undefined),
    ...feelWords(comparison, rider.rider, summary.settings.aspects).map((text) => who + text),
    ...expectationWords(summary, rider),
  ];
}

function countWords(rider: RiderComparison): string {
  const others = [
    [rider.warm_up_runs, "warm-up"],
    [rider.void_runs, "void"],
    [rider.dnf_runs, "DNF"],
    [rider.unsure_runs, "unsure"],
  ] as const;
  const words = others.flatMap(([count, word]) => (count > 0 ? [`${String(count)} ${word}`] : []));
  return [
    `${String(rider.counted_runs)} ${rider.counted_runs === 1 ? "run" : "runs"} counted`,
    ...words,
  ].join(", ");
}

/** The verdict with all that belongs to it: in percent, to count on, how many more, at worst. */
function pairLine(pair: Pair, context: VerdictContext, usualS: number | undefined): string {
  const isBand = pair.band_s !== null && usualS !== undefined;
  const words = [
    verdictSentence(pair, context),
    isBand ? relativeWords(pair, usualS) : undefined,
    cautiousWords(pair),
    moreRunsWords(pair),
    pair.verdict === "cannot-tell" ? worstAndBest(pair) : undefined,
  ].filter((each) => each !== undefined);
  return `${pair.setup} v ${pair.baseline}: ${words.join("; ")}`;
}

/** Without a band yet a sector says no more than the whole run does. */
function sectorLines(rider: RiderComparison, context: VerdictContext): readonly string[] {
  const sectors = rider.parts.filter((part) => part.part === "sector");
  const lines = sectors.flatMap((part: Part) =>
    part.pairs
      .filter((pair) => pair.band_s !== null)
      .map((pair) => {
        const verdict = verdictSentence(pair, { ...context, marginS: null });
        return `${part.name ?? ""}: ${pair.setup} v ${pair.baseline}: ${verdict}`;
      }),
  );
  return lines.length === 0 ? [] : [`${sectorsHeading(sectors.length)}:`, ...lines];
}

/** The spreads as figures, no verdict: `spread: A 1.20 s (80 % range 0.92 to 1.95 s), B ...`. */
function spreadLine(rider: RiderComparison): string | undefined {
  const words = rider.setup_spreads.flatMap((each) => {
    if (each.spread_s === null) return [];
    const range = spreadRange(each);
    const figure = `${each.setup} ${plain(each.spread_s, 2)} s`;
    if (range === undefined) return figure;
    return `${figure} (80 % range ${plain(range.lowS, 2)} to ${plain(range.highS, 2)} s)`;
  });
  if (words.length === 0) return undefined;
  return `spread: ${words.join(", ")}`;
}

/** All riders in one model while they ride, and the riders' mean at the end of the day. */
function togetherLines(comparison: Comparison, summary: Summary): readonly string[] {
  if (comparison.together === null) return [];
  const context = { ...togetherContext(comparison, summary.riders), isOneOfSeveral: false };
  const { pairs, end_of_day: means } = comparison.together;
  return [
    ...pairs.map((pair) => `together: ${pairLine(pair, context, undefined)}`),
    ...(means ?? []).map(
      (mean) => `riders like these: ${mean.setup} v ${mean.baseline}: ${endOfDayWords(mean)}`,
    ),
  ];
}
