// The timetable of planned days as people read it; called by plan-day.ts.
import type { TimetableLine } from "../domain/plan.ts";
import type { PlannedDay } from "./plan-hours.ts";

const MINUTES_A_DAY = 1440;

/**
 * Everything that takes place, day after day: times of day where the arrival is known, else hours
 * from each day's first start.
 */
export function timetableOf(days: readonly PlannedDay[]): readonly TimetableLine[] {
  return days.flatMap(({ steps, firstStart }, day) =>
    steps.map(({ at, what }, i) => ({
      at: firstStart === null ? hoursFrom(at) : timeOfDay(firstStart + at),
      what: days.length > 1 && i === 0 ? `day ${String(day + 1)}: ${what}` : what,
    })),
  );
}

/** `19:05`, from minutes after midnight; past midnight the next day's. */
export function timeOfDay(minutes: number): string {
  const whole = Math.round(minutes) % MINUTES_A_DAY;
  return `${two(Math.floor(whole / 60))}:${two(whole % 60)}`;
}

/** `1:35`, `-0:40`. */
function hoursFrom(minutes: number): string {
  const whole = Math.round(Math.abs(minutes));
  const sign = minutes < 0 && whole > 0 ? "-" : "";
  return `${sign}${String(Math.floor(whole / 60))}:${two(whole % 60)}`;
}

function two(n: number): string {
  return String(n).padStart(2, "0");
}
