// Means of something by set-up, least first; called by the remarks on rest and exertion.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { SetupId } from "../../domain/session.ts";

/** chosen: a mean of two is as odd as its odder one; test/summary/remarks/rest.test.ts. */
const FEWEST = 3;

export interface SetupMean {
  readonly setup: SetupId;
  readonly mean: number;
}

/** Means of the set-ups with at least three values, least first; empty with fewer than two of them. */
export function setupMeans(
  { setups }: Pick<ComparisonInput, "setups">,
  values: readonly { readonly setup: SetupId; readonly value: number }[],
): readonly SetupMean[] {
  const means = setups.flatMap(({ id: setup }): readonly SetupMean[] => {
    const own = values.filter((each) => each.setup === setup).map(({ value }) => value);
    if (own.length < FEWEST) return [];
    return [{ setup, mean: own.reduce((sum, value) => sum + value, 0) / own.length }];
  });
  return means.length < 2 ? [] : means.toSorted((a, b) => a.mean - b.mean);
}
