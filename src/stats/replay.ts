// A rider's session, or all riders' together, run by run: the first look with a verdict for every
// pair, and the last look; called by compare.ts, together.ts and rider-fit.ts.
import type { DriftModel, SetupId } from "../domain/session.ts";
import type { BandPlan } from "./band-in-force.ts";
import { layoutOf } from "./design.ts";
import { Look, type LookSettings } from "./look.ts";
import { type BankedRun, RowBank } from "./row-bank.ts";

/** A pair with the bands that were fixed for it before run 1. */
export interface PlannedBands {
  readonly candidate: SetupId;
  readonly baseline: SetupId;
  readonly whole: BandPlan;
  readonly sector: BandPlan;
}

/** All that one comparison is worked out from. */
export interface Subject extends LookSettings {
  /** Counted runs in order. */
  readonly runs: readonly BankedRun[];
  /** Every set-up, baseline first. */
  readonly setups: readonly SetupId[];
  readonly drift: DriftModel;
  /** Sector times that the runs carry; 0 on a stretch without splits. */
  readonly sectors: number;
  /** Whether the sectors are parts of the answer, or only there for what is struck out. */
  readonly isBySector: boolean;
  readonly pairs: readonly PlannedBands[];
}

/** Number of parts in the answer: the whole run, then the sectors. */
export function partCount(subject: Subject): number {
  return subject.isBySector ? 1 + subject.sectors : 1;
}

/** The bands of a pair in a part: 0 the whole run, 1, 2, ... the sectors. */
export function bandsOf(pair: PlannedBands, part: number): BandPlan {
  return part === 0 ? pair.whole : pair.sector;
}

/** The look after all runs. */
export function lastLook(subject: Subject): Look {
  const bank = new RowBank(layoutOf(subject.runs, subject.setups, subject.drift), subject.sectors);
  for (const run of subject.runs) bank.add(run);
  return new Look(bank, subject);
}

/**
 * Replays every look with today's statuses, labels and times.
 *
 * A look costs the same however many runs came before it: the runs are kept as triangular factors.
 *
 * @returns for each part (0 the whole run) and each pair, the first number of counted runs with a
 *   verdict other than `cannot-tell`, or null
 */
export function firstCalls(subject: Subject): readonly (readonly (number | null)[])[] {
  const bank = new RowBank(layoutOf(subject.runs, subject.setups, subject.drift), subject.sectors);
  const calls = Array.from({ length: partCount(subject) }, () =>
    subject.pairs.map((): number | null => null),
  );
  let open = calls.length * subject.pairs.length;
  for (const [i, run] of subject.runs.entries()) {
    if (open === 0) break;
    const n = i + 1;
    bank.add(run);
    const look = new Look(bank, subject);
    calls.forEach((called, part) => {
      subject.pairs.forEach((pair, p) => {
        if (called[p] !== null) return;
        const limits = bandsOf(pair, part).at(n);
        const { verdict } = look.pair(part, pair.candidate, pair.baseline, limits);
        if (verdict === "cannot-tell") return;
        called[p] = n;
        open -= 1;
      });
    });
  }
  return calls;
}
