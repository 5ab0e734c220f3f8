// What riders expected before they had ridden: which set-up will be quicker, and by how much; shown
// once the clock has spoken, because who expects it may ride it so.
import type { ComparisonInput } from "../domain/comparison.ts";
import { EXPECTED_KEY } from "../domain/measure-keys.ts";
import type { RiderId, SetupId } from "../domain/session.ts";

export interface Expectation {
  readonly rider: RiderId;
  readonly setup: SetupId;
  /** Against the baseline, s: below 0 quicker. */
  readonly expectedS: number;
  /** Said after the rider's first counted run, so no expectation any more. */
  readonly isLate: boolean;
}

/**
 * The last word of each rider on each set-up before the first counted run, and the last one after
 * it; riders in the sheet's order. Where it is not known when the first run was, it is taken as late.
 */
export function expectationsOf(
  input: Pick<ComparisonInput, "riders" | "runs" | "measures">,
): readonly Expectation[] {
  const said = new Map<string, Expectation>();
  for (const { key, rider, setup, value, at } of input.measures) {
    if (key !== EXPECTED_KEY || rider === null || setup === null || typeof value !== "number") {
      continue;
    }
    const first = input.runs.find((run) => run.rider === rider && run.status === "ok");
    const isLate = first !== undefined && !(first.startedAt !== null && at < first.startedAt);
    const expectation = { rider, setup, expectedS: value, isLate };
    said.set([rider, setup, String(isLate)].join(" "), expectation);
  }
  const all = [...said.values()];
  return input.riders.flatMap(({ id }) => all.filter((each) => each.rider === id));
}
