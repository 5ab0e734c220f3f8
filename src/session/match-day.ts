// The passings of one day and what was decided about them, in the matcher's words; called by the
// session for each day.
import { partOfTag } from "../domain/gear.ts";
import type { SessionUs } from "../domain/time.ts";
import type {
  Detection,
  MatchDecisions,
  MatchedRun,
  MatchInput,
  MatchResult,
  NamedAt,
} from "../match/detection.ts";
import { changedRuns, latePassings } from "../match/late-passings.ts";
import { matchDetections } from "../match/match-detections.ts";
import type { Course } from "./course.ts";
import { type EntryOf, entryIs } from "./entry-is.ts";
import type { Decision } from "./evidence.ts";
import type { SeenPassing } from "./seen-passing.ts";

interface PassingDecision {
  readonly assigned: NamedAt | null;
  readonly rejectedAt: SessionUs | null;
  readonly promotedAt: SessionUs | null;
}

const undecided: PassingDecision = { assigned: null, rejectedAt: null, promotedAt: null };

interface DayDecisions {
  readonly passings: Map<string, PassingDecision>;
  readonly joins: Map<string, string>;
  readonly intoRun: Map<string, string>;
  readonly splitRuns: Map<string, SessionUs>;
  readonly nextStarters: NamedAt[];
  readonly riderCorrections: Map<string, readonly NamedAt[]>;
  readonly offCourse: Map<string, SessionUs>;
  readonly confirmed: Set<string>;
}

function assign(day: DayDecisions, entry: EntryOf<"passing-assigned">, at: SessionUs): void {
  const { passing, rider, run } = entry.body;
  if (passing === null) {
    if (rider !== null) day.nextStarters.push({ rider, at });
    return;
  }
  const before = day.passings.get(passing) ?? undecided;
  day.passings.set(passing, { ...before, assigned: rider === null ? null : { rider, at } });
  if (run === null) day.intoRun.delete(passing);
  else day.intoRun.set(passing, run);
}

function join(day: DayDecisions, start: string, finish: string): void {
  for (const [f, s] of day.joins) if (s === start) day.joins.delete(f);
  day.joins.set(finish, start);
}

const TYPES = [
  "passing-assigned",
  "passing-rejected",
  "passing-promoted",
  "run-split",
  "runs-joined",
  "rider-corrected",
  "run-marked",
] as const;

function take(day: DayDecisions, decision: Decision): void {
  const { entry, at } = decision;
  if (!entryIs(entry, TYPES)) return;
  switch (entry.type) {
    case "passing-assigned":
      assign(day, entry, at);
      return;
    case "passing-rejected": {
      const before = day.passings.get(entry.body.passing) ?? undecided;
      day.passings.set(entry.body.passing, { ...before, rejectedAt: at, promotedAt: null });
      return;
    }
    case "passing-promoted": {
      const before = day.passings.get(entry.body.passing) ?? undecided;
      day.passings.set(entry.body.passing, { ...before, rejectedAt: null, promotedAt: at });
      return;
    }
    case "run-split":
      day.splitRuns.set(entry.body.run, at);
      return;
    case "runs-joined":
      join(day, entry.body.start, entry.body.finish);
      return;
    case "rider-corrected": {
      const { run, rider } = entry.body;
      day.riderCorrections.set(run, [...(day.riderCorrections.get(run) ?? []), { rider, at }]);
      return;
    }
    case "run-marked": {
      const { run, mark, sectors } = entry.body;
      if (sectors.length > 0) return;
      if (mark === "dnf") day.offCourse.set(run, at);
      else day.offCourse.delete(run);
      if (mark === "ok") day.confirmed.add(run);
      else day.confirmed.delete(run);
    }
  }
}

/** Passings named by decisions that nobody has seen, in words. */
function unknownPassings(
  holding: readonly Decision[],
  known: ReadonlySet<string>,
): readonly string[] {
  return holding.flatMap(({ entry }) => {
    const named =
      entry.type === "passing-assigned" ||
      entry.type === "passing-rejected" ||
      entry.type === "passing-promoted"
        ? [entry.body.passing]
        : entry.type === "runs-joined"
          ? [entry.body.start, entry.body.finish]
          : [];
    return named.flatMap((id) =>
      id === null || known.has(id) ? [] : [`entry ${String(entry.seq)}: no passing ${id} is known`],
    );
  });
}

function detection(seen: SeenPassing, course: Course, decided: PassingDecision): Detection {
  const tagged = course.riders.find((r) => r.tag !== null && r.tag === seen.tag);
  const isOfPart = seen.tag !== null && partOfTag(course.gear, seen.tag) !== null;
  return {
    passingId: seen.passingId,
    entrySeq: seen.entrySeq,
    gates: seen.gates,
    at: seen.instants[0].at,
    source: seen.source,
    taggedRider: seen.keyedRider ?? tagged?.id ?? null,
    unknownTag: tagged === undefined && !isOfPart ? seen.tag : null,
    looksWrong: seen.looksWrong,
    ...decided,
  };
}

/** The match, and on each run that was matched otherwise before something came late, that it was. */
function saysWhatChanged(input: MatchInput): MatchResult {
  const match = matchDetections(input);
  const late = latePassings(input.detections);
  if (late.size === 0) return match;
  const inTime = input.detections.filter((d) => !late.has(d.passingId));
  const changed = changedRuns(match, matchDetections({ ...input, detections: inTime }), late);
  const said = (run: MatchedRun): MatchedRun =>
    changed.has(run.startId)
      ? { ...run, flags: [...run.flags, "match changed by late passings"] }
      : run;
  return { ...match, runs: match.runs.map(said) };
}

/**
 * Matches one day.
 *
 * @param seen - that day's passings, without those from before the session
 * @param holding - that day's decisions that hold
 * @param now - newest instant known of that day
 */
export function matchDay(
  seen: readonly SeenPassing[],
  course: Course,
  holding: readonly Decision[],
  now: SessionUs,
  note: (text: string) => void,
): MatchResult {
  const day: DayDecisions = {
    passings: new Map(),
    joins: new Map(),
    intoRun: new Map(),
    splitRuns: new Map(),
    nextStarters: [],
    riderCorrections: new Map(),
    offCourse: new Map(),
    confirmed: new Set(),
  };
  for (const decision of holding) take(day, decision);
  unknownPassings(holding, new Set(seen.map((s) => s.passingId))).forEach(note);
  const { passings, ...runs } = day;
  runs.nextStarters.sort((a, b) => a.at - b.at);
  const decisions: MatchDecisions = runs;
  return saysWhatChanged({
    detections: seen.map((s) => detection(s, course, passings.get(s.passingId) ?? undecided)),
    finishGate: Math.max(course.gates.length - 1, 1),
    riders: course.riders.map((r) => r.id),
    expectedS: course.settings?.expectedRunS ?? null,
    travelMinS: course.settings?.travelMinS ?? 10,
    travelMaxS: course.settings?.travelMaxS ?? 1800,
    now,
    decisions,
  });
}
