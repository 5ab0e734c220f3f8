// Whether it is time to say that the plan will hardly bring a verdict; called by the remark on it.

/**
 * Below this chance of a verdict within the plan. chosen: by simulation, a plan of 20 runs in which
 * nothing differs then ends after 15, and at a difference of one spread 1 day in 1000 loses its
 * verdict; at 0.10 it would be several in 100. test/reference/futility.test.ts has cases.
 */
const HARDLY_ANY = 0.03;
const FEWEST_RUNS = 6;
const FEWEST_DF = 3;

/**
 * Whether hardly any chance is left. Stopping then costs no honesty: it only takes verdicts away.
 *
 * @param runs - counted runs
 * @param df - of the difference; null: not known
 * @param chance - of a verdict within the plan, as the forecast gives it; null: none is given
 */
export function isHardlyAnyChance(runs: number, df: number | null, chance: number | null): boolean {
  if (df === null || chance === null) return false;
  return runs >= FEWEST_RUNS && df >= FEWEST_DF && chance < HARDLY_ANY;
}
