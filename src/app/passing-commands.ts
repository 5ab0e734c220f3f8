// The operator's commands on passings: keyed times, whose a passing is, what was not a bike.
import type { HostUs, SessionUs } from "../domain/time.ts";
import type { Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { findPassing, findRider, findRun, refuse, requireOpen } from "./find.ts";

/** Scatter of a time keyed by hand, s: common practice, reaction times differ by about this much. */
const HAND_UNCERTAINTY_S = 0.2;

/** chosen: a time known less well than this times nothing; test: "a passing is put in afterwards". */
const MOST_UNCERTAIN_S = 60;

/**
 * A passing keyed by the operator. Kept whatever the course looks like: a finish without a start is
 * listed until its start comes in or is keyed, and who starts while the course is held is out there.
 *
 * @param gate - index of the gate, 0 the start
 * @param keyedAt - arrival of the key by the laptop's monotonic clock, taken before anything else
 */
export function keyPassing(session: Session, gate: number, keyedAt: HostUs): readonly Content[] {
  requireOpen(session);
  requireGate(session, gate);
  return [
    {
      type: "passing-keyed",
      body: {
        gate,
        keyedMonoUs: Math.round(keyedAt),
        typedAtUs: null,
        rider: null,
        uncertaintyS: HAND_UNCERTAINTY_S,
      },
    },
  ];
}

/**
 * A passing that nothing saw, put in afterwards with the time that somebody has of it.
 *
 * @param gate - index of the gate, 0 the start
 * @param at - on session time, not later than `now`
 * @param rider - null if it isn't known whose it was
 * @param uncertaintyS - standard uncertainty of the time, s, above 0; by hand 0.2
 * @throws {UserError} if there is no such gate or rider, or the time can't be
 */
export function insertPassing(
  session: Session,
  {
    gate,
    at,
    rider,
    uncertaintyS = HAND_UNCERTAINTY_S,
  }: {
    readonly gate: number;
    readonly at: SessionUs;
    readonly rider: string | null;
    readonly uncertaintyS?: number;
  },
  now: SessionUs,
): readonly Content[] {
  requireOpen(session);
  requireGate(session, gate);
  if (rider !== null) findRider(session, rider);
  if (!Number.isFinite(at) || at > now) {
    refuse("that time is still to come", "give the time of day at which it was");
  }
  if (!(uncertaintyS > 0 && uncertaintyS <= MOST_UNCERTAIN_S)) {
    refuse(
      `a time cannot be uncertain by ${String(uncertaintyS)} s`,
      `give more than 0 and at most ${String(MOST_UNCERTAIN_S)}; by hand it is 0.2`,
    );
  }
  const body = { gate, keyedMonoUs: null, typedAtUs: Math.round(at), rider, uncertaintyS };
  return [{ type: "passing-keyed", body }];
}

function requireGate(session: Session, gate: number): void {
  if (Number.isInteger(gate) && session.gates[gate] !== undefined) return;
  refuse(`there is no gate ${String(gate)}`, "this stretch has no split there");
}

/** Says whose, or which run's, a passing is. */
export function assignPassing(
  session: Session,
  passingId: string,
  owner: { readonly rider?: string; readonly runId?: string },
): readonly Content[] {
  requireOpen(session);
  findPassing(session, passingId);
  if (owner.rider !== undefined) findRider(session, owner.rider);
  if (owner.runId !== undefined) findRun(session, owner.runId);
  return [
    {
      type: "passing-assigned",
      body: { passing: passingId, rider: owner.rider ?? null, run: owner.runId ?? null },
    },
  ];
}

/** The next start is this rider's. */
export function callNextStarter(session: Session, rider: string): readonly Content[] {
  requireOpen(session);
  findRider(session, rider);
  return [{ type: "passing-assigned", body: { passing: null, rider, run: null } }];
}

/** It was a walker, a leaf, a second trip: it stays, and counts for nothing. */
export function rejectPassing(
  session: Session,
  passingId: string,
  reason: string | null,
): readonly Content[] {
  requireOpen(session);
  if (findPassing(session, passingId).state === "rejected") {
    refuse("it is struck out already", "bring it back if it was a bike");
  }
  return [{ type: "passing-rejected", body: { passing: passingId, reason } }];
}

/** It was a bike after all. */
export function promotePassing(session: Session, passingId: string): readonly Content[] {
  requireOpen(session);
  findPassing(session, passingId);
  return [{ type: "passing-promoted", body: { passing: passingId } }];
}

/** This start and this finish are one run. */
export function joinPassings(
  session: Session,
  startId: string,
  finishId: string,
): readonly Content[] {
  requireOpen(session);
  const start = findPassing(session, startId);
  const finish = findPassing(session, finishId);
  if (start.gate !== 0) refuse("the first is no start", "choose a passing at the start");
  if (finish.gate !== session.gates.length - 1) {
    refuse("the second is no finish", "choose a passing at the finish");
  }
  if (start.at >= finish.at)
    refuse("the finish comes before the start", "choose the other way round");
  return [{ type: "runs-joined", body: { start: startId, finish: finishId } }];
}
