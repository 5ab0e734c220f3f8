// What each command of the key table does, in LIVE and in SCROLL; called by the controller.
import type { Passing } from "../../domain/passing.ts";
import type { Run } from "../../domain/run.ts";
import { askedFirst } from "../../summary/asked-first.ts";
import type { CommandId } from "../keys/key-binding.ts";
import { acts as actBindings } from "../keys/key-help.ts";
import { nextTheme } from "../present/theme.ts";
import { acknowledgeAlerts, hasUnseenAlerts } from "./alert-memory.ts";
import type { BellKind } from "./console-state.ts";
import * as course from "./course-acts.ts";
import type { Desk } from "./desk.ts";
import { beginCheck, rideAnotherValue } from "./explore-acts.ts";
import * as feel from "./feel-acts.ts";
import * as gates from "./gate-acts.ts";
import { listRows, rowIndex } from "./list-rows.ts";
import * as pages from "./page-acts.ts";
import { assignPassing, openPassing, promotePassing, rejectPassing } from "./passing-acts.ts";
import type { Press } from "./press.ts";
import * as onRun from "./run-acts.ts";
import { addRider, addSetup, changeSetup } from "./sheet-acts.ts";
import * as stops from "./stop-acts.ts";

type Act = (desk: Desk, press: Press) => void;

/** Everything that LIVE and SCROLL offer; lists, questions and texts have keys of their own. */
const ACTS: Partial<Record<CommandId, Act>> = {
  mark,
  "mark-start": course.markStart,
  "mark-split": course.markSplit,
  "mark-finish": course.markFinish,
  "accept-suggestion": course.acceptSuggestion,
  "choose-setup": (desk, press) => {
    course.chooseSetup(desk, press.digit);
  },
  "list-setups": course.listSetups,
  "next-rider": (desk) => {
    course.stepRider(desk, 1);
  },
  "previous-rider": (desk) => {
    course.stepRider(desk, -1);
  },
  "list-riders": course.listRiders,
  "add-setup": addSetup,
  "add-rider": addRider,
  "change-setup": changeSetup,
  "void-last": withLastRun(onRun.voidRun),
  "strike-out": withRow(onRun.voidRun, rejectPassing),
  "count-again": withRow((desk, run) => {
    desk.say(desk.acts.markOk(run.runId));
  }, promotePassing),
  "toggle-warm-up": withRun(onRun.toggleWarmUp),
  "mark-dnf": markDnf,
  "correct-setup": (desk, press) => {
    correctSetup(desk, press.digit);
  },
  "list-setups-for-run": withRow(onRun.chooseSetupOf, undefined),
  "assign-rider": withRow(onRun.chooseRiderOf, assignPassing),
  "note-incident": withRun(onRun.noteIncident),
  "note-exertion": withRun(feel.askExertion),
  "confirm-setup": withRun(onRun.confirmSetup),
  "note-head-knock": stops.noteHeadKnock,
  "check-bike": stops.checkWhoseBike,
  "rate-feel": (desk, press) => {
    const asked = desk.state().home === "LIVE" ? askedFirst(desk.summary(), desk.now()) : null;
    if (asked === null) withRun(onRun.rateFeel)(desk, press);
    else onRun.rateFeel(desk, asked);
  },
  "write-note": (desk) => {
    const row = desk.selectedRow();
    onRun.writeNote(desk, row?.kind === "run" ? row.run : undefined);
  },
  undo: (desk) => {
    desk.say(desk.acts.undo());
  },
  redo: (desk) => {
    desk.say(desk.acts.redo());
  },
  "hold-course": course.holdOrOpen,
  "show-emergency": (desk) => {
    desk.change({ mode: "EMERGENCY", pageTop: 0 });
  },
  "announce-end": course.announceEnd,
  "set-margin": course.setMargin,
  "set-drift": course.setDrift,
  "ask-expectation": feel.askExpectation,
  "ride-value": rideAnotherValue,
  "begin-check": beginCheck,
  "check-gates": pages.checkGates,
  "strike-gate-check": gates.strikeGateCheck,
  "insert-passing": gates.insertPassing,
  "mark-condition": course.markCondition,
  "mark-gate-moved": course.markGateMoved,
  "close-session": course.closeOrReopen,
  "scroll-up": (desk) => {
    scroll(desk, -1);
  },
  "scroll-down": (desk) => {
    scroll(desk, 1);
  },
  "page-up": (desk) => {
    scroll(desk, -ROWS_A_PAGE);
  },
  "page-down": (desk) => {
    scroll(desk, ROWS_A_PAGE);
  },
  "list-acts": listActs,
  "open-row": withRow(onRun.openRun, openPassing),
  back: (desk) => {
    desk.change({ mode: "LIVE", home: "LIVE", selected: null, said: null });
  },
  "show-help": (desk) => {
    pages.showPage(desk, "keys");
  },
  "show-comparison": (desk) => {
    pages.showPage(desk, "comparison");
  },
  "show-plan": (desk) => {
    pages.showPage(desk, "plan");
  },
  "show-call-up": (desk) => {
    pages.showPage(desk, "call-up");
  },
  "show-exploring": pages.showExploring,
  "next-page": pages.nextPage,
  "plan-more-runs": (desk) => {
    pages.planRuns(desk, 1);
  },
  "plan-fewer-runs": (desk) => {
    pages.planRuns(desk, -1);
  },
  "plan-slower-swap": (desk) => {
    pages.planSwap(desk, 1);
  },
  "plan-quicker-swap": (desk) => {
    pages.planSwap(desk, -1);
  },
  "plan-setup": (desk, press) => {
    pages.planSetup(desk, press.digit);
  },
  "plan-as-it-is": pages.planAsItIs,
  "show-boxes": (desk) => {
    pages.showPage(desk, "boxes");
  },
  "toggle-bell": toggleBell,
  "next-theme": (desk) => {
    desk.change({ theme: nextTheme(desk.state().theme) });
  },
  quit: course.quitOrAsk,
};

/** chosen: fewer than the list has on the smallest screen, so that no row is jumped over. */
const ROWS_A_PAGE = 8;

/** Does what the command means; false: it means nothing here. */
export function runCommand(id: CommandId, desk: Desk, press: Press): boolean {
  const act = ACTS[id];
  if (act === undefined) return false;
  act(desk, press);
  return true;
}

/** The big key: the time at the finish, or "seen". */
function mark(desk: Desk, press: Press): void {
  const summary = desk.summary();
  if (summary.onCourse.length > 0) {
    course.markFinish(desk, press);
    return;
  }
  const { alerts, alertRows } = desk.state();
  if (!hasUnseenAlerts(alerts)) {
    desk.refuse("nobody is on course, and there is nothing to acknowledge");
    return;
  }
  desk.change({ alerts: acknowledgeAlerts(alerts, alertRows) });
  desk.say({ ok: true, text: "seen" });
}

type RunAct = (desk: Desk, run: Run) => void;
type PassingAct = (desk: Desk, passing: Passing) => void;

function withLastRun(act: RunAct): Act {
  return (desk) => {
    const run = onRun.lastRun(desk.summary());
    if (run === undefined) desk.refuse("there is no run yet");
    else act(desk, run);
  };
}

/** The focused run in SCROLL, else the last one. */
function withRun(act: RunAct): Act {
  return (desk, press) => {
    const row = desk.selectedRow();
    if (row?.kind === "run") act(desk, row.run);
    else if (row === undefined) withLastRun(act)(desk, press);
    else desk.refuse("that is a passing, not a run");
  };
}

function withRow(runAct: RunAct, passingAct: PassingAct | undefined): Act {
  return (desk) => {
    const row = desk.selectedRow();
    if (row?.kind === "run") runAct(desk, row.run);
    else if (row === undefined) desk.refuse("choose a row with up and down first");
    else if (passingAct === undefined) desk.refuse("that is a passing, not a run");
    else passingAct(desk, row.passing);
  };
}

/** LIVE: the rider longest on course; SCROLL: the focused run. */
function markDnf(desk: Desk): void {
  const row = desk.selectedRow();
  const run = row === undefined ? desk.summary().onCourse[0]?.run : undefined;
  if (row?.kind === "run") desk.say(desk.acts.markDnf(row.run.runId));
  else if (run !== undefined) desk.say(desk.acts.markDnf(run.runId));
  else desk.refuse(row === undefined ? "nobody is on course" : "that is a passing, not a run");
}

function correctSetup(desk: Desk, digit: number | null): void {
  const row = desk.selectedRow();
  const setup = desk.summary().setups[(digit ?? 0) - 1];
  if (row?.kind !== "run") desk.refuse("choose a run with up and down first");
  else if (setup === undefined) desk.refuse(`there is no set-up ${String(digit)}`);
  else desk.say(desk.acts.correctSetup(row.run.runId, setup.id));
}

/** Moves the focus; the first move up enters SCROLL, a move past the newest row leaves it. */
function scroll(desk: Desk, step: number): void {
  const rows = listRows(desk.summary());
  const state = desk.state();
  if (rows.length === 0) {
    desk.refuse("there are no runs yet");
    return;
  }
  const isLive = state.mode === "LIVE";
  if (isLive && step > 0) return;
  const at = rowIndex(rows, state.selected) ?? rows.length - (isLive ? 0 : 1);
  const next = Math.max(0, Math.min(rows.length - 1, at + step));
  const key = rows[next]?.key ?? null;
  const isAtEnd = next === rows.length - 1;
  desk.change({
    mode: "SCROLL",
    home: "SCROLL",
    selected: key,
    seenRows: isLive || isAtEnd ? rows.length : state.seenRows,
    ...(isLive ? { said: null } : {}),
  });
}

function listActs(desk: Desk): void {
  const isClosed = desk.summary().isClosed;
  const items = actBindings().map((binding) => {
    const isReopening = binding.command === "close-session" && isClosed;
    return {
      label: isReopening ? "reopen session" : `${binding.name}: ${binding.help}`,
      take: (press: Press) => {
        runCommand(binding.command, desk, press);
      },
    };
  });
  desk.pick("Everything that can be done", items, "");
}

const BELLS: readonly BellKind[] = ["off", "finish", "doubt"];
const BELL_WORDS: Readonly<Record<BellKind, string>> = {
  off: "bell: off",
  finish: "bell: on a finish",
  doubt: "bell: on a doubt",
};

function toggleBell(desk: Desk): void {
  const next = BELLS[(BELLS.indexOf(desk.state().bell) + 1) % BELLS.length] ?? "off";
  desk.change({ bell: next });
  desk.say({ ok: true, text: BELL_WORDS[next] });
}
