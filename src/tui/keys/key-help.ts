// The help screen and the status line's hints, made from the key table; called by the console.
import type { CommandId, KeyBinding, KeyGroup, Mode } from "./key-binding.ts";
import { readableKey } from "./key-name.ts";
import { KEY_BINDINGS } from "./key-table.ts";

interface HelpRow {
  /** `s or i`; "in the list (a)" for what has no key of its own. */
  readonly keys: string;
  readonly help: string;
}

export interface HelpSection {
  readonly group: KeyGroup;
  readonly rows: readonly HelpRow[];
}

function keysOf(binding: KeyBinding): string {
  if (binding.keys.length === 0) return "a or l, list";
  return binding.keys.map(readableKey).join(" or ");
}

/** Every key once, by group, in the table's order. */
export function helpSections(): readonly HelpSection[] {
  const groups = [...new Set(KEY_BINDINGS.map((binding) => binding.group))];
  return groups.map((group) => ({
    group,
    rows: KEY_BINDINGS.filter((binding) => binding.group === group).map((binding) => ({
      keys: keysOf(binding),
      help: `${modesOf(binding)}${binding.help}`,
    })),
  }));
}

/** Says where a key holds if that is not LIVE, as its group does not. */
function modesOf(binding: KeyBinding): string {
  if (binding.modes.includes("LIVE")) return "";
  return binding.group.startsWith("In ") || binding.modes.includes("START")
    ? ""
    : `${binding.modes.join(", ")}: `;
}

/** What the list of all acts offers, in the table's order. */
export function acts(): readonly KeyBinding[] {
  return KEY_BINDINGS.filter((binding) => binding.inActs);
}

/** chosen: the keys most needed in each mode, most needed first; the status line takes as many as fit. */
const HINTS: Readonly<Record<Mode, readonly CommandId[]>> = {
  LIVE: [
    "show-help",
    "mark",
    "accept-suggestion",
    "void-last",
    "undo",
    "mark-start",
    "mark-finish",
    "choose-setup",
    "toggle-warm-up",
    "scroll-up",
    "list-acts",
    "quit",
  ],
  SCROLL: [
    "back",
    "strike-out",
    "count-again",
    "correct-setup",
    "assign-rider",
    "undo",
    "open-row",
  ],
  PICK: ["pick-number", "pick-selected", "back"],
  TEXT: ["text-accept", "back"],
  CONFIRM: ["answer-yes", "answer-no"],
  HELP: ["back", "next-page", "scroll-down", "next-theme", "toggle-bell"],
  EMERGENCY: ["back", "scroll-down"],
  START: ["start-practice", "start-new", "start-open", "quit"],
};

/** The keys of a group in short, in the table's order: `Right more runs`. */
export function groupHints(group: KeyGroup): readonly string[] {
  return KEY_BINDINGS.filter((binding) => binding.group === group).flatMap(({ keys, name }) =>
    keys[0] === undefined ? [] : [`${readableKey(keys[0])} ${name}`],
  );
}

/** Hints for the status line, most needed first: `Space mark`. */
export function keyHints(mode: Mode): readonly string[] {
  return HINTS[mode].flatMap((command) => {
    const binding = KEY_BINDINGS.find((b) => b.command === command && b.modes.includes(mode));
    const key = binding?.keys[0];
    return binding === undefined || key === undefined
      ? []
      : [`${readableKey(key)} ${binding.name}`];
  });
}
