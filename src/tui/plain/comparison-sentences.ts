// What the comparison and the suggestion say after a change, one sentence each; called by sentences.ts.
import type { Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Summary } from "../../summary/summary.ts";
import { riderName } from "../look.ts";
import { remarkWords } from "../present/remark-words.ts";
import { safeText } from "../present/safe-text.ts";
import { moreRunsWords, type VerdictContext, verdictSentence } from "../present/verdict-words.ts";
import { riderContext } from "../verdict-context.ts";
import { setupWords } from "./run-sentences.ts";

/** A sentence for each pair whose verdict changed or whose band a run has moved. */
export function comparisonSentences(before: Summary | null, after: Summary): readonly string[] {
  return after.comparison.riders.flatMap((rider) => {
    const context = riderContext(after.comparison, after.riders, rider);
    const earlier = before?.comparison.riders.find((each) => each.rider === rider.rider);
    const who = after.riders.length > 1 ? `${riderName(after, rider.rider)}: ` : "";
    return wholePairs(rider).flatMap((pair) => {
      const told = pairLike(earlier, pair);
      if (
        !hasNews(told, pair) ||
        (told !== undefined && wordsOf(told, context) === wordsOf(pair, context))
      )
        return [];
      return `${who}${wordsOf(pair, context)}`;
    });
  });
}

/** The same words are no news: times that get a little sharper change nothing that is said. */
function wordsOf(pair: Pair, context: VerdictContext): string {
  const more = moreRunsWords(pair);
  return `${safeText(verdictSentence(pair, context))}${more === undefined ? "" : `; ${more}`}`;
}

function wholePairs(rider: RiderComparison): readonly Pair[] {
  return rider.parts.find((part) => part.part === "whole")?.pairs ?? [];
}

function pairLike(rider: RiderComparison | undefined, pair: Pair): Pair | undefined {
  return rider === undefined
    ? undefined
    : wholePairs(rider).find((each) => each.setup === pair.setup);
}

function hasNews(before: Pair | undefined, after: Pair): boolean {
  if (before?.verdict !== after.verdict && after.verdict !== "cannot-tell") return true;
  const hadCall = before !== undefined && before.verdict !== after.verdict;
  return hadCall || (after.band_s !== null && before?.difference_s !== after.difference_s);
}

/** What to ride next, if that is new. */
export function nextSentences(before: Summary | null, after: Summary): readonly string[] {
  const { next } = after.comparison;
  const earlier = before?.comparison.next;
  const isSame = earlier?.rider === next.rider && earlier.setup === next.setup;
  if (after.isClosed || (isSame && earlier.stop === next.stop)) return [];
  const because = safeText(next.because);
  if (next.rider === null || next.setup === null) return because === "" ? [] : [`next: ${because}`];
  const what = `${riderName(after, next.rider)} on ${setupWords(after, next.setup)}`;
  return [`next: ${what}${because === "" ? "" : `: ${because}`}`];
}

/** Remarks that were not made before: what changes in their figures is no news. */
export function remarkSentences(before: Summary | null, after: Summary): readonly string[] {
  const known = new Set((before?.comparison.remarks ?? []).map(identityOf));
  return after.comparison.remarks
    .filter((remark) => !known.has(identityOf(remark)))
    .map((remark) => safeText(remarkWords(remark)));
}

function identityOf({ level, kind, rider, setup, run }: Remark): string {
  return [level, kind, rider, setup, run].join(" ");
}
