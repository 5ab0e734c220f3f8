// Everything that can be said of the comparison so far, on a page of its own: for whoever wants more
// than the panel has room for. Called by the console's drawing.
import type { RiderComparison } from "../../domain/comparison.ts";
import { ridersAsked } from "../../summary/asked-first.ts";
import type { Summary } from "../../summary/summary.ts";
import { expectationWords } from "../expectation-words.ts";
import { heading, type Line, line } from "../line.ts";
import { type Look, riderName } from "../look.ts";
import { FEEL_HELP, feelWords } from "../present/feel-words.ts";
import { remarkWords } from "../present/remark-words.ts";
import {
  dayTrendWords,
  sectorsHeading,
  spreadWords,
  verdictSentence,
} from "../present/verdict-words.ts";
import { riderContext } from "../verdict-context.ts";
import {
  afterAnswersLines,
  bandLines,
  blindLines,
  consequenceWords,
  countWords,
  sectorWords,
  shownRemarks,
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
  const { riders } = summary.comparison;
  const asked = ridersAsked(summary, shot.now);
  const shown = riders.filter(({ rider }) => !asked.has(rider));
  const together = asked.size > 0 ? [] : togetherWords(summary);
  const feel = shown.flatMap((rider) => feelTexts(summary, rider));
  const expected = shown.flatMap((rider) => expectationWords(summary, rider));
  const section = (title: string, texts: readonly string[]): readonly Line[] =>
    texts.length === 0
      ? []
      : [
          heading(line(title), width, look.glyphs),
          ...texts.flatMap((text) => wrapped(text, width)),
        ];
  return [
    ...(asked.size > 0 ? afterAnswersLines(width, 2, look) : []),
    ...shown.flatMap((rider) => riderSection(shot, rider, width, look)),
    ...section("ALL RIDERS", together),
    ...section("FEEL", feel.length === 0 ? [] : [...feel, FEEL_HELP]),
    ...section("EXPECTED", expected),
    ...section("BESIDES", shownRemarks(summary, asked).map(remarkWords)),
  ];
}

/** How set-ups felt, a sentence an aspect; with whose it is where there are several. */
function feelTexts(summary: Summary, { rider }: RiderComparison): readonly string[] {
  const who = summary.riders.length > 1 ? `${riderName(summary, rider)}: ` : "";
  const words = feelWords(summary.comparison, rider, summary.settings.aspects);
  return words.map((text) => `${who}${text}`);
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
