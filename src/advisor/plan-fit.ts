// Whether planned days fit in their hours and in the daylight, and how many runs would; called by
// plan-day.ts and the warnings.
import { firstRider, type PlanSheet } from "./plan-figures.ts";
import { minutesOfDay, type PlannedDay, plannedDays } from "./plan-hours.ts";

/** Runs beyond which a day without a planned number is no longer filled. */
const MOST_RUNS = 200;

/**
 * Whether each day's first start to last finish fits in the session's hours and ends in daylight.
 *
 * @param days - of the sheet
 * @returns null without a day, and if neither the hours nor the daylight is known
 */
export function fitsDays(sheet: PlanSheet, days: readonly PlannedDay[]): boolean | null {
  if (days.length === 0) return null;
  if (sheet.settings.minutes === null && lightUntil(sheet) === null) return null;
  return days.every((day) => isWithinHours(sheet, day) && minutesAfterDark(sheet, day) <= 0);
}

/** Whether a day's first start to last finish fits in the session's hours, where these are known. */
export function isWithinHours({ settings }: PlanSheet, day: PlannedDay): boolean {
  return settings.minutes === null || day.lastFinish <= settings.minutes;
}

/**
 * Minutes by which the last finish comes too late for the daylight; 0 or less if in time, or if the
 * end of the daylight or the arrival is not known.
 */
export function minutesAfterDark(sheet: PlanSheet, day: PlannedDay): number {
  const light = lightUntil(sheet);
  return light === null || day.firstStart === null ? 0 : day.firstStart + day.lastFinish - light;
}

/**
 * Most runs of the first rider, nobody riding more, that fit in the hours and in the daylight.
 *
 * @returns null without a lap time, and if neither hours nor daylight are known; at most 200
 */
export function runsThatFit(sheet: PlanSheet): number | null {
  if (sheet.settings.lapMinutes === null) return null;
  if (sheet.settings.minutes === null && lightUntil(sheet) === null) return null;
  const fits = (runs: number): boolean => {
    const capped = withRuns(sheet, runs);
    return fitsDays(capped, plannedDays(capped)) === true;
  };
  let runs = 0;
  while (runs < MOST_RUNS && fits(runs + 1)) runs += 1;
  return runs;
}

/** The sheet with so many runs for its first rider, and no more than that for anybody. */
export function withRuns(sheet: PlanSheet, runs: number): PlanSheet {
  const first = firstRider(sheet);
  const { settings } = sheet;
  return {
    ...sheet,
    settings: { ...settings, plannedRuns: Math.min(settings.plannedRuns ?? runs, runs) },
    riders: sheet.riders.map((rider) => {
      if (rider === first) return { ...rider, plannedRuns: runs };
      const { plannedRuns } = rider;
      return { ...rider, plannedRuns: plannedRuns === null ? null : Math.min(plannedRuns, runs) };
    }),
  };
}

/** End of the daylight, minutes after midnight; null without it or without a time of arrival. */
export function lightUntil({ hours }: PlanSheet): number | null {
  return hours.lightUntil === null || hours.arriveAt === null
    ? null
    : minutesOfDay(hours.lightUntil);
}
