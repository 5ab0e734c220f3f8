// Which set-up is on whose bike, at any instant; called for each run and for the screen.
import type { Swap } from "../domain/happening.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import { type Course, hasRider, hasSetup } from "./course.ts";
import type { Decision } from "./evidence.ts";
import type { FixedPlan } from "./session.ts";

interface SwapMade {
  readonly day: number;
  readonly swap: Swap;
}

/** Swaps that hold, in order of time. */
export interface SwapBook {
  readonly swaps: readonly SwapMade[];
  /** On each rider's bike before the first swap of a day: the plan's first, else the baseline. */
  readonly first: ReadonlyMap<RiderId, SetupId>;
}

/** Gathers the swaps from the decisions that hold. */
export function swapBook(
  holding: readonly Decision[],
  course: Course,
  plan: FixedPlan | null,
  note: (text: string) => void,
): SwapBook {
  const baseline = (course.setups.find((s) => s.baseline) ?? course.setups[0])?.id;
  const first = new Map<RiderId, SetupId>();
  for (const { id } of course.riders) {
    const planned = plan?.riders.find((r) => r.rider === id)?.order[0];
    const setup = planned !== undefined && hasSetup(course, planned) ? planned : baseline;
    if (setup !== undefined) first.set(id, setup);
  }
  const made: SwapMade[] = [];
  for (const { entry, at, day } of holding) {
    if (entry.type !== "setup-swapped") continue;
    const { rider, setup, minutes, checked } = entry.body;
    if (!hasRider(course, rider) || !hasSetup(course, setup)) {
      note(`entry ${String(entry.seq)}: rider ${rider} or set-up ${setup} isn't there`);
      continue;
    }
    const what = { entrySeq: entry.seq, at, rider, toSetup: setup, minutes, isChecked: checked };
    made.push({ day, swap: { ...what, fromSetup: null } });
  }
  made.sort((a, b) => a.day - b.day || a.swap.at - b.swap.at || a.swap.entrySeq - b.swap.entrySeq);
  const newest = new Map<string, SetupId>();
  const swaps = made.map(({ day, swap }) => {
    const key = `${String(day)} ${swap.rider}`;
    const fromSetup = newest.get(key) ?? first.get(swap.rider) ?? null;
    newest.set(key, swap.toSetup);
    return { day, swap: { ...swap, fromSetup } };
  });
  return { swaps, first };
}

/**
 * The set-up on a rider's bike.
 *
 * @param at - a swap at that very instant is done; null for the day's end
 * @returns "" in a session without set-ups
 */
export function mountedAt(
  { swaps, first }: SwapBook,
  day: number,
  rider: RiderId,
  at: SessionUs | null,
): SetupId {
  const newest = swaps.findLast(
    (s) => s.day === day && s.swap.rider === rider && (at === null || s.swap.at <= at),
  );
  return newest?.swap.toSetup ?? first.get(rider) ?? "";
}
