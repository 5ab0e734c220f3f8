// What can be added to the sheet on the day, and changed on it: set-ups, riders, a set-up's lines.
// Offered in the list of acts; called by the commands.
import { idFault } from "../../app/add-to-sheet.ts";
import { baselineOf, type RiderId, type Setup, type SetupId } from "../../domain/session.ts";
import type { Summary } from "../../summary/summary.ts";
import { setupItems } from "./choices.ts";
import type { PickItem } from "./console-state.ts";
import type { Desk } from "./desk.ts";
import { readSetupLine, setupLine } from "./setup-line.ts";

const LETTERS = Array.from("ABCDEFGHIJKLMNOPQRSTUVWXYZ");
/** What cannot be undone is asked about; where a question is too long its end stays. */
const FOR_GOOD = "It can't be taken away again.";

/** The first letter that is no set-up yet; empty if all are. */
function freeLetter({ setups }: Summary): SetupId {
  return LETTERS.find((letter) => !setups.some((setup) => setup.id === letter)) ?? "";
}

/** `R2` after `R1`. */
function freeRiderId({ riders }: Summary): RiderId {
  for (let n = riders.length + 1; ; n++) {
    const id = `R${String(n)}`;
    if (!riders.some((rider) => rider.id === id)) return id;
  }
}

/** What becomes of the plan, for the question before a set-up is added. */
function planWords({ settings, runs }: Summary): string {
  if (settings.bands === "open") return "";
  return runs.some((run) => run.k !== null)
    ? "The plan was fixed before run 1: this set-up is compared by the open band. "
    : "The plan is fixed again with it. ";
}

/** Asks for id, name and what it is a copy of. */
export function addSetup(desk: Desk): void {
  askId(desk, "id of the new set-up", freeLetter(desk.summary()), "setups", (id) => {
    desk.type(`name of set-up ${id}: what is different about it`, (text) => {
      copyFrom(desk, id, text === "" ? id : text);
      return null;
    });
  });
}

function copyFrom(desk: Desk, id: SetupId, name: string): void {
  const summary = desk.summary();
  const items = setupItems(summary, (from) => {
    const what = `Add set-up ${id}, ${name}, a copy of ${from}?`;
    desk.ask(`${planWords(desk.summary())}${FOR_GOOD} ${what}`, () => {
      desk.say(desk.acts.addSetup(id, name, from));
    });
  });
  const baseline = summary.setups.indexOf(baselineOf(summary.setups));
  desk.pick(`Set-up ${id} starts as a copy of`, items, "there is no set-up to copy", baseline);
}

/** Asks for id and name. */
export function addRider(desk: Desk): void {
  askId(desk, "id of the new rider", freeRiderId(desk.summary()), "riders", (id) => {
    desk.type(`name of rider ${id}`, (text) => {
      const name = text === "" ? id : text;
      desk.ask(`${FOR_GOOD} Add rider ${id}, ${name}?`, () => {
        desk.say(desk.acts.addRider(id, name));
      });
      return null;
    });
  });
}

function askId(
  desk: Desk,
  label: string,
  free: string,
  among: "setups" | "riders",
  take: (id: string) => void,
): void {
  const accept = (id: string): string | null => {
    const fault = idFault(id, desk.summary()[among]);
    if (fault !== null) return `${fault.message}: ${fault.hint}`;
    take(id);
    return null;
  };
  desk.type(label, accept, free);
}

/** Asks which set-up, then shows its sheet. */
export function changeSetup(desk: Desk): void {
  const items = setupItems(desk.summary(), (setup) => {
    showSheet(desk, setup);
  });
  desk.pick("Whose sheet is changed?", items, "there are no set-ups");
}

/** The lines of the sheet, one to be chosen; it comes back with what was written until it is left. */
function showSheet(desk: Desk, id: SetupId): void {
  const setup = desk.summary().setups.find((each) => each.id === id);
  if (setup === undefined) return;
  const lines = Object.entries(setup.values).map(([key, value]): PickItem => {
    const written = setupLine(key, value);
    return {
      label: written,
      take: () => {
        typeLine(desk, setup, written);
      },
    };
  });
  const another: PickItem = {
    label: "another line: type key = value",
    take: () => {
      typeLine(desk, setup, "");
    },
  };
  const name: PickItem = {
    label: `name: ${setup.name}`,
    take: () => {
      typeName(desk, setup);
    },
  };
  desk.pick(`Sheet of set-up ${id}: choose a line to change`, [...lines, another, name], "");
}

/** The text stays, with a word about it, until it is taken or left with Esc. */
function typeLine(desk: Desk, { id }: Setup, written: string): void {
  const accept = (text: string): string | null => {
    const line = readSetupLine(text);
    if (line === undefined) return "one line, key = value, like rear_pressure_bar = 1.6";
    const said = desk.acts.writeSetupLine(id, line.key, line.value);
    if (!said.ok) return said.text;
    desk.say(said);
    showSheet(desk, id);
    return null;
  };
  desk.type(`line of set-up ${id}, key = value (nothing after =: take it out)`, accept, written);
}

function typeName(desk: Desk, { id, name }: Setup): void {
  const accept = (text: string): string | null => {
    const said = desk.acts.renameSetup(id, text);
    if (!said.ok) return said.text;
    desk.say(said);
    showSheet(desk, id);
    return null;
  };
  desk.type(`name of set-up ${id}`, accept, name);
}
