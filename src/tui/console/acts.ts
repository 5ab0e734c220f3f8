// What the console can do to a session: the cli fills this in with the operator's commands.
import type { Measure } from "../../domain/happening.ts";
import type { DriftModel, RiderId, Setup, SetupId } from "../../domain/session.ts";
import type { HostUs, SessionUs } from "../../domain/time.ts";

/** The answer to an act, for the screen. */
export interface Said {
  /** False: nothing was written, the text says why. */
  readonly ok: boolean;
  /** One sentence without a full stop; names from outside may be in it, it is made harmless here. */
  readonly text: string;
}

export type IncidentKind =
  | "mistake"
  | "dab"
  | "near-miss"
  | "crash"
  | "puncture"
  | "mechanical"
  | "held-up";

/** Whose or which run's a passing is. */
interface PassingOwner {
  readonly rider?: RiderId;
  readonly runId?: string;
}

type MeasureGiven = Omit<Measure, "at">;

/** Each act leads to a row of the journal before it answers, or says why it did not. */
export interface ConsoleActs {
  /**
   * A passing keyed by hand.
   *
   * @param gateIndex - 0 the start
   * @param keyedAt - arrival of the key, by the laptop's monotonic clock
   */
  mark(gateIndex: number, keyedAt: HostUs): Said;
  /** This set-up is on that rider's bike from now on. */
  swap(rider: RiderId, setup: SetupId): Said;
  correctSetup(runId: string, setup: SetupId): Said;
  correctRider(runId: string, rider: RiderId): Said;
  /** @param sectors - 1-based numbers of the sectors struck out; empty: the whole run */
  voidRun(runId: string, reason: string | null, sectors: readonly number[]): Said;
  markOk(runId: string): Said;
  markWarmUp(runId: string): Said;
  markDnf(runId: string): Said;
  /** @param sector - 1-based, null: not said */
  noteIncident(runId: string, kind: IncidentKind, sector: number | null): Said;
  addNote(text: string, runId: string | null): Said;
  /** @param score - 1 (worst) to 10 */
  rateFeel(runId: string, aspect: string, score: number): Said;
  /** What the rider says or somebody reads; see src/domain/measure-keys.ts for keys with a meaning. */
  takeMeasure(measure: MeasureGiven): Said;
  /** Before run 1 only. */
  setDrift(drift: DriftModel): Said;
  /**
   * Values of the explored settings go on that rider's bike.
   *
   * @param values - one for each, in the sheet's order
   */
  rideValues(rider: RiderId, values: readonly number[]): Said;
  /**
   * Exploring is over: these values are checked against the present ones.
   *
   * @param values - one for each, in the sheet's order
   */
  beginCheck(values: readonly number[]): Said;
  assignPassing(passingId: string, owner: PassingOwner): Said;
  rejectPassing(passingId: string, reason: string | null): Said;
  /** Several at once. */
  rejectPassings(passingIds: readonly string[], reason: string): Said;
  /** A passing that nothing saw, put in afterwards. */
  insertPassing(gate: number, at: SessionUs, rider: RiderId | null): Said;
  promotePassing(passingId: string): Said;
  splitRun(runId: string): Said;
  joinPassings(startPassingId: string, finishPassingId: string): Said;
  /** The next start is this rider's. */
  nextStarter(rider: RiderId): Said;
  /** @param endRun - counted runs of that rider at which the plan is to end */
  announceEnd(rider: RiderId, endRun: number): Said;
  /** @param isStep - the comparison allows for a step of the ground from the next start on */
  markCondition(text: string, isStep: boolean): Said;
  /** @param gateIndex - 0 the start */
  markGateMoved(gateIndex: number, text: string): Said;
  hold(reason: string): Said;
  openCourse(): Said;
  close(): Said;
  reopen(): Said;
  undo(): Said;
  redo(): Said;
  /** One more set-up to compare, its sheet a copy of `from`'s. */
  addSetup(id: SetupId, name: string, from: SetupId): Said;
  addRider(id: RiderId, name: string): Said;
  /** @param value - null: the line is taken out */
  writeSetupLine(setup: SetupId, key: string, value: Setup["values"][string] | null): Said;
  renameSetup(setup: SetupId, name: string): Said;
  /** @param marginS - smallest difference worth having, s; null: none */
  setMargin(marginS: number | null): Said;
}
