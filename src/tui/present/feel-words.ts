// How set-ups felt, in words beside the clock's: two answers, never one score; called by the console's
// panel and page and by the command line.
import type { Comparison, Pair } from "../../domain/comparison.ts";
import { assertNever } from "../../domain/errors.ts";
import type { Feel } from "../../domain/feel.ts";
import type { RiderId } from "../../domain/session.ts";
import { agreementRange } from "../../summary/feel.ts";
import { safeText } from "./safe-text.ts";

/** What ratings are worth; for the help, and below them. */
export const FEEL_HELP = "ratings carry expectation: riders know what is fitted";

/** So many aspects give chance enough occasions for one of them to lean. */
const SEVERAL_ASPECTS = 3;

/**
 * A rider's ratings, a sentence an aspect and set-up, the main aspect first with what the clock says
 * beside it; without a full stop.
 *
 * @param aspects - named by the sheet, the main one first; none: there is one only
 */
export function feelWords(
  comparison: Comparison,
  rider: RiderId,
  aspects: readonly string[],
): readonly string[] {
  const own = comparison.feel.filter((feel) => feel.rider === rider && feel.pairs > 0);
  const main = aspects[0] ?? own[0]?.aspect;
  return own.map((feel) => {
    const words = feelSentence(feel, aspects.length);
    if (feel.aspect !== main) return words;
    const beside = [besideClockWords(feel, clockPair(comparison, feel)), agreementWords(feel)];
    return [words, ...beside.filter((each) => each !== undefined)].join("; ");
  });
}

/** `grip: B better in 5, A in 1, same in 2 of 8 pairs: leaning to B`. */
function feelSentence(feel: Feel, aspects: number): string {
  const { setup, baseline, better, worse, same, pairs } = feel;
  const noun = pairs === 1 ? "pair" : "pairs";
  const counts = `${setup} better in ${String(better)}, ${baseline} in ${String(worse)}, same in ${String(same)} of ${String(pairs)} ${noun}`;
  const verdict = verdictWords(feel, aspects);
  return `${safeText(feel.aspect)}: ${counts}${verdict === "" ? "" : `: ${verdict}`}`;
}

function verdictWords(feel: Feel, aspects: number): string {
  switch (feel.verdict) {
    case null:
      return "";
    case "clear":
      return `clear for ${preferred(feel)}`;
    case "leaning": {
      const chance =
        aspects < SEVERAL_ASPECTS ? "" : `, could be chance with ${String(aspects)} aspects`;
      return `leaning to ${preferred(feel)}${chance}`;
    }
    case "none":
      return "no clear feel";
    default:
      return assertNever(feel.verdict);
  }
}

/** The set-up that felt better more often. */
function preferred({ setup, baseline, better, worse }: Feel): string {
  return better > worse ? setup : baseline;
}

function clockPair({ riders }: Comparison, { rider, setup }: Feel): Pair | undefined {
  const parts = riders.find((each) => each.rider === rider)?.parts ?? [];
  return parts.find((part) => part.part === "whole")?.pairs.find((pair) => pair.setup === setup);
}

/** What the two say together; undefined where the feel says nothing. */
function besideClockWords(feel: Feel, pair: Pair | undefined): string | undefined {
  if (feel.verdict === null || feel.verdict === "none") return undefined;
  const liked = preferred(feel);
  const verdict = pair?.verdict ?? "cannot-tell";
  switch (verdict) {
    case "quicker":
    case "slower": {
      const quicker = verdict === "quicker" ? feel.setup : feel.baseline;
      return quicker === liked
        ? `both point to ${liked}`
        : `feels better on ${liked}, quicker on ${quicker}: both shown`;
    }
    case "no-difference":
      return `you prefer ${liked}; no difference worth having by the clock`;
    case "cannot-tell":
      return `you prefer ${liked}; the clock cannot tell yet`;
    default:
      return assertNever(verdict);
  }
}

/** How often single pairs agree: counts alone until there are enough of them for a share. */
function agreementWords(feel: Feel): string | undefined {
  const untied = feel.better + feel.worse;
  if (feel.verdict === null) return undefined;
  const range = agreementRange(feel);
  const share =
    range === undefined
      ? ""
      : ` (${percent(range.share)} %, ${percent(range.low)} to ${percent(range.high)} %)`;
  return `clock and feel point the same way in ${String(feel.agree)} of ${String(untied)} pairs${share}`;
}

function percent(share: number): string {
  return (100 * share).toFixed(0);
}
