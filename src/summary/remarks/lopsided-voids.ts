// Warns when far more runs of one set-up were struck out than of the other: the choice of runs may
// then be the answer. One of the remarks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Run } from "../../domain/run.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { otherShareWords, type SharePair, sharePairs, shareWords } from "./setup-shares.ts";

/** Chance of shares so uneven below which anybody should know. */
const HARDLY_CHANCE = 0.1;
/** So many against none are worth a word too ... */
const SOME_AGAINST_NONE = 3;
/** ... unless the runs themselves are so unequal in number that it was to be expected. */
const PERHAPS_CHANCE = 0.25;

/**
 * One warning a set-up, over the runs of all riders. A run with a sector struck out counts as struck
 * out: its worst part is gone.
 */
export function lopsidedVoids({ input }: RemarkBasis): readonly Remark[] {
  const runs = input.runs.filter(
    (run) => run.k !== null && (run.status === "ok" || run.status === "void"),
  );
  return sharePairs(input, runs, isStruckOut)
    .filter(isLopsided)
    .map((pair) => warning(input, pair));
}

function isStruckOut(run: Run): boolean {
  return run.status === "void" || run.voidSectors.length > 0;
}

/**
 * chosen: in a day of ten runs on each, Fisher's test alone finds an operator who strikes out one
 * run in four of one set-up on 17 % of days; with "three against none" it is 35 %, at 1 to 9 % of
 * warnings where voids are even. test/summary/remarks/lopsided-voids.test.ts works both out.
 */
export function isLopsided({ more, fewer, p }: Omit<SharePair, "candidate">): boolean {
  if (p < HARDLY_CHANCE) return true;
  return fewer.count === 0 && more.count >= SOME_AGAINST_NONE && p < PERHAPS_CHANCE;
}

function warning(input: ComparisonInput, { more, fewer }: SharePair): Remark {
  const isInPart = input.runs.some((run) => run.status === "ok" && run.voidSectors.length > 0);
  const struck = isInPart ? "struck out in whole or in part" : "struck out";
  return {
    level: "warn",
    kind: "lopsided-voids",
    rider: null,
    setup: more.setup,
    run: null,
    text: `${shareWords(more)} were ${struck}, ${otherShareWords(fewer)}: strike out only for causes that are not the set-up's doing`,
  };
}
