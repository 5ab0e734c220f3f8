// Rest of a rider between a finish and the next start: what is due, what was had, and where a break
// was; called by the remarks and by whoever calls riders up.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId } from "../domain/session.ts";
import { type SessionUs, sessionUs } from "../domain/time.ts";
import { BREAK_MINUTES, costsToday, intervalsOf, runsToday, type TimeBasis } from "./time-left.ts";

const US_A_MINUTE = 60e6;

/**
 * The earliest next start of a rider, from the sheet's least rest (`rest_minutes`); the way back up
 * counts as rest.
 *
 * @returns null: no rest is asked for, or the rider has not come in today, or is out again
 */
export function restNeeded(
  input: Pick<ComparisonInput, "runs" | "hours">,
  rider: RiderId,
): SessionUs | null {
  const { restMinutes } = input.hours;
  const finishedAt = lastFinish(input, rider);
  if (restMinutes === null || finishedAt === null) return null;
  return sessionUs(finishedAt + restMinutes * US_A_MINUTE);
}

/**
 * Minutes that a rider has rested so far.
 *
 * @param now - session time
 * @returns null: the rider has not come in today, or is out again
 */
export function minutesSinceFinish(
  input: Pick<ComparisonInput, "runs">,
  rider: RiderId,
  now: SessionUs,
): number | null {
  const finishedAt = lastFinish(input, rider);
  return finishedAt === null ? null : Math.max(0, now - finishedAt) / US_A_MINUTE;
}

function lastFinish(input: Pick<ComparisonInput, "runs">, rider: RiderId): SessionUs | null {
  return runsToday(input).findLast((run) => run.rider === rider)?.finishedAt ?? null;
}

/** A counted run and what lay between it and the rider's run before it. */
export interface RestBefore {
  readonly run: Run;
  /** From that run's finish to this one's start, minutes, the way back up included; null: not timed. */
  readonly minutes: number | null;
  /** Beyond a lap and the swap between them, minutes; null: no more than 20, which is no break. */
  readonly breakMinutes: number | null;
}

/** The rests of a rider before the counted runs of a day that were timed by the clock, in run order. */
export function restsBefore(input: TimeBasis, rider: RiderId, day: number): readonly RestBefore[] {
  const costs = costsToday(input, rider, day);
  return intervalsOf(input, rider, day)
    .filter(({ to }) => to.status === "ok")
    .map(({ from, to, minutes }) => {
      const { lapMinutes } = costs;
      const { finishedAt } = from;
      const beyond =
        lapMinutes === null ? 0 : minutes - lapMinutes - costs.swapMinutes(from.setup, to.setup);
      const rested =
        finishedAt === null || to.startedAt === null
          ? null
          : Math.max(0, to.startedAt - finishedAt) / US_A_MINUTE;
      return {
        run: to,
        minutes: rested,
        breakMinutes: beyond > BREAK_MINUTES ? beyond : null,
      };
    });
}

/** The counted runs of a rider on a day that came after a break, without a warm-up between. */
export function breakBefore(input: TimeBasis, rider: RiderId, day: number): readonly RestBefore[] {
  return restsBefore(input, rider, day).filter(({ breakMinutes }) => breakMinutes !== null);
}
