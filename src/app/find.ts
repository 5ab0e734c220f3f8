// Finding what a command names, or saying that it is not there. Used by the operator's commands.
import { UserError } from "../domain/errors.ts";
import type { Passing } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import type { Rider, Setup } from "../domain/session.ts";
import type { Session } from "../session/session.ts";

/** A command that the session's state does not allow. */
export function refuse(message: string, hint: string): never {
  throw new UserError("refused", message, hint);
}

export function findRun(session: Session, runId: string): Run {
  return (
    session.runs.find((run) => run.runId === runId) ??
    refuse(`there is no run ${runId}`, "choose a run from the list")
  );
}

export function findSetup(session: Session, setupId: string): Setup {
  return (
    session.setups.find((setup) => setup.id === setupId) ??
    refuse(
      `there is no set-up ${setupId}`,
      `choose one of ${session.setups.map((s) => s.id).join(", ")}`,
    )
  );
}

export function findRider(session: Session, riderId: string): Rider {
  return (
    session.riders.find((rider) => rider.id === riderId) ??
    refuse(
      `there is no rider ${riderId}`,
      `choose one of ${session.riders.map((r) => r.id).join(", ")}`,
    )
  );
}

export function findPassing(session: Session, passingId: string): Passing {
  return (
    session.passings.find((passing) => passing.passingId === passingId) ??
    refuse(`there is no passing ${passingId}`, "choose a passing from the list")
  );
}

/** @throws {UserError} if the session is closed */
export function requireOpen(session: Session): void {
  if (session.isClosed) refuse("the session is closed", "reopen it first");
}
