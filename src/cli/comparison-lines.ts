// The comparison in sentences, for `compare`, `practice --runs` and whoever reads standard output.
import type { Comparison, Pair, Part, RiderComparison } from "../domain/comparison.ts";
import type { Summary } from "../summary/summary.ts";
import {
  cautiousWords,
  dayTrendWords,
  moreRunsWords,
  spreadWords,
  verdictSentence,
  worstAndBest,
} from "../tui/present/verdict-words.ts";

/** One sentence a line; names as the sheet has them. */
export function comparisonLines(comparison: Comparison, summary: Summary): readonly string[] {
  const several = comparison.riders.length > 1;
  return [
    `${comparison.session.name}, ${comparison.session.stretch}, ${comparison.session.date}`,
    ...comparison.riders.flatMap((rider) => [
      several ? `${rider.rider}: ${countWords(rider)}` : countWords(rider),
      ...rider.parts.flatMap((part) => part.pairs.map((pair) => pairLine(part, pair, comparison))),
      ...[spreadWords(rider), dayTrendWords(rider)].filter((line) => line !== undefined),
    ]),
    ...(comparison.together?.pairs.map(
      (pair) => `together: ${pair.setup} v ${pair.baseline}: ${bandOnly(pair, comparison)}`,
    ) ?? []),
    ...(summary.isMarginChanged
      ? ["the smallest difference worth having was changed after run 1"]
      : []),
    comparison.next.because,
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

function pairLine(part: Part, pair: Pair, comparison: Comparison): string {
  const where = part.part === "whole" ? "" : `${part.name ?? ""}: `;
  const marginS = part.part === "whole" ? comparison.settings.margin_s : null;
  const extra =
    part.part === "whole"
      ? [
          cautiousWords(pair),
          moreRunsWords(pair),
          pair.verdict === "cannot-tell" ? worstAndBest(pair) : undefined,
        ]
      : [];
  const words = [verdictSentence(pair, { marginS, newTo: [] }), ...extra].filter(
    (w) => w !== undefined,
  );
  return `${where}${pair.setup} v ${pair.baseline}: ${words.join("; ")}`;
}

/** Two riders together: the band is shown, nothing is claimed. */
function bandOnly(pair: Pair, comparison: Comparison): string {
  return verdictSentence(pair, { marginS: comparison.settings.margin_s, newTo: [] });
}
