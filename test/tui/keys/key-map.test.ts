import { describe, expect, it } from "vitest";
import type { Mode } from "../../../src/tui/keys/key-binding.ts";
import { acts, helpSections, keyHints } from "../../../src/tui/keys/key-help.ts";
import { commandFor } from "../../../src/tui/keys/key-map.ts";
import type { Key, NamedKey } from "../../../src/tui/keys/key-stream.ts";
import { KEY_BINDINGS } from "../../../src/tui/keys/key-table.ts";

const MODES: readonly Mode[] = ["LIVE", "SCROLL", "PICK", "TEXT", "CONFIRM", "HELP", "EMERGENCY"];
const text = (character: string): Key => ({ type: "text", text: character });
const named = (name: NamedKey): Key => ({ type: "named", name });
const letters = (text: string): readonly string[] => Array.from(text);
const LEFT = new Set([...letters("qwertasdfgzxcvb12345"), "space", "escape"]);
const RIGHT = new Set([
  ...letters("yuiophjklnm67890/?"),
  ...["space", "enter", "backspace", "up", "down", "left", "right"],
]);
/** Moves that one hand can do without: the other direction goes round, or Esc leads back. */
const CONVENIENCES = ["scroll-down", "page-up", "page-down", "previous-rider", "pick-later"];

describe("key table", () => {
  it.each(MODES)("gives no key two meanings in %s", (mode) => {
    const keys = KEY_BINDINGS.filter((b) => b.modes.includes(mode)).flatMap((b) => b.keys);
    const spelled = keys.flatMap((key) => (key === "1-9" ? letters("123456789") : [key]));
    expect(new Set(spelled).size).toBe(spelled.length);
  });

  it("has the three big keys", () => {
    expect(commandFor("LIVE", text(" "))).toEqual({ id: "mark", digit: null, writes: true });
    expect(commandFor("LIVE", named("enter"))?.id).toBe("accept-suggestion");
    expect(commandFor("LIVE", named("backspace"))?.id).toBe("void-last");
  });

  it("marks times in SCROLL as in LIVE", () => {
    for (const key of letters(" sdfiop")) {
      expect(commandFor("SCROLL", text(key))).toEqual(commandFor("LIVE", text(key)));
      expect(commandFor("SCROLL", text(key))?.writes).toBe(true);
    }
  });

  it("hands the digit on", () => {
    expect(commandFor("LIVE", text("3"))).toEqual({ id: "choose-setup", digit: 3, writes: true });
    expect(commandFor("PICK", text("9"))).toEqual({ id: "pick-number", digit: 9, writes: false });
    expect(commandFor("CONFIRM", text("1"))?.digit).toBeNull();
  });

  it("makes no difference between a letter with and without Shift", () => {
    for (const letter of "abcdefghijklmnopqrstuvwxyz") {
      expect(commandFor("LIVE", text(letter.toUpperCase()))).toEqual(
        commandFor("LIVE", text(letter)),
      );
    }
  });

  it("takes printable keys for text in TEXT, and a paste for a command nowhere", () => {
    for (const key of letters("qs 1?/")) expect(commandFor("TEXT", text(key))).toBeUndefined();
    for (const mode of MODES)
      expect(commandFor(mode, { type: "paste", text: "q" })).toBeUndefined();
  });

  it("leads from every mode but LIVE back, and from every mode out", () => {
    for (const mode of MODES) {
      if (mode !== "LIVE") {
        expect(["back", "answer-no"]).toContain(commandFor(mode, named("escape"))?.id);
      }
      expect(commandFor(mode, named("ctrl-c"))?.id).toBe("quit");
    }
  });

  it("answers a question with no unless it is said", () => {
    const yes = KEY_BINDINGS.filter((b) => b.command === "answer-yes").flatMap((b) => b.keys);
    const starters = KEY_BINDINGS.filter((b) => b.command === "quit").flatMap((b) => b.keys);
    expect(yes).not.toContain("enter");
    expect(yes.filter((key) => starters.includes(key))).toEqual([]);
  });

  it("lets every act be done with either hand, by a key or through the list of acts", () => {
    for (const mode of ["LIVE", "PICK", "CONFIRM"] as const) {
      for (const half of [LEFT, RIGHT]) {
        const missing = KEY_BINDINGS.filter(
          (b) =>
            b.modes.includes(mode) &&
            !b.inActs &&
            !b.keys.some((key) => half.has(key) || key === "1-9" || key === "ctrl-c") &&
            !CONVENIENCES.includes(b.command),
        );
        expect(missing.map((b) => b.command)).toEqual([]);
      }
    }
    for (const half of [LEFT, RIGHT]) {
      const list = KEY_BINDINGS.find((b) => b.command === "list-acts");
      expect(list?.keys.some((key) => half.has(key))).toBe(true);
    }
  });

  it("makes the help screen: every key of the table is on it, in words", () => {
    const rows = helpSections().flatMap((section) => section.rows);
    expect(rows).toHaveLength(KEY_BINDINGS.length);
    expect(rows.map((row) => row.keys)).toContain("Space");
    expect(rows.map((row) => row.keys)).toContain("s or i");
    for (const row of rows) {
      expect(row.keys).not.toBe("");
      expect(row.help.length).toBeGreaterThan(3);
    }
  });

  it("offers acts that exist once, and hints that name a key of the mode", () => {
    const offered = acts().map((binding) => binding.command);
    expect(new Set(offered).size).toBe(offered.length);
    for (const mode of MODES) expect(keyHints(mode).length).toBeGreaterThan(0);
    expect(keyHints("LIVE")[0]).toBe("? help");
    expect(keyHints("CONFIRM")).toEqual(["y yes", "n no"]);
  });
});
