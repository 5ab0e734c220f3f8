// The operator's commands on the day: swaps, the plan's end, the course, notes, closing, undo.
import type { Settings, SetupId } from "../domain/session.ts";
import type { Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { fixedAgain, type PlanOf } from "./add-to-sheet.ts";
import { findRider, findRun, findSetup, refuse, requireOpen } from "./find.ts";

/** This set-up is on that rider's bike from now on. */
export function logSwap(
  session: Session,
  rider: string,
  setup: SetupId,
  isChecked: boolean,
): readonly Content[] {
  requireOpen(session);
  findRider(session, rider);
  findSetup(session, setup);
  if (session.mounted[rider] === setup) {
    refuse(`${setup} is on ${rider}'s bike already`, "nothing to swap");
  }
  return [{ type: "setup-swapped", body: { rider, setup, minutes: null, checked: isChecked } }];
}

/**
 * Brings the end of a rider's plan forward, once, far enough ahead that nobody can wait for a lucky
 * run.
 *
 * chosen: notice of max(2, ceil(N / 10)) counted runs, the least that no choice of the moment can
 * exploit (by dynamic programming over all of them); test/calibrate/calibration.test.ts
 */
export function announceEnd(session: Session, rider: string, endRun: number): readonly Content[] {
  requireOpen(session);
  findRider(session, rider);
  if (session.explored !== null) {
    refuse(
      "a session that explores ends with its closing check",
      "ride its runs, or close the session",
    );
  }
  const planned =
    session.plan?.riders.find((plan) => plan.rider === rider)?.plannedRuns ??
    refuse("there is no plan to end", "the open band has no end");
  if (session.plannedEnds.some((end) => end.rider === rider)) {
    refuse("the end was brought forward once already", "it can't be moved again");
  }
  const counted = session.runs.filter((run) => run.rider === rider && run.status === "ok").length;
  const notice = Math.max(2, Math.ceil(planned / 10));
  if (!Number.isInteger(endRun) || endRun >= planned || endRun < counted + notice) {
    refuse(
      `the plan can't end at run ${String(endRun)}`,
      counted + notice >= planned
        ? `it is too late to bring the end forward: run ${String(planned)} is the end`
        : `choose a run from ${String(counted + notice)} to ${String(planned - 1)}`,
    );
  }
  return [{ type: "plan-end-announced", body: { rider, endRun } }];
}

/** A new margin; shown as changed if runs were there already. @param marginS - s; null: none */
export function setMargin(session: Session, marginS: number | null): readonly Content[] {
  requireOpen(session);
  if (marginS !== null && !(marginS > 0)) {
    refuse("a margin is above 0 s", "give the smallest difference worth having, in seconds");
  }
  return [{ type: "settings-changed", body: { marginS } }];
}

/**
 * Another model of the trend over the day, before run 1 only: chosen later it could be chosen for its
 * answer. The plan is fixed again with it.
 */
export function setDrift(
  session: Session,
  drift: Settings["drift"],
  planOf: PlanOf,
): readonly Content[] {
  requireOpen(session);
  const { settings } = session;
  if (settings === null || session.runs.some((run) => run.k !== null)) {
    refuse("run 1 has started", "the trend over the day is chosen before it");
  }
  if (settings.drift === drift) refuse(`the trend is ${drift} already`, "nothing to change");
  return [
    { type: "settings-changed", body: { drift } },
    ...fixedAgain(session, { settings: { ...settings, drift } }, planOf),
  ];
}

/** Nobody starts until it is opened again. */
export function holdCourse(session: Session, reason: string): readonly Content[] {
  if (session.heldBecause !== null) refuse("the course is held already", "open it first");
  return [{ type: "course-held", body: { reason } }];
}

export function openCourse(session: Session): readonly Content[] {
  if (session.heldBecause === null) refuse("the course is not held", "nothing to open");
  return [{ type: "course-opened", body: {} }];
}

export function addNote(session: Session, runId: string | null, note: string): readonly Content[] {
  if (runId !== null) findRun(session, runId);
  return [{ type: "note-added", body: { run: runId, note } }];
}

/** @param isStep - the ground is faster or slower from the next start on, and the fit allows for it */
export function markConditions(note: string, isStep: boolean): readonly Content[] {
  return [{ type: "condition-marked", body: { note, isStep } }];
}

/** Opens a step too: times before and after it have no level in common. */
export function markGateMoved(session: Session, gate: number, note: string): readonly Content[] {
  if (session.gates[gate] === undefined) refuse(`there is no gate ${String(gate)}`, "choose one");
  return [{ type: "gate-moved", body: { gate, note } }];
}

/** Refused while anybody is on course: everyone has to be accounted for by name. */
export function closeSession(session: Session): readonly Content[] {
  requireOpen(session);
  const out = session.runs.filter((run) => run.status === "on-course").map((run) => run.rider);
  if (out.length > 0) {
    const names = out.map((id) => session.riders.find((rider) => rider.id === id)?.name ?? id);
    refuse(
      `still on course: ${names.join(", ")}`,
      "wait for the finish, or mark the run DNF once you know where the rider is",
    );
  }
  return [{ type: "session-closed", body: {} }];
}

export function reopenSession(session: Session): readonly Content[] {
  if (!session.isClosed) refuse("the session is open", "nothing to reopen");
  return [{ type: "session-reopened", body: {} }];
}

/** Takes the newest decision back. */
export function undo(session: Session): readonly Content[] {
  const last =
    session.undo ??
    refuse("there is nothing to undo", "times from gates can't be undone: void the run");
  return [{ type: "entry-undone", body: { seq: last.seq } }];
}

/** Brings in again what was taken back last. */
export function redo(session: Session): readonly Content[] {
  const last = session.redo ?? refuse("there is nothing to bring back", "undo first");
  return [{ type: "entry-undone", body: { seq: last.seq } }];
}
