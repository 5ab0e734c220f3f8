// What the console itself remembers: mode, list, question, text, what was said. Nothing of it is in the journal.
import { AS_PLANNED, type WhatIf } from "../../domain/plan.ts";
import type { SessionUs } from "../../domain/time.ts";
import type { Mode } from "../keys/key-binding.ts";
import type { ThemeName } from "../present/theme.ts";
import type { Said } from "./acts.ts";
import type { AlertMemory } from "./alert-memory.ts";
import type { Press } from "./press.ts";

/** A list that took over a panel. */
export interface Pick {
  readonly title: string;
  readonly items: readonly PickItem[];
  readonly selected: number;
}

export interface PickItem {
  readonly label: string;
  /** Runs once the list is gone; it may open the next one. */
  readonly take: (press: Press) => void;
}

/** A line of text being typed. */
interface TextEntry {
  readonly label: string;
  readonly value: string;
  /** Why what was typed will not do; null while nothing is wrong. */
  readonly complaint: string | null;
  /** Answers with a complaint, or does what the text is for. */
  readonly accept: (text: string) => string | null;
}

/** A question, mostly for what cannot be undone; the default is no. */
interface Question {
  /** Spells out what will happen. */
  readonly text: string;
  readonly yes: () => void;
  readonly no: () => void;
}

export type BellKind = "off" | "finish" | "doubt";
export type Page =
  | "keys"
  | "boxes"
  | "comparison"
  | "plan"
  | "gates"
  | "call-up"
  | "exploring"
  | "budget";

export interface ConsoleState {
  readonly mode: Mode;
  /** Where a list, text or question came from and an answered one goes back to. */
  readonly home: "LIVE" | "SCROLL";
  readonly said: Said | null;
  /** Key of the focused row in SCROLL. */
  readonly selected: string | null;
  /** Rows that there were when the end was last seen; the rest is "new below". */
  readonly seenRows: number;
  readonly pick: Pick | null;
  readonly text: TextEntry | null;
  readonly question: Question | null;
  readonly page: Page;
  /** The change that the plan's page looks at. */
  readonly whatIf: WhatIf;
  /** When the gate check was opened: beams are to be walked through from then on. */
  readonly checkedSince: SessionUs | null;
  /** The run whose uncertainty the page is about. */
  readonly budgetOf: string | null;
  /** First row shown of the help or emergency page. */
  readonly pageTop: number;
  readonly bell: BellKind;
  readonly theme: ThemeName;
  readonly alerts: AlertMemory;
  /** Rows that the alerts have on the screen. */
  readonly alertRows: number;
}

/** The console as it opens. */
export function firstState(theme: ThemeName): ConsoleState {
  return {
    mode: "LIVE",
    home: "LIVE",
    said: null,
    selected: null,
    seenRows: 0,
    pick: null,
    text: null,
    question: null,
    page: "keys",
    whatIf: AS_PLANNED,
    checkedSince: null,
    budgetOf: null,
    pageTop: 0,
    bell: "off",
    theme,
    alerts: { known: [] },
    alertRows: Number.POSITIVE_INFINITY,
  };
}
