// What can be done with one run, from LIVE with the last one and from SCROLL with the focused one.
import type { Run } from "../../domain/run.ts";
import { VOID_REASONS } from "../../domain/void-reason.ts";
import type { Summary } from "../../summary/summary.ts";
import { setupConfirmation } from "../../summary/tags-on-parts.ts";
import { riderName } from "../look.ts";
import { runName } from "../run-words.ts";
import { INCIDENTS, riderItems, sectorItems, setupItems } from "./choices.ts";
import type { PickItem } from "./console-state.ts";
import type { Desk } from "./desk.ts";
import { rateFeel as askFeel } from "./feel-acts.ts";
import { showBudget } from "./page-acts.ts";

/** The run that an act in LIVE means: the last one finished, before that the one on course. */
export function lastRun(summary: Summary): Run | undefined {
  return summary.lastFinished ?? summary.onCourse.at(-1)?.run;
}

function named(desk: Desk, run: Run): string {
  return `${runName(run)} of ${riderName(desk.summary(), run.rider)}`;
}

/** Strikes the run out at once, then asks why. */
export function voidRun(desk: Desk, run: Run): void {
  const isVoid = run.status === "void";
  if (!isVoid) {
    const said = desk.acts.voidRun(run.runId, null, []);
    desk.say(said);
    if (!said.ok) return;
  }
  askReason(
    desk,
    run,
    isVoid ? `Why is ${named(desk, run)} void?` : `Void: ${named(desk, run)}. Why?`,
  );
}

function askReason(desk: Desk, run: Run, title: string): void {
  const because = (reason: string): void => {
    desk.say(desk.acts.voidRun(run.runId, reason, []));
  };
  const reasons: PickItem[] = VOID_REASONS.map((reason) => ({
    label: reason,
    take: () => {
      because(reason);
    },
  }));
  const other: PickItem = {
    label: "something else: type it",
    take: () => {
      desk.type("reason", (text) => {
        if (text === "") return "type a reason, or Esc to answer later";
        because(text);
        return null;
      });
    },
  };
  desk.pick(title, [...reasons, other], "no reasons");
}

/** A warm-up counts after all, any other run becomes one. */
export function toggleWarmUp(desk: Desk, run: Run): void {
  const { acts } = desk;
  desk.say(run.status === "warm-up" ? acts.markOk(run.runId) : acts.markWarmUp(run.runId));
}

/** Asks for the set-up that the run was really ridden on. */
export function chooseSetupOf(desk: Desk, run: Run): void {
  const items = setupItems(desk.summary(), (setup) => {
    desk.say(desk.acts.correctSetup(run.runId, setup));
  });
  desk.pick(`${named(desk, run)} was ridden on`, items, "there are no set-ups");
}

/** The set-up that is entered was on the bike: somebody looked. */
export function confirmSetup(desk: Desk, run: Run): void {
  const { run: runId, ...measure } = setupConfirmation(run);
  desk.say(desk.acts.takeMeasure({ runId, ...measure }));
}

/** Asks whose run it was. */
export function chooseRiderOf(desk: Desk, run: Run): void {
  const items = riderItems(desk.summary(), (rider) => {
    desk.say(desk.acts.correctRider(run.runId, rider));
  });
  desk.pick(`${runName(run)} was ridden by`, items, "there are no riders");
}

/** Asks what happened, and where if there are sectors. */
export function noteIncident(desk: Desk, run: Run): void {
  const items = INCIDENTS.map(({ kind, label }) => ({
    label,
    take: () => {
      const note = (sector: number | null): void => {
        desk.say(desk.acts.noteIncident(run.runId, kind, sector));
      };
      if (desk.summary().sectors.length < 2) note(null);
      else desk.pick(`Where was the ${label}?`, sectorItems(desk.summary(), note), "");
    },
  }));
  desk.pick(`What happened in ${named(desk, run)}? It still counts`, items, "");
}

/** Asks how the run was and how it felt. */
export function rateFeel(desk: Desk, run: Run): void {
  askFeel(desk, run, voidRun);
}

/** Types a note, about a run or about the day. */
export function writeNote(desk: Desk, run: Run | undefined): void {
  desk.type(run === undefined ? "note" : `note on ${named(desk, run)}`, (text) => {
    if (text === "") return "nothing typed yet";
    desk.say(desk.acts.addNote(text, run?.runId ?? null));
    return null;
  });
}

/** Strikes one sector of the run out. */
function voidSector(desk: Desk, run: Run): void {
  const items = desk.summary().sectors.map((name, i) => ({
    label: name,
    take: () => {
      desk.say(desk.acts.voidRun(run.runId, null, [i + 1]));
    },
  }));
  desk.pick(`Which sector of ${named(desk, run)} is void?`, items, "there are no sectors");
}

/** Everything that can be done with a run, as a list. */
export function openRun(desk: Desk, run: Run): void {
  const item = (label: string, take: () => void): PickItem => ({ label, take });
  const mark = (label: string, act: (runId: string) => ReturnType<Desk["acts"]["markOk"]>) =>
    item(label, () => {
      desk.say(act(run.runId));
    });
  const on = (label: string, act: (desk: Desk, run: Run) => void): PickItem =>
    item(label, () => {
      act(desk, run);
    });
  const { acts } = desk;
  desk.pick(
    `${named(desk, run)}: what to do?`,
    [
      on("void: strike it out, with a reason", voidRun),
      mark("count it", (id) => acts.markOk(id)),
      mark("warm-up", (id) => acts.markWarmUp(id)),
      mark("DNF: did not finish", (id) => acts.markDnf(id)),
      on("set-up: it was ridden on another one", chooseSetupOf),
      on("set-up is right: somebody looked at the bike", confirmSetup),
      on("rider: it was somebody else's", chooseRiderOf),
      on("incident", noteIncident),
      on("feel", rateFeel),
      on("note", writeNote),
      item("uncertainty: what it is made of", () => {
        showBudget(desk, run.runId);
      }),
      on("one sector is void", voidSector),
      mark("split: start and finish are not of one ride", (id) => acts.splitRun(id)),
    ],
    "",
  );
}
