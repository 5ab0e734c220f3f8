// What a planner should hear about the hours of the day, in plain words; called by plan-warnings.ts.
// Only ids, keys and numbers go in, so that no typed text reaches a screen here.
import type { EndOfPlan, PlanSheet } from "./plan-figures.ts";
import { isWithinHours, lightUntil, minutesAfterDark } from "./plan-fit.ts";
import { minutesOfDay, type PlannedDay, paceOf } from "./plan-hours.ts";
import { timeOfDay } from "./timetable.ts";

/** In spreads; beyond it only differences show that nobody needs a clock for. */
export const HOPELESS_DIFFERENCE = 2.2;

export interface HourFacts {
  /** Set-ups of the rider whose plan this is. */
  readonly setups: number;
  readonly runs: number | null;
  readonly days: readonly PlannedDay[];
  readonly runsThatFit: number | null;
  /** What so many runs would promise; undefined: nothing. */
  readonly endThatFits: EndOfPlan | undefined;
}

/** The warnings, what matters most first. */
export function hourWarnings(sheet: PlanSheet, facts: HourFacts): readonly string[] {
  return [
    ...unknownHours(sheet),
    ...tooLong(sheet, facts),
    ...tooLate(sheet, facts),
    ...breakWarnings(facts),
    ...paceWarnings(sheet),
    ...halfDayWarnings(sheet, facts),
  ];
}

/** What is declared and cannot be reckoned with. */
function unknownHours({ settings, hours, gear, riders }: PlanSheet): readonly string[] {
  const isAsked =
    settings.minutes !== null ||
    hours.lightUntil !== null ||
    hours.breaks.length > 0 ||
    hours.mostRunsHalfDay !== null;
  if (settings.lapMinutes === null) {
    return isAsked
      ? ["lap_minutes is missing: whether the day fits in its hours is not known"]
      : [];
  }
  const warnings: string[] = [];
  if (hours.lightUntil !== null && hours.arriveAt === null) {
    warnings.push("light_until needs arrive: when the last finish comes is not known");
  }
  if (hours.arriveAt !== null && hours.gatesMinutes === null) {
    warnings.push("gates_minutes is missing: the first start is put at the arrival");
  }
  if (gear.bikes.length > 0 && gear.bikes.length < riders.length) {
    const bikes = gear.bikes.length === 1 ? "1 bike" : `${String(gear.bikes.length)} bikes`;
    warnings.push(
      `${String(riders.length)} riders share ${bikes}: the timetable is that of riding side by side`,
    );
  }
  return warnings;
}

function tooLong(sheet: PlanSheet, facts: HourFacts): readonly string[] {
  const { minutes: limit, lapMinutes, days: planned } = sheet.settings;
  const { setups, runs, days, runsThatFit, endThatFits } = facts;
  if (limit === null || lapMinutes === null || runsThatFit === null) return [];
  if (limit < lapMinutes) {
    return [
      `minutes = ${amount(limit)} is shorter than one lap of ${amount(lapMinutes)} min: no run fits`,
    ];
  }
  if (runs === 0)
    return [`no run fits in ${amount(limit)} min: the warm-up and practice take them`];
  const longest = Math.max(0, ...days.map((day) => day.lastFinish));
  if (days.every((day) => isWithinHours(sheet, day))) return [];
  const each = planned > 1 ? ` over ${String(planned)} days` : "";
  const take = planned > 1 ? "take on the longest" : "take";
  const warnings = [
    `does not fit: ${String(runs ?? 0)} runs${each} with warm-up, practice, swaps and breaks ${take} ${whole(longest)} of ${whole(limit)} min; ${wouldDo(runsThatFit, "fit")}`,
  ];
  const cannot = `${String(setups)} set-ups cannot be sorted out in ${whole(limit)} min: `;
  const least = endThatFits?.smallestDifference ?? Number.POSITIVE_INFINITY;
  if (runsThatFit > 0 && !Number.isFinite(least)) {
    const few = `${wouldFit(runsThatFit)} too few to promise anything`;
    warnings.push(`${cannot}${few}; plan more time${setups > 2 ? ", or compare fewer" : ""}`);
  } else if (setups > 2 && runsThatFit > 0 && least >= HOPELESS_DIFFERENCE) {
    warnings.push(
      `${cannot}${String(runsThatFit)} runs show only differences of ${least.toFixed(1)} spreads or more; plan more time, or compare fewer`,
    );
  }
  return warnings;
}

function tooLate(sheet: PlanSheet, { days, runsThatFit }: HourFacts): readonly string[] {
  const light = lightUntil(sheet);
  const [latest] = days.toSorted((a, b) => b.lastFinish - a.lastFinish);
  if (latest?.firstStart == null) return [];
  const finish = latest.firstStart + latest.lastFinish;
  const packed = latest.firstStart + latest.packed;
  if (light === null) {
    const isNight = finish >= minutesOfDay("24:00");
    return isNight ? ["the last finish would be after midnight: check arrive and minutes"] : [];
  }
  const ends = `daylight ends at ${timeOfDay(light)}`;
  if (latest.firstStart >= light) {
    return [`${ends}, before the first start at ${timeOfDay(latest.firstStart)}`];
  }
  if (minutesAfterDark(sheet, latest) > 0) {
    const fit = runsThatFit === null ? "" : `: ${wouldDo(runsThatFit, "do")}`;
    return [`${ends}, the last finish would be at ${timeOfDay(finish)}${fit}`];
  }
  return packed > light ? [`${ends}, packing would go on until ${timeOfDay(packed)}`] : [];
}

function breakWarnings({ days }: HourFacts): readonly string[] {
  // Of several days the longest: a shorter one may end before its break.
  const [longest] = days.toSorted((a, b) => a.missedBreaks.length - b.missedBreaks.length);
  return (longest?.missedBreaks ?? []).map(({ afterRun, at }) => {
    const which = afterRun === null ? `at ${at ?? "no time"}` : `after run ${String(afterRun)}`;
    return `the break ${which} never comes before a run: it is left out`;
  });
}

function paceWarnings(sheet: PlanSheet): readonly string[] {
  const { settings, hours } = sheet;
  const pace = paceOf(sheet);
  if (pace === null || settings.lapMinutes === null) return [];
  const warnings: string[] = [];
  if (pace.run > settings.lapMinutes) {
    warnings.push(
      `lap_minutes = ${amount(settings.lapMinutes)} is shorter than expected_run_s: a lap is the run and the way back up, so this plan takes ${amount(pace.lap)} min`,
    );
  }
  if (hours.restMinutes === null) return warnings;
  if (settings.expectedRunS === null) {
    warnings.push("rest_minutes needs expected_run_s: how long the way back up takes is not known");
  } else if (pace.run + pace.rest > pace.lap) {
    const longer = `from ${amount(pace.lap)} to ${amount(pace.run + pace.rest)} min`;
    warnings.push(
      `rest_minutes = ${amount(pace.rest)} makes a lap without a swap longer: ${longer}`,
    );
  }
  return warnings;
}

function halfDayWarnings({ hours }: PlanSheet, { days }: HourFacts): readonly string[] {
  const most = hours.mostRunsHalfDay;
  if (most === null) return [];
  const [busiest] = days.flatMap((day) => day.busiest ?? []).toSorted((a, b) => b.runs - a.runs);
  if (busiest === undefined || busiest.runs <= most) return [];
  return [
    `${busiest.rider} would start ${String(busiest.runs)} times in half a day (5 hours), warm-up and practice included: more than most_runs_half_day = ${String(most)}`,
  ];
}

function wouldDo(runs: number, how: string): string {
  if (runs === 0) return `not one run would ${how}`;
  return runs === 1 ? `1 run would ${how}` : `${String(runs)} runs would ${how}`;
}

function wouldFit(runs: number): string {
  return runs === 1 ? "the 1 run that would fit is" : `the ${String(runs)} runs that would fit are`;
}

function whole(minutes: number): string {
  return String(Math.round(minutes));
}

function amount(minutes: number): string {
  return String(Math.round(minutes * 10) / 10);
}
