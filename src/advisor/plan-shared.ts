// How long the day takes when riders share bikes and parts; called by plan-day.ts and the warnings.
import { clubDay } from "./call-up-day.ts";
import type { PlanSheet } from "./plan-figures.ts";
import { WARM_UP_LAPS } from "./plan-hours.ts";

/** The day in turns, minutes from first start to last finish. */
export interface SharedDay {
  readonly minutes: number;
  readonly startsPerHour: number;
}

/**
 * The longest day as the call-up list would run it, with warm-up laps in turns and breaks on top.
 *
 * @param sheet - with a number of runs
 * @returns null where nothing is shared, or without a lap time
 */
export function sharedDay(sheet: PlanSheet): SharedDay | null {
  const { gear, hours, settings, riders } = sheet;
  const lap = settings.lapMinutes;
  if (lap === null || (gear.bikes.length === 0 && gear.parts.length === 0)) return null;
  const days = Array.from({ length: settings.days }, (_, day) => clubDay(sheet, day));
  const longest = days.reduce((a, b) => ((b?.minutes ?? 0) > (a?.minutes ?? 0) ? b : a));
  if (longest == null) return null;
  const turns = gear.bikes.length === 0 ? 1 : Math.ceil(riders.length / gear.bikes.length);
  const breaks = hours.breaks.reduce((sum, each) => sum + each.minutes, 0);
  return {
    minutes: longest.minutes + turns * WARM_UP_LAPS * lap + breaks,
    startsPerHour: longest.startsPerHour,
  };
}

/** False if the day in turns is longer than the hours. */
export function fitsShared(sheet: PlanSheet): boolean {
  const limit = sheet.settings.minutes;
  const day = limit === null ? null : sharedDay(sheet);
  return day === null || limit === null || day.minutes <= limit;
}
