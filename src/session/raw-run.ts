// Runs as timed or imported, before any mark: times, sectors, doubts. Made from the matching.
import type { TimedBy } from "../domain/run.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { type SessionUs, sessionUs } from "../domain/time.ts";
import type { MatchedRun } from "../match/detection.ts";
import { flagsWithin, type Trouble } from "./box-troubles.ts";
import { type Course, hasRider, hasSetup } from "./course.ts";
import type { Decision } from "./evidence.ts";
import type { Unmarked } from "./run-marks.ts";
import type { SeenPassing } from "./seen-passing.ts";
import { type Travel, travel } from "./travel.ts";

/** One run before marks, set-ups and k. */
export interface RawRun extends Unmarked {
  readonly runId: string;
  /** Seq of the entry that opened it. */
  readonly openedBy: number;
  readonly day: number;
  /** Place in the order of runs, session time; imported rows stand after what was there before. */
  readonly order: number;
  /** Row of the import; 0 for timed runs. */
  readonly row: number;
  readonly rider: RiderId;
  /** Given by an import; null for timed runs. */
  readonly setup: SetupId | null;
  readonly startedAt: SessionUs | null;
  readonly finishedAt: SessionUs | null;
  readonly timeS: number | null;
  readonly uncertaintyS: number | null;
  readonly sectorS: readonly (number | null)[];
  readonly lastGate: number;
  readonly reason: string | null;
  readonly timedBy: TimedBy;
  readonly isProvisional: boolean;
  readonly flags: readonly string[];
}

/** Gates where the beam saw nothing of this run and the transponder alone gave the time. */
function tagFlags(at: readonly (SeenPassing | undefined)[]): readonly string[] {
  return at.flatMap((passing, i) => {
    if (passing?.source !== "transponder") return [];
    const where = i === 0 ? "start" : i === at.length - 1 ? "finish" : `split ${String(i)}`;
    return [`${where} by transponder alone`];
  });
}

function timedBy(start: SeenPassing, finish: SeenPassing | undefined): TimedBy {
  const sources = [start.source, finish?.source ?? start.source];
  if (sources.includes("hand") || sources.includes("button")) return "hand";
  return sources.includes("transponder") ? "transponder" : "beam";
}

/** Sector times from the times since the start, so that they add up to the run. */
function sectorTimes(sinceStart: readonly (Travel | null)[]): readonly (number | null)[] {
  return sinceStart.slice(1).map((to, i) => {
    const from = sinceStart[i] ?? null;
    return to === null || from === null ? null : (to.us - from.us) / 1e6;
  });
}

/** What a run is timed with. */
export interface TimedOf {
  readonly day: number;
  readonly seen: ReadonlyMap<string, SeenPassing>;
  /** Of that day. */
  readonly troubles: readonly Trouble[];
  readonly now: SessionUs;
  /** Up to when every box has told all: see `settledUntil`. */
  readonly settled: SessionUs;
}

/** A matched run with its times; null if its start is not known. */
export function timedRun(
  run: MatchedRun,
  { day, seen, troubles, now, settled }: TimedOf,
): RawRun | null {
  const start = seen.get(run.startId);
  if (start === undefined) return null;
  const at = run.passingIds.map((id) => (id === null ? undefined : seen.get(id)));
  const sinceStart = at.map((passing) => (passing === undefined ? null : travel(start, passing)));
  const finish = run.isFinished ? at.at(-1) : undefined;
  const whole = finish === undefined ? null : (sinceStart.at(-1) ?? null);
  const startedAt = start.instants[0].at;
  const finishedAt = finish?.instants[0].at ?? null;
  const instants = at.flatMap((passing) => passing?.instants[0].at ?? []);
  // A run under way has no time yet that could change.
  const isSettled = whole === null || instants.every((instant) => instant <= settled);
  const doubts = new Set(sinceStart.flatMap((t) => t?.doubt ?? []));
  const isUnsure = run.isAmbiguous || (whole !== null && whole.doubt !== null);
  const isPromoted = at.some((passing) => passing?.looksWrong === true);
  const flags = [
    ...run.flags,
    ...doubts,
    ...(isPromoted ? ["taken for a bike by hand"] : []),
    ...tagFlags(at),
    ...flagsWithin(troubles, startedAt, finishedAt ?? now),
  ];
  return {
    runId: run.runId,
    openedBy: Number(run.runId),
    day,
    order: startedAt,
    row: 0,
    rider: run.rider,
    setup: null,
    startedAt,
    finishedAt,
    hasTime: whole !== null,
    timeS: whole === null ? null : whole.us / 1e6,
    uncertaintyS: whole?.uncertaintyS ?? null,
    sectors: at.length - 1,
    hasSplits: at.length > 2,
    sectorS: sectorTimes(sinceStart),
    lastGate: Math.max(
      0,
      at.findLastIndex((passing) => passing !== undefined),
    ),
    status: whole === null ? "on-course" : isUnsure ? "unsure" : "ok",
    isOut: whole === null && !run.isDoubtful,
    reason: null,
    timedBy: timedBy(start, finish),
    isProvisional: !isSettled || sinceStart.some((t) => t?.isProvisional === true),
    flags,
  };
}

/**
 * The runs of an import, in order of its rows; rows that name nobody of this session are left out.
 *
 * @param order - place of the whole import in the order of runs
 */
export function importedRuns(
  { entry, day }: Decision,
  order: number,
  course: Course,
  note: (text: string) => void,
): readonly RawRun[] {
  if (entry.type !== "times-imported") return [];
  const sectors = Math.max(course.gates.length - 1, 1);
  return entry.body.rows.flatMap((row, i) => {
    const runId = `${String(entry.seq)}.${String(i + 1)}`;
    if (!hasRider(course, row.rider) || !hasSetup(course, row.setup)) {
      note(`${runId}: rider ${row.rider} or set-up ${row.setup} isn't there`);
      return [];
    }
    const hasTime = row.timeS !== null;
    const startedAt = row.startedAtUs === null ? null : sessionUs(row.startedAtUs);
    const finishedAt =
      startedAt === null || row.timeS === null
        ? null
        : sessionUs(startedAt + Math.round(row.timeS * 1e6));
    const status = row.status !== "ok" || hasTime ? row.status : "dnf";
    return [
      {
        runId,
        openedBy: entry.seq,
        day,
        order,
        row: i + 1,
        rider: row.rider,
        setup: row.setup,
        startedAt,
        finishedAt,
        hasTime,
        timeS: status === "dnf" ? null : row.timeS,
        uncertaintyS: row.uncertaintyS,
        sectors,
        hasSplits: sectors > 1,
        sectorS: Array.from({ length: sectors }, (_, s) => row.sectorS[s] ?? null),
        lastGate: hasTime ? sectors : 0,
        status,
        isOut: false,
        reason: row.reason,
        timedBy: "import" as const,
        isProvisional: false,
        flags: [],
      },
    ];
  });
}
