// Warns where the answer rests on what was struck out; one of the remarks.
import type { Pair } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RiderId } from "../../domain/session.ts";
import {
  type PairAnswer,
  type StruckOutCounted,
  struckOutCounted,
} from "../../stats/struck-out-counted.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { differenceWords, plainSeconds } from "./seconds-words.ts";
import { whose } from "./whose.ts";

/** One warning a pair whose verdict is another with everything counted, the band's rules unchanged. */
export function voidsMatter(basis: RemarkBasis): readonly Remark[] {
  return struckOutCounted(basis.input).flatMap((counted) =>
    pairsOf(basis, counted.rider).flatMap((pair): readonly Remark[] => {
      const other = counted.pairs.find((each) => each.setup === pair.setup);
      if (other === undefined || pair.verdict === null || other.verdict === pair.verdict) return [];
      const now = answerWords({ ...pair, verdict: pair.verdict }, true);
      const then = answerWords(other, false);
      const who = counted.rider === null ? "all riders: " : whose(basis.input, counted.rider);
      return [
        {
          level: "warn",
          kind: "voids-matter",
          rider: counted.rider,
          setup: pair.setup,
          run: null,
          text: `${who}${now}; with ${countWords(counted)} counted: ${then}`,
        },
      ];
    }),
  );
}

function pairsOf(basis: RemarkBasis, rider: RiderId | null): readonly Pair[] {
  if (rider === null) return basis.together?.pairs ?? [];
  return basis.riders.find((each) => each.rider === rider)?.parts[0]?.pairs ?? [];
}

/** `the struck-out run`, `the 2 struck-out runs and 1 sector`. */
function countWords({ runs, sectors }: StruckOutCounted): string {
  const struckOut = (count: number, word: string): string =>
    count === 1 ? `the struck-out ${word}` : `the ${String(count)} struck-out ${word}s`;
  if (runs === 0) return struckOut(sectors, "sector");
  if (sectors === 0) return struckOut(runs, "run");
  return `${struckOut(runs, "run")} and ${String(sectors)} ${sectors === 1 ? "sector" : "sectors"}`;
}

/** @param isNamed - the pair is named where the words do not name it themselves */
function answerWords(answer: PairAnswer, isNamed: boolean): string {
  const { setup, baseline, difference_s: differenceS, band_s: bandS, verdict } = answer;
  const name = isNamed ? `${setup} against ${baseline}: ` : "";
  if (verdict === "no-difference") return `${name}no difference worth having`;
  if (differenceS === null || bandS === null) return `${name}can't tell yet`;
  if (verdict !== "cannot-tell") return `${setup} ${verdict} by ${plainSeconds(differenceS)}`;
  return `${name}can't tell yet (${differenceWords(differenceS, bandS)})`;
}
