// The verdicts of a day at every look, by the engine that the screen uses; called by judge-day.ts for
// all riders together. The comparison itself keeps only the first call of a pair, which hides a
// later, wrong one.
import type { Verdict } from "../domain/comparison.ts";
import { layoutOf } from "../stats/design.ts";
import { Look } from "../stats/look.ts";
import { bandsOf, type Subject } from "../stats/replay.ts";
import { RowBank } from "../stats/row-bank.ts";

/**
 * The whole run's verdicts, replayed as the comparison replays them.
 *
 * @returns [look][pair]: look i is after i + 1 counted runs
 */
export function verdictsAtEveryLook(subject: Subject): readonly (readonly Verdict[])[] {
  const { runs, setups, drift } = subject;
  const bank = new RowBank(layoutOf(runs, setups, drift), 0);
  return runs.map((run, i) => {
    bank.add(run);
    return verdictsOf(new Look(bank, subject), subject, i + 1);
  });
}

/** The verdict of each pair at a look after n counted runs. */
export function verdictsOf(look: Look, { pairs }: Subject, n: number): readonly Verdict[] {
  return pairs.map((pair) => {
    const limits = bandsOf(pair, 0).at(n);
    return look.pair(0, pair.candidate, pair.baseline, limits).verdict;
  });
}
