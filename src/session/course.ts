// What the sheet and later decisions say of course, riders and set-ups; read by every further step of
// a session.
import { type DayHours, NO_HOURS } from "../domain/day-hours.ts";
import type { Explored, FoundCheck } from "../domain/explored.ts";
import type { ForeignLine } from "../domain/foreign-line.ts";
import { type Gear, NO_GEAR } from "../domain/gear.ts";
import type {
  BoxId,
  Gate,
  Rider,
  RiderId,
  Settings,
  Setup,
  SetupId,
  SwapCost,
} from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import { entryIs } from "./entry-is.ts";
import type { Decision } from "./evidence.ts";

/** Course, riders and set-ups as they are now. */
export interface Course {
  readonly settings: Settings | null;
  readonly gates: readonly Gate[];
  readonly riders: readonly Rider[];
  readonly setups: readonly Setup[];
  readonly swapCosts: readonly SwapCost[];
  readonly hours: DayHours;
  readonly gear: Gear;
  readonly explored: Explored | null;
  readonly lines: readonly ForeignLine[];
  readonly check: FoundCheck | null;
  /** When the margin was changed to another one. */
  readonly marginChanges: readonly SessionUs[];
  readonly heldBecause: string | null;
  readonly isClosed: boolean;
}

const nothingKnown: Course = {
  settings: null,
  gates: [],
  riders: [],
  setups: [],
  swapCosts: [],
  hours: NO_HOURS,
  gear: NO_GEAR,
  explored: null,
  lines: [],
  check: null,
  marginChanges: [],
  heldBecause: null,
  isClosed: false,
};

/** Keys of `changed` that are there, over those of `settings`. */
function changedSettings(
  settings: Settings,
  changed: { readonly [K in keyof Settings]?: Settings[K] | undefined },
): Settings {
  const given = Object.entries(changed).filter(([, value]) => value !== undefined);
  return { ...settings, ...Object.fromEntries(given) };
}

const TYPES = [
  "session-made",
  "rider-added",
  "setup-added",
  "setup-changed",
  "settings-changed",
  "course-held",
  "course-opened",
  "session-closed",
  "session-reopened",
] as const;

function withDecision(
  course: Course,
  { entry, at }: Decision,
  note: (text: string) => void,
): Course {
  if (!entryIs(entry, TYPES)) return course;
  const what = `entry ${String(entry.seq)}`;
  switch (entry.type) {
    case "session-made":
      if (course.settings !== null) {
        note(`${what} makes the session a second time: the first holds`);
        return course;
      }
      return {
        ...course,
        settings: entry.body.settings,
        gates: entry.body.gates,
        swapCosts: entry.body.swaps,
        hours: entry.body.hours,
        gear: entry.body.gear,
        explored: entry.body.explored,
        lines: entry.body.lines,
      };
    case "rider-added":
      if (course.riders.some((r) => r.id === entry.body.id)) {
        note(`${what} adds rider ${entry.body.id} a second time`);
        return course;
      }
      return { ...course, riders: [...course.riders, entry.body] };
    case "setup-added":
      if (course.setups.some((s) => s.id === entry.body.id)) {
        note(`${what} adds set-up ${entry.body.id} a second time`);
        return course;
      }
      return { ...course, setups: [...course.setups, entry.body] };
    case "setup-changed": {
      const { setup, name, values } = entry.body;
      if (!course.setups.some((s) => s.id === setup)) {
        note(`${what} changes set-up ${setup}, which isn't there`);
        return course;
      }
      const changed = (s: Setup): Setup => ({ ...s, name: name ?? s.name, values });
      return { ...course, setups: course.setups.map((s) => (s.id === setup ? changed(s) : s)) };
    }
    case "settings-changed": {
      if (course.settings === null) {
        note(`${what} changes settings before the session was made`);
        return course;
      }
      const { check, ...changed } = entry.body;
      const settings = changedSettings(course.settings, changed);
      const isOther = settings.marginS !== course.settings.marginS;
      const marginChanges = isOther ? [...course.marginChanges, at] : course.marginChanges;
      const begun = check == null ? check : { ...check, entrySeq: entry.seq };
      return {
        ...course,
        settings,
        marginChanges,
        check: begun === undefined ? course.check : begun,
      };
    }
    case "course-held":
      return { ...course, heldBecause: entry.body.reason };
    case "course-opened":
      return { ...course, heldBecause: null };
    case "session-closed":
      return { ...course, isClosed: true };
    case "session-reopened":
      return { ...course, isClosed: false };
  }
}

/**
 * Course, riders and set-ups from the decisions that hold.
 *
 * @param before - what was known before them
 */
export function courseOf(
  holding: readonly Decision[],
  note: (text: string) => void,
  before: Course = nothingKnown,
): Course {
  return holding.reduce((course, decision) => withDecision(course, decision, note), before);
}

/** True if a receiver with lines of its own stands for the box. */
export function isForeign({ lines }: Course, box: BoxId): boolean {
  return lines.some(({ boxes }) => Object.values(boxes).includes(box));
}

/** True if the rider is one of this session's. */
export function hasRider(course: Course, rider: RiderId): boolean {
  return course.riders.some((r) => r.id === rider);
}

/** True if the set-up is one of this session's. */
export function hasSetup(course: Course, setup: SetupId): boolean {
  return course.setups.some((s) => s.id === setup);
}
