// The check of the gates before the first run: which beams were walked through, what keeps a gate from
// being ready, and the runs that walking through them made. Drawn by the console's gate check page.
import type { BoxHealth } from "../domain/equipment.ts";
import type { Passing } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import type { BoxId, Gate } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import {
  isBatteryLow,
  isBeamWeak,
  isHeard,
  namedGates,
  newestAt,
  strangeRole,
  unknownBoxes,
} from "./gate-health.ts";
import type { Summary } from "./summary.ts";

/** What keeps a gate from being ready. */
type GateFault = "not heard" | "quiet" | "disputed" | "other role" | "blocked" | "weak beam";
/** What is to be seen to before long; times are taken all the same. */
type GateNotice = "low battery" | "clock not settled" | "no beam broken";

/** How well a box's clock is known. */
export interface GateClock {
  /** Answered clock questions of the newest boot. */
  readonly answers: number;
  readonly isFirstMinuteOver: boolean;
  /** Standard uncertainty of the clock at its newest passing, s; null if it has seen none yet. */
  readonly uncertaintyS: number | null;
}

export interface CheckedGate {
  readonly gate: Gate;
  /** `start`, `split 1`, `finish`. */
  readonly name: string;
  /** Null: by hand. */
  readonly box: BoxHealth | null;
  /** Newest passing since the check began; null: still to be walked through. */
  readonly seen: Passing | null;
  readonly clock: GateClock | null;
  /** What the box says it is where the sheet has something else, else null. */
  readonly otherRole: string | null;
  readonly faults: readonly GateFault[];
  readonly notices: readonly GateNotice[];
}

export interface GateCheck {
  /** In riding order. */
  readonly gates: readonly CheckedGate[];
  /** Gates with a box. */
  readonly boxed: number;
  /** Names of those not seen since the check began. */
  readonly missing: readonly string[];
  /** All seen, and nothing wrong with any. */
  readonly isReady: boolean;
  /** Heard, and at no gate of the sheet. */
  readonly unknown: readonly BoxHealth[];
}

/** chosen: a beam well aimed is seen 97 to 100 % of the time. What is less is to be mended before run 1. */
export const CLEAR_BEAM_PCT = 90;
/** chosen: asked each second for a minute, and a poor radio loses a fifth. gate-check.test.ts. */
const FIRST_MINUTE_ANSWERS = 48;

/**
 * Each gate of the sheet as it is now.
 *
 * @param since - when the check began: only passings from then on count as walked through
 */
export function gateCheck(summary: Summary, now: SessionUs, since: SessionUs): GateCheck {
  const gates = namedGates(summary.gates).map(({ gate, name }) =>
    checkedGate(summary, gate, name, now, since),
  );
  const boxed = gates.filter(({ box }) => box !== null);
  const missing = boxed.flatMap(({ seen, name }) => (seen === null ? [name] : []));
  const isWell = boxed.every(({ faults }) => faults.length === 0);
  return {
    gates,
    boxed: boxed.length,
    missing,
    isReady: boxed.length > 0 && missing.length === 0 && isWell,
    unknown: unknownBoxes(summary),
  };
}

function checkedGate(
  summary: Summary,
  gate: Gate,
  name: string,
  now: SessionUs,
  since: SessionUs,
): CheckedGate {
  const box = summary.boxes.find((each) => each.box === gate.box) ?? null;
  if (gate.box === null || box === null) {
    return {
      gate,
      name,
      box: null,
      seen: null,
      clock: null,
      otherRole: null,
      faults: [],
      notices: [],
    };
  }
  const seen = seenSince(summary.passings, gate.box, since);
  const clock = clockOf(summary.passings, box);
  const otherRole = strangeRole(box, summary.gates);
  const faults: readonly (readonly [GateFault, boolean])[] = [
    ["not heard", box.lastHeardAt === null],
    ["quiet", box.lastHeardAt !== null && !isHeard(box, now)],
    ["disputed", box.isDisputed],
    ["other role", otherRole !== null],
    ["blocked", box.isBlocked],
    ["weak beam", isBeamWeak(box, summary.passings, CLEAR_BEAM_PCT, now)],
  ];
  const notices: readonly (readonly [GateNotice, boolean])[] = [
    ["low battery", isBatteryLow(box.battMv)],
    ["clock not settled", !clock.isFirstMinuteOver],
    ["no beam broken", seen !== null && seen.source !== "beam"],
  ];
  return {
    gate,
    name,
    box,
    seen,
    clock,
    otherRole,
    faults: faults.flatMap(([fault, is]) => (is ? [fault] : [])),
    notices: notices.flatMap(([notice, is]) => (is ? [notice] : [])),
  };
}

/** The beam before all else: a transponder read in passing says nothing about it. */
function seenSince(passings: readonly Passing[], box: BoxId, since: SessionUs): Passing | null {
  const own = passings.filter((p) => p.box === box && p.at >= since && p.state !== "old");
  return (
    own.findLast((p) => p.source === "beam") ??
    own.findLast((p) => p.source === "transponder") ??
    null
  );
}

function clockOf(passings: readonly Passing[], { box, boot, exchanges }: BoxHealth): GateClock {
  const last = newestAt(box, passings);
  const instant = last?.boot === boot ? last.instants[0] : undefined;
  return {
    answers: exchanges,
    isFirstMinuteOver: exchanges >= FIRST_MINUTE_ANSWERS,
    uncertaintyS: instant === undefined || instant.isRough ? null : instant.uncertaintyS,
  };
}

/** What walking through the beams has left behind, to be struck out in one act. */
export interface GateCheckRuns {
  /** Finished in a time that no ride takes, or without a split. */
  readonly finished: readonly Run[];
  /** Still open: a hand through the start beam, or a rider. Only a person who can see can tell. */
  readonly open: readonly Run[];
  /** Ids of passings to strike out: those of `finished`, and what is in no run. */
  readonly passings: readonly string[];
  /** Ids of those of `open`: to be struck out only once it is sure that nobody is riding. */
  readonly openPassings: readonly string[];
}

/**
 * chosen: nobody rides in less than six tenths of the time expected, and a sighting run is done in
 * twice of it; what lies between is taken for a ride. gate-check.test.ts.
 */
const QUICKEST_SHARE = 0.6;
const SLOWEST_SHARE = 2;

/**
 * Runs and passings from before the day's first ride that look like a walk from gate to gate. A run
 * counts as a ride as soon as anybody has named its rider or marked it, and so does everything after
 * it.
 *
 * Striking out the passings takes the runs away. Marking the runs void would not do: each keeps its
 * number, so that run 1 is gone and the plan can't be fixed any more, and one that is still open
 * stays on course.
 *
 * @returns nothing for a merged session: its days are over
 */
export function gateCheckRuns(summary: Summary): GateCheckRuns {
  const { runs, passings, daySheets } = summary;
  if (daySheets.length > 1) return { finished: [], open: [], passings: [], openPassings: [] };
  const firstRide = runs.find((run) => isRide(summary, run));
  const before = firstRide === undefined ? runs : runs.slice(0, runs.indexOf(firstRide));
  const open = before.filter((run) => run.status === "on-course");
  const finished = before.filter((run) => run.status !== "on-course");
  const idsOf = (of: readonly Run[]): ReadonlySet<string | null> => new Set(of.map((r) => r.runId));
  const [openIds, finishedIds] = [idsOf(open), idsOf(finished)];
  const until = firstRide?.startedAt ?? Number.POSITIVE_INFINITY;
  const seen = passings.filter(
    (p) => p.box !== null && p.at < until && p.state !== "old" && p.state !== "rejected",
  );
  const namesOf = (of: readonly Passing[]): readonly string[] => of.map((p) => p.passingId);
  return {
    finished,
    open,
    passings: namesOf(seen.filter((p) => p.runId === null || finishedIds.has(p.runId))),
    openPassings: namesOf(seen.filter((p) => openIds.has(p.runId))),
  };
}

function isRide({ passings, settings }: Summary, run: Run): boolean {
  const isDecided = run.isMarkedOk || !["ok", "unsure", "on-course"].includes(run.status);
  const isByBeam = run.timedBy === "beam";
  const isNamed = passings.some((p) => p.runId === run.runId && p.rider !== null);
  if (isDecided || !isByBeam || isNamed) return true;
  const { timeS, sectorS } = run;
  if (timeS === null || sectorS.includes(null)) return false;
  const share = settings.expectedRunS === null ? 1 : timeS / settings.expectedRunS;
  return share >= QUICKEST_SHARE && share <= SLOWEST_SHARE;
}
