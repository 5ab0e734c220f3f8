// Which set-up is on whose bike, at any instant; called for each run and for the screen.
import type { Swap } from "../domain/happening.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import { type Course, hasRider, hasSetup } from "./course.ts";
import type { Decision } from "./evidence.ts";

/** From that instant on, that set-up is on that rider's bike. */
interface Fitting {
  readonly day: number;
  readonly at: SessionUs;
  readonly seq: number;
  readonly rider: RiderId;
  readonly setup: SetupId;
  /** What the swap said besides; null where imported runs show what was ridden last. */
  readonly swap: { readonly minutes: number | null; readonly isChecked: boolean } | null;
}

/** What was fitted when, in order of time. */
export interface SwapBook {
  readonly fittings: readonly Fitting[];
  readonly swaps: readonly Swap[];
  /** On each rider's bike before the first swap of a day: the baseline, the bike as it came. */
  readonly first: ReadonlyMap<RiderId, SetupId>;
}

/** Gathers the swaps from the decisions that hold. */
export function swapBook(
  holding: readonly Decision[],
  course: Course,
  note: (text: string) => void,
): SwapBook {
  const baseline = (course.setups.find((s) => s.baseline) ?? course.setups[0])?.id;
  const first = new Map<RiderId, SetupId>();
  if (baseline !== undefined) for (const { id } of course.riders) first.set(id, baseline);
  const fittings: Fitting[] = [];
  for (const { entry, at, day } of holding) {
    if (entry.type === "times-imported") {
      for (const { rider, setup } of entry.body.rows) {
        if (!hasRider(course, rider) || !hasSetup(course, setup)) continue;
        fittings.push({ day, at, seq: entry.seq, rider, setup, swap: null });
      }
    }
    if (entry.type !== "setup-swapped") continue;
    const { rider, setup, minutes, checked } = entry.body;
    if (!hasRider(course, rider) || !hasSetup(course, setup)) {
      note(`entry ${String(entry.seq)}: rider ${rider} or set-up ${setup} isn't there`);
      continue;
    }
    const swap = { minutes, isChecked: checked };
    fittings.push({ day, at, seq: entry.seq, rider, setup, swap });
  }
  fittings.sort((a, b) => a.day - b.day || a.at - b.at || a.seq - b.seq);
  return { fittings, swaps: swapsOf(fittings, first), first };
}

/** The swaps among the fittings, each with what was on the bike before it. */
function swapsOf(
  fittings: readonly Fitting[],
  first: ReadonlyMap<RiderId, SetupId>,
): readonly Swap[] {
  const newest = new Map<string, SetupId>();
  return fittings.flatMap(({ day, at, seq, rider, setup, swap }) => {
    const key = `${String(day)} ${rider}`;
    const fromSetup = newest.get(key) ?? first.get(rider) ?? null;
    newest.set(key, setup);
    return swap === null ? [] : [{ entrySeq: seq, at, rider, fromSetup, toSetup: setup, ...swap }];
  });
}

/**
 * The set-up on a rider's bike.
 *
 * @param at - a swap at that very instant is done; null for the day's end
 * @returns "" in a session without set-ups
 */
export function mountedAt(
  { fittings, first }: SwapBook,
  day: number,
  rider: RiderId,
  at: SessionUs | null,
): SetupId {
  const newest = fittings.findLast(
    (fitting) =>
      fitting.day === day && fitting.rider === rider && (at === null || fitting.at <= at),
  );
  return newest?.setup ?? first.get(rider) ?? "";
}
