// Ink 6.8 drawing through the screen into a true terminal emulator.
import { Box, render, Text } from "ink";
import type { ReactElement } from "react";
import { useSyncExternalStore } from "react";
import { describe, expect, it } from "vitest";
import { asInkOutput, Screen } from "../../../src/tui/screen/screen.ts";
import { EmulatedTerminal } from "./emulator.ts";

const ESC = "\u001b";

/** A tree that fills the terminal to its last row and column. */
function Full({ screen, word }: { readonly screen: Screen; readonly word: string }): ReactElement {
  const { columns, rows } = useSyncExternalStore(screen.subscribeSize, screen.size);
  return (
    <Box width={columns} height={rows} flexDirection="column">
      <Text>{"=".repeat(columns)}</Text>
      <Box flexGrow={1} flexDirection="column">
        <Text bold>{word}</Text>
      </Box>
      <Text>{"#".repeat(columns)}</Text>
    </Box>
  );
}

function expected(columns: number, rows: number, word: string): readonly string[] {
  const blank = Array.from({ length: rows - 3 }, () => "");
  return ["=".repeat(columns), word, ...blank, "#".repeat(columns)];
}

describe("Ink through the screen", () => {
  it("draws all rows of 80x24, changes one line without clearing, survives a resize", async () => {
    const terminal = new EmulatedTerminal(80, 24);
    const screen = new Screen(terminal);
    screen.enter();
    const ink = render(<Full screen={screen} word="R1 on course" />, {
      stdout: asInkOutput(screen),
      debug: true,
      patchConsole: false,
      exitOnCtrlC: false,
    });
    expect(await terminal.text()).toEqual(expected(80, 24, "R1 on course"));

    const before = terminal.writes.length;
    ink.rerender(<Full screen={screen} word="R1 finished" />);
    expect(await terminal.text()).toEqual(expected(80, 24, "R1 finished"));
    const drawn = terminal.writes.slice(before);
    expect(drawn).toHaveLength(1);
    expect(drawn[0]?.length).toBeLessThan(140);
    const after = terminal.writes.slice(1).join("");
    for (const erase of ["[2J", "[3J", "[K", "[2K", "[J", "\n"]) {
      expect(after.includes(erase === "\n" ? erase : ESC + erase)).toBe(false);
    }

    terminal.resize(100, 30);
    await expect.poll(() => terminal.text()).toEqual(expected(100, 30, "R1 finished"));
    terminal.resize(80, 24);
    await expect.poll(() => terminal.text()).toEqual(expected(80, 24, "R1 finished"));
    expect(await terminal.scrolled()).toBe(0);

    ink.unmount();
    await ink.waitUntilExit();
    screen.leave();
    expect(await terminal.buffer()).toBe("normal");
  });

  it("does not draw, hide or show anything when Ink ends", async () => {
    const terminal = new EmulatedTerminal(40, 10);
    const screen = new Screen(terminal);
    screen.enter();
    const ink = render(<Full screen={screen} word="bye" />, {
      stdout: asInkOutput(screen),
      debug: true,
      patchConsole: false,
      exitOnCtrlC: false,
    });
    const before = terminal.writes.length;
    ink.unmount();
    await ink.waitUntilExit();
    expect(terminal.writes.length).toBe(before);
  });
});
