// What a key does in a mode, by the table of keys; called by console and start menu.
import type { CommandId, Mode } from "./key-binding.ts";
import { type BoundKey, keyName } from "./key-name.ts";
import type { Key } from "./key-stream.ts";
import { KEY_BINDINGS } from "./key-table.ts";

/** A key press understood. */
export interface Command {
  readonly id: CommandId;
  /** The digit of a numbered choice, 1 to 9; else null. */
  readonly digit: number | null;
  readonly writes: boolean;
}

function binds(keys: readonly BoundKey[], name: string): boolean {
  return keys.some((key) => key === name || (key === "1-9" && /^[1-9]$/.test(name)));
}

/**
 * What a key does in a mode; undefined: nothing there. In TEXT a printable character is none of the
 * table's keys: it is text. A paste is text in TEXT and nothing elsewhere.
 */
export function commandFor(mode: Mode, key: Key): Command | undefined {
  if (key.type === "paste" || (mode === "TEXT" && key.type === "text")) return undefined;
  const name = keyName(key);
  const found = KEY_BINDINGS.find((b) => b.modes.includes(mode) && binds(b.keys, name));
  if (found === undefined) return undefined;
  const digit = found.keys.includes("1-9") ? Number(name) : null;
  return { id: found.command, digit, writes: found.writes };
}
