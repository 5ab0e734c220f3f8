// The console's acts, carried out on the open session file: each is one append, and answers in words.
import { fixPlan } from "../advisor/fix-plan.ts";
import {
  addRider,
  addSetup,
  renameSetup,
  takeMeasure,
  writeSetupLine,
} from "../app/add-to-sheet.ts";
import {
  addNote,
  announceEnd,
  closeSession,
  holdCourse,
  logSwap,
  markConditions,
  markGateMoved,
  openCourse,
  redo,
  reopenSession,
  setDrift,
  setMargin,
  undo,
} from "../app/day-commands.ts";
import { beginCheck, rideValues } from "../app/explore-commands.ts";
import { findSetup } from "../app/find.ts";
import {
  assignPassing,
  callNextStarter,
  insertPassing,
  joinPassings,
  keyPassing,
  promotePassing,
  rejectPassing,
} from "../app/passing-commands.ts";
import {
  correctRider,
  correctSetup,
  markRun,
  noteIncident,
  rateRun,
  splitRun,
} from "../app/run-commands.ts";
import type { Author, Fresh, SessionFile } from "../app/session-file.ts";
import { UserError } from "../domain/errors.ts";
import type { Session } from "../session/session.ts";
import type { ConsoleActs, Said } from "../tui/console/acts.ts";
import { runName } from "../tui/run-words.ts";
import { nowIn } from "./plain-follow.ts";

/** Acts that write to this file, in this operator's name. */
export function actsOn(file: SessionFile, by: Author): ConsoleActs {
  const act = (
    text: string | (() => string),
    decide: (session: Session) => readonly Fresh[],
  ): Said => {
    try {
      file.append(by, decide);
      return { ok: true, text: typeof text === "string" ? text : text() };
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      return { ok: false, text: `${error.message}: ${error.hint}` };
    }
  };
  const gateName = (gate: number): string => {
    const { gates } = file.session();
    if (gate === 0) return "start";
    return gate === gates.length - 1 ? "finish" : `split ${String(gate)}`;
  };
  const named = (runId: string): string => {
    const run = file.summary().runs.find((each) => each.runId === runId);
    return run === undefined ? `run ${runId}` : runName(run);
  };
  return {
    mark: (gate, keyedAt) =>
      act(`${gateName(gate)} keyed by hand (u: take it back)`, (s) => keyPassing(s, gate, keyedAt)),
    swap: (rider, setup) =>
      act(`${setup} is on ${rider}'s bike (u: take it back)`, (s) =>
        logSwap(s, rider, setup, true),
      ),
    correctSetup: (run, setup) =>
      act(`${named(run)} was on ${setup} (u: take it back)`, (s) => correctSetup(s, run, setup)),
    correctRider: (run, rider) =>
      act(`${named(run)} was ${rider}'s (u: take it back)`, (s) => correctRider(s, run, rider)),
    voidRun: (run, reason, sectors) =>
      act(
        sectors.length === 0
          ? `${named(run)} is void (u: take it back)`
          : `sector ${sectors.join(", ")} of ${named(run)} is void (u: take it back)`,
        (s) => markRun(s, run, "void", reason, sectors),
      ),
    markOk: (run) =>
      act(`${named(run)} counts (u: take it back)`, (s) => markRun(s, run, "ok", null)),
    markWarmUp: (run) =>
      act(`${named(run)} is a warm-up (u: take it back)`, (s) => markRun(s, run, "warm-up", null)),
    markDnf: (run) =>
      act(`${named(run)} did not finish (u: take it back)`, (s) => markRun(s, run, "dnf", null)),
    noteIncident: (run, kind, sector) =>
      act(`${kind} noted on ${named(run)} (u: take it back)`, (s) =>
        noteIncident(s, run, kind, sector),
      ),
    addNote: (text, run) => act("noted (u: take it back)", (s) => addNote(s, run, text)),
    rateFeel: (run, aspect, score) =>
      act(`${named(run)}: ${aspect} ${String(score)} of 10 (u: take it back)`, (s) =>
        rateRun(s, run, aspect, score),
      ),
    takeMeasure: ({ runId, ...measure }) =>
      act("noted (u: take it back)", (s) => takeMeasure(s, { run: runId, ...measure })),
    setDrift: (drift) =>
      act(`trend over the day: ${drift} (u: take it back)`, (s) => setDrift(s, drift, fixPlan)),
    rideValues: (rider, values) =>
      act(
        () => `${file.session().mounted[rider] ?? ""} is on ${rider}'s bike (u: take it back)`,
        (s) => rideValues(s, rider, values),
      ),
    beginCheck: (values) =>
      act("the closing check has begun (u: take it back)", (s) => beginCheck(s, values)),
    assignPassing: (passing, owner) =>
      act("assigned (u: take it back)", (s) => assignPassing(s, passing, owner)),
    rejectPassing: (passing, reason) =>
      act("struck out (u: take it back)", (s) => rejectPassing(s, passing, reason)),
    rejectPassings: (passings, reason) =>
      act(`${String(passings.length)} passings struck out (u: takes them back one by one)`, (s) =>
        passings.flatMap((passing) => rejectPassing(s, passing, reason)),
      ),
    insertPassing: (gate, at, rider) =>
      act(`${gateName(gate)} put in by hand (u: take it back)`, (s) =>
        insertPassing(s, { gate, at, rider }, nowIn(file)),
      ),
    promotePassing: (passing) =>
      act("counts as a bike (u: take it back)", (s) => promotePassing(s, passing)),
    splitRun: (run) => act(`${named(run)} taken apart (u: take it back)`, (s) => splitRun(s, run)),
    joinPassings: (start, finish) =>
      act("joined to one run (u: take it back)", (s) => joinPassings(s, start, finish)),
    nextStarter: (rider) =>
      act(`the next start is ${rider}'s (u: take it back)`, (s) => callNextStarter(s, rider)),
    announceEnd: (rider, endRun) =>
      act(`the plan of ${rider} ends at run ${String(endRun)}`, (s) =>
        announceEnd(s, rider, endRun),
      ),
    markCondition: (text, isStep) =>
      act(
        isStep
          ? "conditions noted, a step allowed for from the next start (u: take it back)"
          : "conditions noted (u: take it back)",
        () => markConditions(text, isStep),
      ),
    markGateMoved: (gate, text) =>
      act("gate moved: a step allowed for from the next start (u: take it back)", (s) =>
        markGateMoved(s, gate, text),
      ),
    hold: (reason) => act("course held", (s) => holdCourse(s, reason)),
    openCourse: () => act("course open", openCourse),
    close: () => act("session closed", closeSession),
    reopen: () => act("session reopened", reopenSession),
    undo: () => {
      const label = file.session().undo?.label ?? "";
      return act(`taken back: ${label} (v: bring it back)`, undo);
    },
    redo: () => act(`brought back: ${file.session().redo?.label ?? ""}`, redo),
    addSetup: (id, name, from) =>
      act(
        () => {
          const { plan, settings } = file.session();
          const isLate = settings?.bands === "plan" && plan?.setups.includes(id) === false;
          return `set-up ${id} added${isLate ? ", compared by the open band" : ""}: it stays`;
        },
        (s) => addSetup(s, { ...findSetup(s, from), id, name, baseline: false }, fixPlan),
      ),
    addRider: (id, name) =>
      act(`rider ${id} added: it stays`, (s) =>
        addRider(s, { id, name, tag: null, newTo: [], setups: null, plannedRuns: null }, fixPlan),
      ),
    writeSetupLine: (setup, key, value) =>
      act(
        value === null
          ? `${key} is off ${setup}'s sheet (u: take it back)`
          : `${setup}: ${key} = ${String(value)} (u: take it back)`,
        (s) => writeSetupLine(s, setup, key, value),
      ),
    renameSetup: (setup, name) =>
      act(`${setup} is called ${name} (u: take it back)`, (s) => renameSetup(s, setup, name)),
    setMargin: (marginS) =>
      act("smallest difference worth having changed", (s) => setMargin(s, marginS)),
  };
}
