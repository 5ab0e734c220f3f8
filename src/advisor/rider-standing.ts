// Where a rider's day stands: who leads, who is the closest rival, what is settled; called by
// next-setup.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Rider, SetupId } from "../domain/session.ts";
import { type CountedRun, sortedRuns } from "../stats/counted-runs.ts";
import { fitRider, type PairBand, type RiderFit } from "../stats/rider-fit.ts";
import { endRunOf, riderSetups } from "../stats/rider-plan.ts";

/** A set-up against the leader. */
export interface Rivalry {
  readonly setup: SetupId;
  /** That set-up minus the leader, in the band in force now; null before the first counted run. */
  readonly band: PairBand | null;
  readonly runs: number;
}

/** Who leads whom. */
export interface Standing {
  /** Set-up with the smallest adjusted mean; before any can be told the baseline, or what stands for it. */
  readonly leader: SetupId;
  readonly leaderRuns: number;
  /** The set-up that the day's question is about. */
  readonly rival: Rivalry;
  /** Everybody else with a verdict against the leader. */
  readonly settled: readonly Rivalry[];
  /** True if every other set-up has a verdict against the leader. */
  readonly isDecided: boolean;
}

export interface RiderStanding extends Standing {
  readonly counted: readonly CountedRun[];
  /** Degrees of freedom of the whole-run fit, 0 without one. */
  readonly rankDf: number;
  /** K: how many set-ups this is about. */
  readonly setups: number;
  /** N, or the earlier end announced; null without a plan. */
  readonly endRun: number | null;
}

/**
 * The standing of a rider.
 *
 * @returns undefined with fewer than two set-ups
 */
export function riderStanding(input: ComparisonInput, rider: Rider): RiderStanding | undefined {
  const fit = fitRider(input, rider.id);
  const { all, baseline } = riderSetups(input, rider);
  const standing = standingOf(fit, all, baseline);
  if (standing === undefined) return undefined;
  return {
    ...standing,
    counted: sortedRuns(input, [rider.id]).counted,
    rankDf: fit?.rankDf ?? 0,
    setups: all.length,
    endRun: endRunOf(input, rider),
  };
}

/**
 * Who leads, and who is the closest rival.
 *
 * The rival is the set-up without a verdict against the leader whose difference is the smallest
 * part of its band; one without a band comes first, fewest runs first. When all have verdicts, the
 * one whose verdict is the closest.
 *
 * @param fit - undefined before the first counted run
 * @param all - set-ups of the rider, baseline first
 * @returns undefined with fewer than two set-ups
 */
export function standingOf(
  fit: RiderFit | undefined,
  all: readonly SetupId[],
  baseline: SetupId,
): Standing | undefined {
  const first = all.includes(baseline) ? baseline : (all[0] ?? baseline);
  const leader = (fit && leaderOf(fit)) ?? first;
  const others = all
    .filter((setup) => setup !== leader)
    .map((setup): Rivalry => {
      const band = fit?.pairBand(setup, leader) ?? null;
      return { setup, band, runs: runsOn(fit, setup) };
    });
  const open = others.filter(isOpen);
  const [rival] = (open.length > 0 ? open : others).toSorted(
    (a, b) => closeness(a) - closeness(b) || a.runs - b.runs,
  );
  if (rival === undefined) return undefined;
  return {
    leader,
    leaderRuns: runsOn(fit, leader),
    rival,
    settled: others.filter((other) => other !== rival && !isOpen(other)),
    isDecided: open.length === 0,
  };
}

/** Half-width of the band in force, s; null while infinite. */
export function halfWidthNow({ band }: Rivalry): number | null {
  return band !== null && Number.isFinite(band.halfWidthS) ? band.halfWidthS : null;
}

function isOpen({ band }: Rivalry): boolean {
  return band === null || band.verdict === "cannot-tell";
}

function leaderOf(fit: RiderFit): SetupId | undefined {
  let smallestS = Number.POSITIVE_INFINITY;
  let leader: SetupId | undefined;
  fit.meansS.forEach((meanS, i) => {
    if (meanS === null || meanS >= smallestS) return;
    smallestS = meanS;
    leader = fit.setups[i];
  });
  return leader;
}

/** Difference over half-width; below 0 without a band, so that it comes first. */
function closeness(rivalry: Rivalry): number {
  const half = halfWidthNow(rivalry);
  const differenceS = rivalry.band?.differenceS ?? null;
  return half === null || differenceS === null ? -1 : differenceS / half;
}

function runsOn(fit: RiderFit | undefined, setup: SetupId): number {
  return fit?.runs[fit.setups.indexOf(setup)] ?? 0;
}
