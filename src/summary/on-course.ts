// Who is on course, since when, where, and when to worry. Used by the summary.
import { median } from "simple-statistics";
import type { Run } from "../domain/run.ts";
import { sectorNames } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import type { Session } from "../session/session.ts";

export interface OnCourse {
  readonly run: Run;
  readonly riderName: string;
  readonly since: SessionUs;
  /** Where the rider is as far as the gates know: the sector after the last gate passed. */
  readonly sector: string;
  /** Usual time of this stretch, s; null while nothing is known. */
  readonly usualS: number | null;
  /** From this time on course the rider is overdue, s. */
  readonly overdueAfterS: number;
  /** True if a later start makes it unlikely that this one still comes: "DNF?". */
  readonly isDoubtful: boolean;
}

/** Overdue at half as much again as usual: chosen, a rider who stops for 30 s on a 60 s run is looked for. */
const OVERDUE_FACTOR = 1.5;

/** Everyone on course, longest first. */
export function onCourse(session: Session): readonly OnCourse[] {
  const sectors = sectorNames(session.gates);
  const usualS = usualRunS(session);
  return session.runs.flatMap((run) => {
    if (run.status !== "on-course" || run.startedAt === null) return [];
    return [
      {
        run,
        riderName: session.riders.find((r) => r.id === run.rider)?.name ?? run.rider,
        since: run.startedAt,
        sector: sectors[run.lastGate] ?? "",
        usualS,
        overdueAfterS:
          usualS === null ? (session.settings?.travelMaxS ?? 1800) : usualS * OVERDUE_FACTOR,
        isDoubtful: run.flags.some((flag) => flag.startsWith("DNF?")),
      },
    ];
  });
}

/** Median of the finished runs once there are three, else what the sheet expects. */
function usualRunS(session: Session): number | null {
  const times = session.runs.flatMap((run) => (run.timeS === null ? [] : [run.timeS]));
  if (times.length >= 3) return median(times);
  return session.settings?.expectedRunS ?? null;
}
