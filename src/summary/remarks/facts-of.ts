// What is known of the runs beside their times, as the input of the comparison carries it; called by
// the makers of remarks about speeds, parts and blocks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { DayFacts } from "../../domain/day-facts.ts";

/** Nothing known: a session made from times alone. */
const NO_FACTS: DayFacts = { entries: [], partReads: [], blocks: [] };

export function factsOf(input: ComparisonInput & { readonly facts?: DayFacts }): DayFacts {
  return input.facts ?? NO_FACTS;
}
