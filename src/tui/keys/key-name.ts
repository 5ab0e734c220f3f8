// Names of keys as the key table writes them and as people read them; used by the table and the help.
import type { Key, NamedKey } from "./key-stream.ts";

type Letter =
  | "a"
  | "b"
  | "c"
  | "d"
  | "e"
  | "f"
  | "g"
  | "h"
  | "i"
  | "j"
  | "k"
  | "l"
  | "m"
  | "n"
  | "o"
  | "p"
  | "q"
  | "r"
  | "s"
  | "t"
  | "u"
  | "v"
  | "w"
  | "x"
  | "y"
  | "z";

/** A key of the table. `1-9` is any of these digits; letters mean the same with and without Shift. */
export type BoundKey =
  | Letter
  | NamedKey
  | "space"
  | "0"
  | "1"
  | "1-9"
  | "?"
  | "/"
  | "+"
  | "-"
  | ","
  | ".";

/** The name that a key has in the table; empty for a paste. */
export function keyName(key: Exclude<Key, { type: "paste" }>): string {
  if (key.type === "named") return key.name;
  return key.text === " " ? "space" : key.text.toLowerCase();
}

const READABLE: Partial<Record<BoundKey, string>> = {
  enter: "Enter",
  escape: "Esc",
  backspace: "Backspace",
  tab: "Tab",
  up: "Up",
  down: "Down",
  left: "Left",
  right: "Right",
  "page-up": "PgUp",
  "page-down": "PgDn",
  home: "Home",
  end: "End",
  "ctrl-c": "Ctrl-C",
  space: "Space",
  "1-9": "1..9",
};

/** A key as people read it on the screen. */
export function readableKey(key: BoundKey): string {
  return READABLE[key] ?? key;
}
