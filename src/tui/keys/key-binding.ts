// What a key can be bound to: modes, commands and headings of the help screen; used by the table of
// keys and by whoever asks it.
import type { BoundKey } from "./key-name.ts";

/**
 * Shown in brackets in the status line. PICK is choosing from a list that took over a panel, START
 * the menu before a session is open.
 */
export type Mode = "LIVE" | "SCROLL" | "PICK" | "TEXT" | "CONFIRM" | "HELP" | "EMERGENCY" | "START";

export type CommandId =
  // the clock, by hand
  | "mark"
  | "mark-start"
  | "mark-split"
  | "mark-finish"
  // what is on the bike
  | "accept-suggestion"
  | "choose-setup"
  | "list-setups"
  | "next-rider"
  | "previous-rider"
  | "list-riders"
  | "add-setup"
  | "add-rider"
  | "change-setup"
  // runs and passings
  | "void-last"
  | "strike-out"
  | "count-again"
  | "toggle-warm-up"
  | "mark-dnf"
  | "correct-setup"
  | "list-setups-for-run"
  | "assign-rider"
  | "note-incident"
  | "note-head-knock"
  | "check-bike"
  | "note-exertion"
  | "confirm-setup"
  | "rate-feel"
  | "write-note"
  | "undo"
  | "redo"
  // the course and the day
  | "hold-course"
  | "show-emergency"
  | "announce-end"
  | "set-margin"
  | "set-drift"
  | "ask-expectation"
  | "ride-value"
  | "begin-check"
  | "mark-condition"
  | "mark-gate-moved"
  | "close-session"
  // finding one's way
  | "scroll-up"
  | "scroll-down"
  | "page-up"
  | "page-down"
  | "list-acts"
  | "open-row"
  | "back"
  | "show-help"
  | "show-comparison"
  | "show-plan"
  | "show-call-up"
  | "show-exploring"
  | "next-page"
  | "check-gates"
  | "strike-gate-check"
  | "insert-passing"
  | "show-boxes"
  | "toggle-bell"
  | "next-theme"
  | "quit"
  // what if: the plan changed for a look
  | "plan-more-runs"
  | "plan-fewer-runs"
  | "plan-setup"
  | "plan-slower-swap"
  | "plan-quicker-swap"
  | "plan-as-it-is"
  // lists, questions, text
  | "pick-number"
  | "pick-selected"
  | "pick-later"
  | "answer-yes"
  | "answer-no"
  | "start-practice"
  | "start-new"
  | "start-open"
  | "field-before"
  | "text-accept"
  | "text-delete";

/** A heading of the help screen. */
export type KeyGroup =
  | "By hand"
  | "Set-ups and riders"
  | "Runs and passings"
  | "Course and day"
  | "Finding your way"
  | "In the plan"
  | "In a list"
  | "In a question"
  | "In a text"
  | "Without a session";

export interface KeyBinding {
  readonly modes: readonly Mode[];
  /** Any of them does it; none: only in the list of all acts. A range `1-9` hands its digit on. */
  readonly keys: readonly BoundKey[];
  readonly command: CommandId;
  readonly group: KeyGroup;
  /** Two or three words, for the status line and lists. */
  readonly name: string;
  /** One line for the help screen. */
  readonly help: string;
  /** Leads to a row of the journal at once: a press that bounced counts once. */
  readonly writes: boolean;
  /** Offered in the list of all acts. */
  readonly inActs: boolean;
}
