// The comparison as if nothing had been struck out, to be held beside the real one; called by the
// remarks.
import type { Band, ComparisonInput, Pair, Verdict } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId } from "../domain/session.ts";
import { voidCause } from "../domain/void-reason.ts";
import { riderSubject } from "./compare.ts";
import { sectorCount, sortedRuns } from "./counted-runs.ts";
import { bandsOf, lastLook, type Subject } from "./replay.ts";
import { stackSubject } from "./together.ts";

/** Fewest riders for a claim about all of them. */
const FEWEST_RIDERS = 3;

/** What the runs would say of a pair. */
export interface PairAnswer extends Pick<Pair, "setup" | "baseline" | "difference_s" | "band_s"> {
  readonly verdict: Verdict;
}

/** The answers with everything counted that was struck out. */
export interface StruckOutCounted {
  /** Null: all riders together. */
  readonly rider: RiderId | null;
  /** Whole runs brought back, and sectors of runs that counted anyway; not both 0. */
  readonly runs: number;
  readonly sectors: number;
  /** Of the whole run. */
  readonly pairs: readonly PairAnswer[];
}

/**
 * Counts every struck-out run that has a time, and every struck-out sector, and fits again: places in
 * the day, plan and bands stay, read at the number of runs that then count. What was struck out for a
 * fault of the timing is left out: it has no time that was ridden.
 *
 * @param input - the session as its journal has it now
 * @returns for each rider with anything to bring back, and for all together where there are three
 *   riders or more; empty if nothing was struck out
 * @throws {RangeError} if a finished run has no place in the order
 */
export function struckOutCounted(input: ComparisonInput): readonly StruckOutCounted[] {
  const struck = input.runs.filter(isBroughtBack);
  if (struck.length === 0) return [];
  const all: ComparisonInput = {
    ...input,
    runs: input.runs.map((run) =>
      isBroughtBack(run) ? { ...run, status: "ok", voidSectors: [] } : run,
    ),
  };
  const answers = (rider: RiderId | null, runs: readonly Run[], subject: Subject) => ({
    rider,
    ...counts(runs, sectorCount(input)),
    pairs: pairAnswers(subject),
  });
  const ids = input.riders.map((rider) => rider.id);
  const own = input.riders.flatMap((rider) => {
    const runs = struck.filter((run) => run.rider === rider.id);
    if (runs.length === 0) return [];
    return answers(rider.id, runs, riderSubject(all, rider, sortedRuns(all, [rider.id]).counted));
  });
  if (ids.length < FEWEST_RIDERS) return own;
  return [...own, answers(null, struck, stackSubject(all, sortedRuns(all, ids).counted))];
}

function isBroughtBack(run: Run): boolean {
  if (run.timeS === null || voidCause(run.reason) === "timing-fault") return false;
  return run.status === "void" || (run.status === "ok" && run.voidSectors.length > 0);
}

/** On a stretch without splits a struck-out sector is the run. */
function counts(
  runs: readonly Run[],
  sectors: number,
): { readonly runs: number; readonly sectors: number } {
  const inPart = runs.filter((run) => run.status === "ok" && sectors > 0);
  return {
    runs: runs.length - inPart.length,
    sectors: inPart.reduce((sum, run) => sum + run.voidSectors.length, 0),
  };
}

function pairAnswers(subject: Subject): readonly PairAnswer[] {
  const look = lastLook(subject);
  return subject.pairs.map((pair): PairAnswer => {
    const { candidate, baseline } = pair;
    const limits = bandsOf(pair, 0).at(subject.runs.length);
    const { estimate, multiplier, verdict } = look.pair(0, candidate, baseline, limits);
    const differenceS = estimate.figures?.differenceS ?? null;
    const half = multiplier * (estimate.figures?.error?.standardErrorS ?? Number.POSITIVE_INFINITY);
    const band: Band | null =
      differenceS !== null && Number.isFinite(half)
        ? [differenceS - half, differenceS + half]
        : null;
    return { setup: candidate, baseline, difference_s: differenceS, band_s: band, verdict };
  });
}
