// Everything that can be said of the comparison so far, on a page of its own: for whoever wants more
// than the panel has room for. Called by the console's drawing.
import type { RiderComparison } from "../../domain/comparison.ts";
import { heading, type Line, line } from "../line.ts";
import type { Look } from "../look.ts";
import { remarkWords } from "../present/remark-words.ts";
import {
  dayTrendWords,
  sectorsHeading,
  spreadWords,
  verdictSentence,
} from "../present/verdict-words.ts";
import { riderContext } from "../verdict-context.ts";
import {
  bandLines,
  blindLines,
  consequenceWords,
  countWords,
  sectorWords,
  titleLine,
  togetherWords,
  wrapped,
} from "./comparison-lines.ts";
import type { Snapshot } from "./controller.ts";
import { isHidden } from "./foot-lines.ts";

/** Rider after rider, then all together, then what else a careful reader should know. */
export function comparisonPage(shot: Snapshot, width: number, look: Look): readonly Line[] {
  if (isHidden(shot)) return blindLines(width, 2, look);
  const { summary } = shot;
  const { riders, remarks } = summary.comparison;
  const together = togetherWords(summary);
  const section = (title: string, texts: readonly string[]): readonly Line[] =>
    texts.length === 0
      ? []
      : [
          heading(line(title), width, look.glyphs),
          ...texts.flatMap((text) => wrapped(text, width)),
        ];
  return [
    ...riders.flatMap((rider) => riderSection(shot, rider, width, look)),
    ...section("ALL RIDERS", together),
    ...section("BESIDES", remarks.map(remarkWords)),
  ];
}

function riderSection(
  { summary }: Snapshot,
  rider: RiderComparison,
  width: number,
  look: Look,
): readonly Line[] {
  const pairs = rider.parts.find((part) => part.part === "whole")?.pairs ?? [];
  const context = riderContext(summary.comparison, summary.riders, rider);
  const sectors = sectorWords(summary, rider);
  const sectorTexts =
    sectors.length === 0 ? [] : [`${sectorsHeading(summary.sectors.length)}:`, ...sectors];
  const texts = [
    ...pairs.map((pair) => verdictSentence(pair, context)),
    countWords(rider, pairs, summary),
    ...pairs.map((pair) => consequenceWords(summary, pair, rider)),
    dayTrendWords(rider),
    spreadWords(rider),
    ...sectorTexts,
  ].filter((text) => text !== undefined && text !== "");
  return [
    titleLine(summary, rider.rider, width, look),
    ...bandLines(summary, pairs, width, look),
    ...texts.flatMap((text) => wrapped(text ?? "", width)),
  ];
}
