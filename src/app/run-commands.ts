// The operator's commands on runs: each gives the entries that say it, or refuses in words.
import { askedAspects } from "../domain/feel.ts";
import type { SetupId } from "../domain/session.ts";
import type { Body, Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { findRider, findRun, findSetup, refuse, requireOpen } from "./find.ts";

type Mark = Body<"run-marked">["mark"];
type IncidentKind = Body<"incident-noted">["kind"];

/**
 * Marks a run, or some sectors of it.
 *
 * @param sectors - 1-based numbers of the sectors struck out; empty: the whole run
 */
export function markRun(
  session: Session,
  runId: string,
  mark: Mark,
  reason: string | null,
  sectors: readonly number[] = [],
): readonly Content[] {
  requireOpen(session);
  const run = findRun(session, runId);
  for (const sector of sectors) requireSector(session, sector);
  const isWithoutSplits = run.timedBy === "import" && run.sectorS.every((timeS) => timeS === null);
  if (sectors.length > 0 && isWithoutSplits) {
    refuse(`run ${runId} has no sector times`, "mark the whole run");
  }
  if (mark === "ok" && run.status === "on-course") {
    refuse("this run is still on course", "wait for the finish, or mark it DNF");
  }
  return [{ type: "run-marked", body: { run: runId, mark, sectors: [...sectors], reason } }];
}

/** The run was ridden on another set-up than was logged. */
export function correctSetup(session: Session, runId: string, setup: SetupId): readonly Content[] {
  requireOpen(session);
  const run = findRun(session, runId);
  findSetup(session, setup);
  if (run.setup === setup) refuse(`run ${runId} is on ${setup} already`, "choose another set-up");
  return [{ type: "setup-corrected", body: { run: runId, setup } }];
}

/** The run was another rider's. */
export function correctRider(session: Session, runId: string, rider: string): readonly Content[] {
  requireOpen(session);
  const run = findRun(session, runId);
  findRider(session, rider);
  if (run.rider === rider) refuse(`run ${runId} is ${rider}'s already`, "choose another rider");
  return [{ type: "rider-corrected", body: { run: runId, rider } }];
}

/** Something happened on a run; it stays counted. */
export function noteIncident(
  session: Session,
  runId: string | null,
  kind: IncidentKind,
  sector: number | null,
): readonly Content[] {
  if (runId !== null) findRun(session, runId);
  if (sector !== null) requireSector(session, sector);
  return [{ type: "incident-noted", body: { run: runId, sector, kind, note: null } }];
}

/** How it felt in one of the aspects that are asked for, 1 (worst) to 10. */
export function rateRun(
  session: Session,
  runId: string,
  aspect: string,
  score: number,
): readonly Content[] {
  findRun(session, runId);
  const aspects = askedAspects(session.settings ?? { aspects: [] });
  if (!aspects.includes(aspect)) {
    refuse(`"${aspect}" is no aspect of this session`, `rate ${aspects.join(", ")}`);
  }
  if (!Number.isInteger(score) || score < 1 || score > 10) {
    refuse(`${String(score)} is no rating`, "give a whole number from 1 to 10");
  }
  return [{ type: "rating-given", body: { run: runId, aspect, score } }];
}

/** One run was really two passings that do not belong together. */
export function splitRun(session: Session, runId: string): readonly Content[] {
  requireOpen(session);
  const run = findRun(session, runId);
  if (run.timedBy === "import") refuse("an imported run cannot be split", "void it instead");
  return [{ type: "run-split", body: { run: runId } }];
}

function requireSector(session: Session, sector: number): void {
  const sectors = session.gates.length - 1;
  if (Number.isInteger(sector) && sector >= 1 && sector <= sectors) return;
  refuse(`there is no sector ${String(sector)}`, `sectors go from 1 to ${String(sectors)}`);
}
