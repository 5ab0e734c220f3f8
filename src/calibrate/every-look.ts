// The verdicts of a day at every look, by the engine that the screen uses; called by judge-day.ts.
// The comparison itself keeps only the first call of a pair, which hides a later, wrong one.
import type { ComparisonInput, Verdict } from "../domain/comparison.ts";
import type { Rider } from "../domain/session.ts";
import { riderSubject } from "../stats/compare.ts";
import { sortedRuns } from "../stats/counted-runs.ts";
import { layoutOf } from "../stats/design.ts";
import { Look } from "../stats/look.ts";
import { bandsOf, type Subject } from "../stats/replay.ts";
import { RowBank } from "../stats/row-bank.ts";

/** What is promised about a rider's pairs: the same on every day of a trial. */
export function promisedSubject(before: ComparisonInput, rider: Rider): Subject {
  return riderSubject(before, rider, []);
}

/**
 * The whole run's verdicts, replayed as the comparison replays them.
 *
 * @param promised - as `promisedSubject` gives it for the same settings
 * @returns [look][pair]: look i is after i + 1 counted runs
 */
export function verdictsAtEveryLook(
  promised: Subject,
  input: ComparisonInput,
  rider: Rider,
): readonly (readonly Verdict[])[] {
  const { counted } = sortedRuns(input, [rider.id]);
  const { setups, drift, pairs } = promised;
  const bank = new RowBank(layoutOf(counted, setups, drift), 0);
  return counted.map((run, i) => {
    bank.add(run);
    const look = new Look(bank, promised);
    return pairs.map((pair) => {
      const limits = bandsOf(pair, 0).at(i + 1);
      return look.pair(0, pair.candidate, pair.baseline, limits).verdict;
    });
  });
}
