// Which runs count, for a rider or for all together, and a session cut short after so many of them;
// called by compare.ts, together.ts, rider-fit.ts and by whoever answers `compare --after`.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import type { BankedRun } from "./row-bank.ts";

/** First counted runs on a set-up that was new to the rider. */
const EARLY_RUNS = 2;

interface RunCounts {
  readonly counted: number;
  /** Struck out, or treated so. */
  readonly void: number;
  readonly warmUp: number;
  readonly dnf: number;
  readonly unsure: number;
}

/** The runs of a rider, or of all, sorted by what they are worth to the comparison. */
export interface SortedRuns {
  /** Counted runs in run order. */
  readonly counted: readonly CountedRun[];
  readonly counts: RunCounts;
}

export interface CountedRun extends BankedRun {
  readonly rider: RiderId;
  readonly runId: string;
  readonly ground: number;
}

/** Sectors that the comparison speaks about: none on a stretch without splits. */
export function sectorCount(input: ComparisonInput): number {
  return input.sectors.length > 1 ? input.sectors.length : 0;
}

/** The block of a run: a rider on a day has a level and a session drift of their own. */
export function blockOf(rider: RiderId, day: number): string {
  return `${String(day)} ${rider}`;
}

/**
 * Sorts runs. A finished run counts unless the whole of it is struck out: by its status, in every
 * sector, in any sector of a stretch without splits, or in any sector while some counted run lacks
 * a split (the sectors cannot be added up then).
 *
 * @param riders - whose runs; a run that lacks a split bears on these riders together
 * @throws {RangeError} if a finished run has no time or no place in the order
 */
export function sortedRuns(input: ComparisonInput, riders: readonly RiderId[]): SortedRuns {
  const sectors = sectorCount(input);
  const runs = input.runs.filter((run) => riders.includes(run.rider));
  const finished = runs.filter((run) => run.status === "ok" && !isWhollyVoid(run, sectors));
  const isSplitMissing = sectors > 0 && finished.some((run) => !hasSplits(run, sectors));
  const counted = finished.filter((run) => !(isSplitMissing && run.voidSectors.length > 0));
  const count = (status: Run["status"]): number => runs.filter((r) => r.status === status).length;
  const early = earlyRuns(input, counted);
  return {
    counted: counted.map((run) => countedRun(run, sectors, early.has(run))),
    counts: {
      counted: counted.length,
      void: count("void") + count("ok") - counted.length,
      warmUp: count("warm-up"),
      dnf: count("dnf"),
      unsure: count("unsure"),
    },
  };
}

/**
 * The session as it stood after each rider's first n counted runs, with today's statuses, labels
 * and times: later runs are gone, and so is an earlier end announced later. A rider with fewer
 * counted runs keeps all of them.
 *
 * @param n - counted runs of each rider, 0 or more; whether anybody has that many is the caller's
 *   question
 */
export function afterRuns(input: ComparisonInput, n: number): ComparisonInput {
  const last = new Map<RiderId, string>();
  for (const rider of input.riders) {
    const { counted } = sortedRuns(input, [rider.id]);
    // The first run after the cut when nothing is to be kept, else the last before it.
    const cut = counted[Math.max(0, n - 1)];
    if (cut !== undefined) last.set(rider.id, cut.runId);
  }
  const ended = new Set<RiderId>();
  const runs = input.runs.filter((run) => {
    if (ended.has(run.rider)) return false;
    if (last.get(run.rider) !== run.runId) return true;
    ended.add(run.rider);
    return n > 0;
  });
  const plannedEnds = input.plannedEnds.filter((end) => end.announcedAtRun <= n);
  return { ...input, runs, plannedEnds, ground: groundAfter(input, runs) };
}

/** Ground of the next start once later runs are gone: steps marked after the last one left go with them. */
function groundAfter(input: ComparisonInput, runs: readonly Run[]): number {
  if (runs.length === input.runs.length) return input.ground;
  const day = Math.max(0, ...runs.map((run) => run.day));
  return Math.max(0, ...runs.filter((run) => run.day === day).map((run) => run.ground));
}

function countedRun(run: Run, sectors: number, isEarlyOnNew: boolean): CountedRun {
  if (run.timeS === null || run.k === null) {
    throw new RangeError("a finished run requires a time and a place in the order");
  }
  return {
    runId: run.runId,
    rider: run.rider,
    block: blockOf(run.rider, run.day),
    setup: run.setup,
    k: run.k,
    ground: run.ground,
    timeS: run.timeS,
    sectorS: sectors > 0 && hasSplits(run, sectors) ? run.sectorS.map((s) => s ?? 0) : null,
    voidSectors: sectors > 0 ? run.voidSectors.toSorted((a, b) => a - b) : [],
    isEarlyOnNew,
  };
}

function hasSplits(run: Run, sectors: number): boolean {
  return run.sectorS.length === sectors && run.sectorS.every((s) => s !== null);
}

function isWhollyVoid(run: Run, sectors: number): boolean {
  if (sectors === 0) return run.voidSectors.length > 0;
  return Array.from({ length: sectors }, (_, i) => i + 1).every((s) => run.voidSectors.includes(s));
}

function earlyRuns(input: ComparisonInput, counted: readonly Run[]): ReadonlySet<Run> {
  const seen = new Map<string, number>();
  return new Set(
    counted.filter((run) => {
      if (!isNewTo(input, run.rider, run.setup)) return false;
      const key = `${run.rider} ${run.setup}`;
      const ridden = seen.get(key) ?? 0;
      seen.set(key, ridden + 1);
      return ridden < EARLY_RUNS;
    }),
  );
}

function isNewTo(input: ComparisonInput, rider: RiderId, setup: SetupId): boolean {
  return input.riders.some((r) => r.id === rider && r.newTo.includes(setup));
}
