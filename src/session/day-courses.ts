// What was said about course, riders and set-ups on each day of a merged session, and what of it holds
// for all of them; second step of every session.
import { type Course, courseOf } from "./course.ts";
import type { Decision, Fold } from "./evidence.ts";

/** The sheets of a session's days. */
export interface DayCourses {
  /** What holds for the comparison and the screen. */
  readonly whole: Course;
  /** What each day was ridden by, by day: whose box, whose transponder, which limits. */
  readonly byDay: readonly Course[];
}

/**
 * Course, riders and set-ups, day by day and together.
 *
 * What was promised before run 1 is the first day's: margin, planned runs, bands. Where things stand
 * and what the day may take is the newest one's. Riders and set-ups are everybody's; of two with one
 * id the first holds.
 */
export function dayCourses(
  fold: Fold,
  holding: readonly Decision[],
  note: (text: string) => void,
): DayCourses {
  if (fold.day === 0) {
    const only = courseOf(holding, note);
    return { whole: only, byDay: [only] };
  }
  const own = (day: number): Course =>
    courseOf(
      holding.filter((decision) => decision.day === day && !decision.isAfterMerge),
      note,
    );
  const first = own(0);
  const later = fold.dayMarks.map((_, i) => own(i + 1));
  const together = later.reduce(joined, first);
  const saidAlready = (): void => undefined;
  const after = holding.filter((decision) => decision.isAfterMerge);
  const whole = courseOf(after, note, together);
  const days = later.map((course, i) => {
    if (course.settings === null) return whole;
    return i === later.length - 1 ? courseOf(after, saidAlready, course) : course;
  });
  return { whole, byDay: [first.settings === null ? whole : first, ...days] };
}

function joined(before: Course, day: Course): Course {
  const { settings, gates } = before;
  return {
    settings:
      settings === null || day.settings === null
        ? (settings ?? day.settings)
        : {
            ...settings,
            expectedRunS: day.settings.expectedRunS,
            minutes: day.settings.minutes,
            lapMinutes: day.settings.lapMinutes,
            travelMinS: day.settings.travelMinS,
            travelMaxS: day.settings.travelMaxS,
          },
    gates: gates.length === 0 || day.gates.length === gates.length ? day.gates : gates,
    riders: firstOfEach([...before.riders, ...day.riders], (rider) => rider.id),
    setups: firstOfEach([...before.setups, ...day.setups], (setup) => setup.id),
    swapCosts: firstOfEach([...day.swapCosts, ...before.swapCosts], (s) => `${s.from} ${s.to}`),
    hours: day.hours,
    gear: day.gear,
    explored: before.explored,
    lines: day.lines,
    check: before.check,
    marginChanges: before.marginChanges,
    heldBecause: day.heldBecause,
    isClosed: day.isClosed,
  };
}

function firstOfEach<T>(all: readonly T[], key: (item: T) => string): readonly T[] {
  const seen = new Set<string>();
  return all.filter((item) => {
    const isNew = !seen.has(key(item));
    seen.add(key(item));
    return isNew;
  });
}
