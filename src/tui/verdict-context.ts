// What the words about a rider's pairs, or about all riders together, need besides the pair; called
// by board, console, plain output and the command line.
import type { Comparison, RiderComparison } from "../domain/comparison.ts";
import type { Rider } from "../domain/session.ts";
import type { VerdictContext } from "./present/verdict-words.ts";

/** For the pairs of one rider. */
export function riderContext(
  comparison: Comparison,
  riders: readonly Rider[],
  rider: RiderComparison,
): VerdictContext {
  return {
    marginS: comparison.settings.margin_s,
    newTo: riders.find((each) => each.id === rider.rider)?.newTo ?? [],
    df: rider.df,
    isOneOfSeveral: (rider.parts[0]?.pairs.length ?? 0) > 1,
  };
}

/** For the pairs of all riders together. */
export function togetherContext(comparison: Comparison, riders: readonly Rider[]): VerdictContext {
  return {
    marginS: comparison.settings.margin_s,
    newTo: riders.flatMap((rider) => rider.newTo),
    newToWhom: "a rider",
    isOneOfSeveral: (comparison.together?.pairs.length ?? 0) > 1,
  };
}
