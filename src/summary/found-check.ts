// The closing check of a value that was found: what the comparison is worked out from once it has
// begun; called by the summary.
import { lapMinutes, minutesUsed } from "../advisor/time-left.ts";
import type { ComparisonInput } from "../domain/comparison.ts";
import type { FoundCheck } from "../domain/explored.ts";
import type { Run } from "../domain/run.ts";
import { baselineOf, type RiderId } from "../domain/session.ts";
import type { Session } from "../session/session.ts";

/** The check that holds: of a set-up that is there and is not the present one; null without one. */
export function foundCheckOf({ explored, check, setups }: Session): FoundCheck | null {
  if (explored === null || check === null || setups.length < 2) return null;
  const isThere = setups.some((setup) => setup.id === check.setup);
  return isThere && check.setup !== baselineOf(setups).id ? check : null;
}

/** True for a run that was opened after the check had begun; only those belong to it. */
export function isOfCheck({ runId }: Pick<Run, "runId">, check: FoundCheck): boolean {
  return Number.parseInt(runId, 10) > check.entrySeq;
}

/**
 * The session as a comparison of two set-ups, the value found against the present one, planned anew:
 * two set-ups, so many runs, the plan band. The runs that chose the value never count in it, for the
 * best of what was tried looks better than it is.
 *
 * @param whole - the session with all its runs
 */
export function checkInput(whole: ComparisonInput, check: FoundCheck): ComparisonInput {
  const present = baselineOf(whole.setups).id;
  const compared = [present, check.setup];
  const after = placedAnew(whole.runs.filter((run) => isOfCheck(run, check)));
  // Whatever else was ridden keeps its place in the day.
  const runs = after.filter((run) => compared.includes(run.setup));
  const isHere = (runId: string | null): boolean =>
    runId === null || runs.some((run) => run.runId === runId);
  return {
    ...whole,
    settings: {
      ...whole.settings,
      plannedRuns: check.runs,
      days: 1,
      bands: "plan",
      mainSetup: null,
      minutes: minutesForCheck(whole, runs),
    },
    riders: whole.riders.map((rider) => ({
      ...rider,
      newTo: rider.newTo.filter((setup) => compared.includes(setup)),
      setups: null,
      plannedRuns: null,
    })),
    setups: whole.setups
      .filter(({ id }) => compared.includes(id))
      .toSorted((a, b) => compared.indexOf(a.id) - compared.indexOf(b.id)),
    plannedSetups: compared,
    runs,
    isWarm: true,
    // An end announced before belongs to the exploring.
    plannedEnds: [],
    incidents: whole.incidents.filter((each) => isHere(each.runId)),
    ratings: whole.ratings.filter((each) => isHere(each.runId)),
    measures: whole.measures.filter((each) => isHere(each.runId)),
  };
}

/** k again from 1: the first that is no warm-up, whatever else it is, then every run. */
function placedAnew(runs: readonly Run[]): readonly Run[] {
  const newest = new Map<RiderId, number>();
  return runs.map((run) => {
    const before = newest.get(run.rider) ?? 0;
    if (run.k === null || (before === 0 && run.status === "warm-up")) return { ...run, k: null };
    newest.set(run.rider, before + 1);
    return { ...run, k: before + 1 };
  });
}

/** Minutes of the day less those that the exploring took. */
function minutesForCheck(whole: ComparisonInput, runs: readonly Run[]): number | null {
  const { minutes } = whole.settings;
  const lap = lapMinutes(whole, whole.riders[0]?.id ?? "") ?? 0;
  if (minutes === null) return null;
  return minutes - minutesUsed(whole, lap) + minutesUsed({ ...whole, runs }, lap);
}
