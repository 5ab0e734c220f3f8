// The start menu without its picture: practise, new, open, quit; takes keys, gives the choice. Drawn by start.tsx.
import { printable, withoutLast } from "../console/prompt-keys.ts";
import type { Mode } from "../keys/key-binding.ts";
import { commandFor } from "../keys/key-map.ts";
import type { Key } from "../keys/key-stream.ts";
import {
  type Field,
  type FormWorld,
  formFields,
  type NewSession,
  newSession,
} from "./new-session.ts";

export type StartChoice =
  | { readonly kind: "practice" }
  | { readonly kind: "new"; readonly session: NewSession }
  | { readonly kind: "open"; readonly file: string }
  | { readonly kind: "quit" };

export interface StartWorld extends FormWorld {
  /** Session files to choose from, newest first. */
  readonly files: readonly string[];
  /** Why a session cannot be made of the form, in words; null: it can. */
  readonly refusal: (session: NewSession) => string | null;
}

type Values = Readonly<Record<keyof NewSession, string>>;

export type StartState =
  | { readonly kind: "menu"; readonly message: string | null }
  | { readonly kind: "open"; readonly selected: number }
  | {
      readonly kind: "form";
      readonly values: Values;
      /** Index of the field being typed. */
      readonly at: number;
      readonly complaint: string | null;
    };

/** Either the menu as it is after a key, or what was chosen. */
export type StartStep =
  | { readonly state: StartState; readonly choice: null }
  | { readonly state: null; readonly choice: StartChoice };

export const FILES_A_PAGE = 9;

export const firstStart: StartState = { kind: "menu", message: null };

/** The mode that the key table is asked for. */
export function startMode(state: StartState): Mode {
  return state.kind === "menu" ? "START" : state.kind === "open" ? "PICK" : "TEXT";
}

const stay = (state: StartState): StartStep => ({ state, choice: null });
const choose = (choice: StartChoice): StartStep => ({ state: null, choice });

/** What a key leads to. */
export function startKey(state: StartState, key: Key, world: StartWorld): StartStep {
  const command = commandFor(startMode(state), key);
  if (command?.id === "quit") return choose({ kind: "quit" });
  switch (state.kind) {
    case "menu":
      return menuKey(state, command?.id, world);
    case "open":
      return openKey(state, command?.id, command?.digit ?? null, world);
    case "form": {
      if (command === undefined && key.type !== "named") return typed(state, key.text);
      return formKey(state, command?.id, world);
    }
  }
}

function menuKey(state: StartState, id: string | undefined, world: StartWorld): StartStep {
  if (id === "start-practice") return choose({ kind: "practice" });
  if (id === "start-open") {
    if (world.files.length > 0) return stay({ kind: "open", selected: 0 });
    return stay({ kind: "menu", message: "there is no *.swaplap file in this folder" });
  }
  if (id === "start-new") {
    const fields = formFields(world);
    const initial = (key: keyof NewSession): string =>
      fields.find((field) => field.key === key)?.initial ?? "";
    const values: Values = {
      file: initial("file"),
      stretch: initial("stretch"),
      rider: initial("rider"),
      setupA: initial("setupA"),
      setupB: initial("setupB"),
      plannedRuns: initial("plannedRuns"),
      expectedRunS: initial("expectedRunS"),
      marginS: initial("marginS"),
      port: initial("port"),
    };
    return stay({ kind: "form", values, at: 0, complaint: null });
  }
  return stay(state);
}

type OpenState = Extract<StartState, { kind: "open" }>;

function openKey(
  state: OpenState,
  id: string | undefined,
  digit: number | null,
  world: StartWorld,
): StartStep {
  const move = (step: number): StartStep => {
    const selected = Math.max(0, Math.min(world.files.length - 1, state.selected + step));
    return stay({ kind: "open", selected });
  };
  const take = (index: number): StartStep => {
    const file = world.files[index];
    return file === undefined ? stay(state) : choose({ kind: "open", file });
  };
  const pageStart = Math.floor(state.selected / FILES_A_PAGE) * FILES_A_PAGE;
  if (id === "scroll-up") return move(-1);
  if (id === "scroll-down") return move(1);
  if (id === "pick-selected") return take(state.selected);
  if (id === "pick-number" && digit !== null) return take(pageStart + digit - 1);
  if (id === "back" || id === "pick-later") return stay(firstStart);
  return stay(state);
}

type FormState = Extract<StartState, { kind: "form" }>;

const KEYS: readonly (keyof NewSession)[] = [
  "file",
  "stretch",
  "rider",
  "setupA",
  "setupB",
  "plannedRuns",
  "expectedRunS",
  "marginS",
  "port",
];
/** chosen: a path may be long, a name is checked to be shorter. */
const LONGEST = 200;

function become(state: FormState, value: string): StartStep {
  const key = KEYS[state.at] ?? "file";
  const values = { ...state.values, [key]: value.slice(0, LONGEST) };
  return stay({ ...state, values, complaint: null });
}

function typedSoFar(state: FormState): string {
  return state.values[KEYS[state.at] ?? "file"];
}

function typed(state: FormState, text: string): StartStep {
  return become(state, typedSoFar(state) + printable(text));
}

function formKey(state: FormState, id: string | undefined, world: StartWorld): StartStep {
  if (id === "back") return stay(firstStart);
  if (id === "text-delete") return become(state, withoutLast(typedSoFar(state)));
  if (id === "field-before") {
    return stay({ ...state, at: Math.max(0, state.at - 1), complaint: null });
  }
  return id === "text-accept" ? acceptField(state, world) : stay(state);
}

function acceptField(state: FormState, world: StartWorld): StartStep {
  const fields = formFields(world);
  const value = typedSoFar(state).trim();
  const values = { ...state.values, [KEYS[state.at] ?? "file"]: value };
  const complaint = fieldAt(fields, state.at)?.check(value) ?? null;
  if (complaint !== null) return stay({ ...state, complaint });
  if (state.at < fields.length - 1) {
    return stay({ kind: "form", values, at: state.at + 1, complaint: null });
  }
  const wrong = fields.findIndex((field) => field.check(values[field.key].trim()) !== null);
  if (wrong >= 0) {
    const field = fieldAt(fields, wrong);
    const why = field?.check(values[field.key].trim()) ?? "";
    return stay({ kind: "form", values, at: wrong, complaint: why });
  }
  const session = newSession(values);
  const refusal = world.refusal(session);
  if (refusal !== null) return stay({ kind: "form", values, at: state.at, complaint: refusal });
  return choose({ kind: "new", session });
}

function fieldAt(fields: readonly Field[], at: number): Field | undefined {
  return fields[at];
}
