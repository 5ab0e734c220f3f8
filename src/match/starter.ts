// Whose start is it, when nothing says so? Used by the matcher for starts without a name.
import type { RiderId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import type { NamedAt } from "./detection.ts";

/** An earlier start, as it could be known at a later instant. */
export interface PastStart {
  readonly at: SessionUs;
  /** Whose start it was held to be at that instant. */
  readonly riderAt: (then: SessionUs) => RiderId;
  /** Counted as a start at that instant: not struck out, not a false start. */
  readonly countsAt: (then: SessionUs) => boolean;
  /** Its rider was on course at that instant. */
  readonly isOnCourseAt: (then: SessionUs) => boolean;
}

/** The rider as last named up to an instant; `first` before any name was given. */
export function namedUpTo(first: RiderId, names: readonly NamedAt[], then: SessionUs): RiderId {
  let rider = first;
  for (const name of names) if (name.at <= then) rider = name.rider;
  return rider;
}

/**
 * The rider of a start that nothing names: the "next start is X" given since the last start, else the
 * rider not on course with fewest starts so far, then longest since the last start, then sheet
 * order. It looks only at what was known at that instant, so that a later correction of an earlier
 * start never rewrites it.
 *
 * @param then - instant of the start; infinity for the next one to come
 * @param riders - sheet order
 * @param nextStarters - in order of time
 * @returns null without riders
 */
export function starterAt(
  then: SessionUs,
  riders: readonly RiderId[],
  past: readonly PastStart[],
  nextStarters: readonly NamedAt[],
): RiderId | null {
  if (riders.length < 2) return riders[0] ?? null;
  const starts = new Map(riders.map((r) => [r, { count: 0, lastAt: -Infinity, isOut: false }]));
  let lastStart = Number.NEGATIVE_INFINITY;
  for (const start of past) {
    if (start.at >= then || !start.countsAt(then)) continue;
    lastStart = Math.max(lastStart, start.at);
    const of = starts.get(start.riderAt(then));
    if (of === undefined) continue;
    of.count += 1;
    of.lastAt = Math.max(of.lastAt, start.at);
    of.isOut ||= start.isOnCourseAt(then);
  }
  const decided = nextStarters.findLast((d) => d.at <= then);
  if (decided !== undefined && decided.at > lastStart && riders.includes(decided.rider)) {
    return decided.rider;
  }
  const order = riders.toSorted((a, b) => {
    const x = starts.get(a);
    const y = starts.get(b);
    if (x === undefined || y === undefined) return 0;
    if (x.isOut !== y.isOut) return x.isOut ? 1 : -1;
    if (x.count !== y.count) return x.count - y.count;
    return x.lastAt === y.lastAt ? 0 : x.lastAt - y.lastAt;
  });
  return order[0] ?? null;
}
