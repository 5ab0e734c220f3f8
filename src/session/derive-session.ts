// The state of a session from everything folded in: called by `sessionOf`, once a fold.
import { median } from "simple-statistics";
import type { BoxHealth, PortHealth } from "../domain/equipment.ts";
import type { Passing, PassingState } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId } from "../domain/session.ts";
import { type SessionUs, sessionUs } from "../domain/time.ts";
import type { Fate, MatchResult } from "../match/detection.ts";
import { boxTroubles } from "./box-troubles.ts";
import { type Course, isForeign } from "./course.ts";
import { dayCourses } from "./day-courses.ts";
import { anchorsOn, type BoxEvidence, type Decision, type Fold } from "./evidence.ts";
import { byOrder, finishedRuns } from "./finished-runs.ts";
import { groundNow, stepMarks } from "./ground.ts";
import { itemsOf } from "./growing.ts";
import { happeningsOf, strayRuns } from "./happenings.ts";
import { matchDay } from "./match-day.ts";
import { mountedAt, swapBook } from "./mounted.ts";
import { importedRuns, type RawRun, timedRun } from "./raw-run.ts";
import { markBook } from "./run-marks.ts";
import { type SeenPassing, seenPassings } from "./seen-passing.ts";
import type { Session } from "./session.ts";
import { hasRunAt, plannedEnds, planOf } from "./settled-plan.ts";
import { settledUntil } from "./settled-until.ts";
import { takenBack, undoables } from "./taken-back.ts";

/** Anomalies kept for the screen. */
const RECENT = 50;

/** Runs and fates of one day. */
interface Day {
  readonly day: number;
  readonly course: Course;
  readonly now: SessionUs;
  readonly seen: readonly SeenPassing[];
  readonly old: ReadonlySet<SeenPassing>;
  readonly match: MatchResult;
}

function daysOf(
  fold: Fold,
  courses: readonly Course[],
  holding: readonly Decision[],
  note: (text: string) => void,
): readonly Day[] {
  return courses.map((course, day) => {
    const decided = fold.day === 0 ? holding : holding.filter((d) => d.day === day);
    const seen = seenPassings(fold, day, course, decided, note);
    const began =
      fold.beganAt.get(day) ?? fold.beganAt.get(0) ?? sessionUs(Number.NEGATIVE_INFINITY);
    const old = new Set(seen.filter((p) => p.source !== "hand" && p.instants[0].at < began));
    const current = old.size === 0 ? seen : seen.filter((p) => !old.has(p));
    const latest = [...current.map((p) => p.instants[0].at), ...decided.map((d) => d.at)];
    const ended = day === fold.day ? fold.now : fold.dayMarks[day]?.dayBeforeEndedAt;
    const now = sessionUs(latest.reduce<number>((a, b) => Math.max(a, b), ended ?? began));
    return { day, course, now, seen, old, match: matchDay(current, course, decided, now, note) };
  });
}

function rawRuns(
  fold: Fold,
  course: Course,
  holding: readonly Decision[],
  days: readonly Day[],
  note: (text: string) => void,
): readonly RawRun[] {
  const runs: RawRun[] = [];
  for (const { day, course: ownCourse, now, seen, match } of days) {
    const byId = new Map(seen.map((p) => [p.passingId, p]));
    const troubles = boxTroubles(fold, day, ownCourse);
    const settled = settledUntil(fold, day, ownCourse);
    for (const run of match.runs) {
      const timed = timedRun(run, { day, seen: byId, troubles, now, settled });
      if (timed !== null) runs.push(timed);
    }
  }
  const timed = runs.slice();
  const newestOrder = new Map<number, number>();
  for (const decision of holding) {
    const { entry, at, day } = decision;
    if (entry.type !== "times-imported") continue;
    let order = newestOrder.get(day) ?? Number.NEGATIVE_INFINITY;
    // After what the file already held, whatever the clock of the laptop that imported says.
    for (const run of timed) {
      if (run.day === day && run.openedBy < entry.seq) order = Math.max(order, run.order);
    }
    order = Math.max(order, at);
    newestOrder.set(day, order);
    runs.push(...importedRuns(decision, order, course, note));
  }
  return runs.sort(byOrder);
}

function shownPassing(
  seen: SeenPassing,
  state: PassingState,
  fate: Fate | null,
  rider: RiderId | null,
): Passing {
  const [instant] = seen.instants;
  return {
    passingId: seen.passingId,
    entrySeq: seen.entrySeq,
    box: seen.box,
    boot: seen.boot,
    boxSeq: seen.boxSeq,
    boxUs: seen.boxUs,
    clock: seen.clock,
    instants: seen.instants,
    gateParts: seen.gateParts,
    gate: fate?.gate ?? seen.gates[0] ?? null,
    at: instant.at,
    uncertaintyS: Math.hypot(
      instant.uncertaintyS,
      ...seen.gateParts.map((part) => part.uncertaintyS),
    ),
    source: seen.source,
    tag: seen.tag,
    rider,
    blockedS: seen.blockedS,
    pulses: seen.pulses,
    runId: fate?.runId ?? null,
    state,
    isProvisional: instant.isProvisional,
  };
}

function passingsOf(days: readonly Day[], holding: readonly Decision[]): readonly Passing[] {
  const assigned = new Map<string, RiderId | null>();
  for (const { entry } of holding) {
    if (entry.type === "passing-assigned" && entry.body.passing !== null) {
      assigned.set(entry.body.passing, entry.body.rider);
    }
  }
  const shown = days.flatMap(({ course, seen, old, match }) => {
    const tagged = new Map(course.riders.flatMap((r) => (r.tag === null ? [] : [[r.tag, r.id]])));
    return seen.map((p) => {
      const fate = match.fates.get(p.passingId) ?? null;
      const byTag = p.tag === null ? null : (tagged.get(p.tag) ?? null);
      const rider = assigned.get(p.passingId) ?? p.keyedRider ?? byTag;
      return shownPassing(p, old.has(p) ? "old" : (fate?.state ?? "orphan"), fate, rider);
    });
  });
  return shown.sort((a, b) => a.at - b.at || a.entrySeq - b.entrySeq);
}

/** Gaps from which the usual one is told. */
const FEWEST_GAPS = 3;
/** A box on a cable speaks every two seconds, none more often. */
const LEAST_GAP_S = 2;

function usualGapS({ heartbeats }: BoxEvidence): number | null {
  if (heartbeats === null || heartbeats.gapsS.length < FEWEST_GAPS) return null;
  return Math.max(LEAST_GAP_S, median([...heartbeats.gapsS]));
}

function healthOf(box: BoxEvidence): BoxHealth {
  return {
    box: box.box,
    boot: box.current,
    role: box.role,
    lastHeardAt: box.lastHeardAt,
    battMv: box.battMv,
    beamPct: box.beamPct,
    usualGapS: usualGapS(box),
    glitches: box.glitches,
    battery: box.battery,
    isBlocked: box.edge.isBlocked,
    exchanges: box.boots.get(box.current)?.exchangeCount ?? 0,
    restarts: box.restarts,
    isDisputed: box.disputedBoot === box.current,
  };
}

/** What a receiver with lines of its own does not tell. */
const MUTE = { isMute: true, battMv: null, beamPct: null, battery: [] } as const;

/** Boxes of the sheet in riding order, then any others; of a merged session the newest day's. */
function boxesOf(fold: Fold, course: Course): readonly BoxHealth[] {
  const heard = new Map<string, BoxHealth>();
  for (const box of fold.boxes.values()) {
    if (box.day !== fold.day) continue;
    const health = healthOf(box);
    heard.set(box.box, isForeign(course, box.box) ? { ...health, ...MUTE } : health);
  }
  const named = [...new Set(course.gates.flatMap((gate) => gate.box ?? []))];
  const unheard = { boot: null, role: null, lastHeardAt: null, battMv: null, beamPct: null };
  const untroubled = { isBlocked: false, exchanges: 0, restarts: 0, isDisputed: false };
  const ofSheet = named.map((box) => heard.get(box) ?? { box, ...unheard, ...untroubled });
  return [...ofSheet, ...[...heard.values()].filter((box) => !named.includes(box.box))];
}

function runNamer(runs: readonly Run[], course: Course, days: number): (runId: string) => string {
  const byId = new Map(runs.map((run) => [run.runId, run]));
  return (runId) => {
    const run = byId.get(runId);
    if (run === undefined) return `run ${runId}`;
    const of = course.riders.length > 1 ? ` of ${run.rider}` : "";
    const on = days > 1 ? ` on day ${String(run.day + 1)}` : "";
    return run.k === null ? `the warm-up${of}${on}` : `run ${String(run.k)}${of}${on}`;
  };
}

function gateNamer({ gates }: Course): (gate: number) => string {
  return (gate) => {
    if (gate === 0) return "the start";
    return gate === gates.length - 1 ? "the finish" : `split ${String(gate)}`;
  };
}

/** Works the session out from the fold. Total: whatever was folded in, it gives a session. */
export function deriveSession(fold: Fold): Session {
  const anomalies: string[] = [...itemsOf(fold.anomalies)];
  const note = (text: string): void => void anomalies.push(text);
  const taken = takenBack(itemsOf(fold.decisions));
  taken.anomalies.forEach(note);
  const { holding } = taken;
  const { whole: course, byDay } = dayCourses(fold, holding, note);
  const days = daysOf(fold, byDay, holding, note);
  const raw = rawRuns(fold, course, holding, days, note);
  const marks = markBook(holding);
  const so = { runs: raw, marks };
  const plan = planOf(holding, so, note);
  const swaps = swapBook(holding, course, note);
  const runs = finishedRuns(raw, marks, swaps, course, holding, note);
  const happenings = happeningsOf(holding);
  strayRuns(holding, new Set(runs.map((run) => run.runId))).forEach(note);
  const ports: readonly PortHealth[] = [...fold.ports.values()];
  return {
    lastSeq: fold.lastSeq,
    settings: course.settings,
    daySheets: byDay.flatMap((day) => day.settings ?? []),
    gates: course.gates,
    riders: course.riders,
    setups: course.setups,
    swapCosts: course.swapCosts,
    hours: course.hours,
    gear: course.gear,
    explored: course.explored,
    lines: course.lines,
    check: course.check,
    plan,
    plannedEnds: plannedEnds(holding, course, plan, so, note),
    isMarginChanged: course.marginChanges.some((at) => hasRunAt(so, at)),
    isClosed: course.isClosed,
    ground: groundNow(raw, stepMarks(holding)),
    heldBecause: course.heldBecause,
    passings: passingsOf(days, holding),
    runs,
    swaps: swaps.swaps,
    ...happenings,
    boxes: boxesOf(fold, course),
    ports,
    faults: fold.faults,
    mounted: Object.fromEntries(
      course.riders.map((r) => [r.id, mountedAt(swaps, fold.day, r.id, null)]),
    ),
    nextStarter: days.at(-1)?.match.nextStarter ?? null,
    ...undoables(taken, { run: runNamer(runs, course, days.length), gate: gateNamer(course) }),
    anomalies: anomalies.slice(-RECENT),
    anchorsUs: Object.fromEntries(anchorsOn(fold, fold.day)),
  };
}
