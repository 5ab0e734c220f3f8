// Says when the plan will hardly bring a verdict any more; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import { isHardlyAnyChance } from "../../stats/futility.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { answerPairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** One note for each answer in which every open pair is so. */
export function hardlyAnyChances(basis: RemarkBasis): readonly Remark[] {
  return answerPairs(basis).flatMap(({ rider, runs, pairs }): readonly Remark[] => {
    const open = pairs.filter((pair) => pair.verdict === "cannot-tell");
    const isHopeless = open.every((pair) =>
      isHardlyAnyChance(runs, pair.df, pair.chance_within_plan),
    );
    if (open.length === 0 || !isHopeless) return [];
    const who = rider === null ? "" : whose(basis.input, rider);
    const what =
      open.length < pairs.length
        ? `a verdict on ${open.map((p) => p.setup).join(", ")}`
        : "a verdict";
    return [
      {
        level: "note",
        kind: "hardly-any-chance",
        rider,
        setup: null,
        run: null,
        text: `${who}hardly any chance of ${what} within the plan: stopping early costs nothing`,
      },
    ];
  });
}
