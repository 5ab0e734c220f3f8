// The operator's commands on passings: keyed times, whose a passing is, what was not a bike.
import type { HostUs } from "../domain/time.ts";
import type { Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { findPassing, findRider, findRun, refuse, requireOpen } from "./find.ts";

/** Scatter of a time keyed by hand, s: common practice, reaction times differ by about this much. */
const HAND_UNCERTAINTY_S = 0.2;

/**
 * A passing keyed by the operator. Kept whatever the course looks like: a finish without a start is
 * listed until its start comes in or is keyed, and who starts while the course is held is out there.
 *
 * @param gate - index of the gate, 0 the start
 * @param keyedAt - arrival of the key by the laptop's monotonic clock, taken before anything else
 */
export function keyPassing(session: Session, gate: number, keyedAt: HostUs): readonly Content[] {
  requireOpen(session);
  if (!Number.isInteger(gate) || session.gates[gate] === undefined) {
    refuse(`there is no gate ${String(gate)}`, "this stretch has no split there");
  }
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
