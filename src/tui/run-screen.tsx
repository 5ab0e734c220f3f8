// Opens the terminal for one Ink tree and closes it again: what console, board and start menu share.
import chalk from "chalk";
import { render } from "ink";
import type { ReactElement } from "react";
import type { Key } from "./keys/key-stream.ts";
import { type KeyInput, listenToKeys } from "./keys/keyboard.ts";
import { colourLevel, groundOf, type ThemeName, theme } from "./present/theme.ts";
import { holdTerminal, type TerminalParts } from "./screen/life-cycle.ts";
import { asInkOutput, Screen, type TerminalOutput } from "./screen/screen.ts";

/** The terminal and the process around a screen, handed in by the cli. */
export interface Terminal {
  /** `process.stdin`, a terminal, not decoded to strings. */
  readonly stdin: KeyInput & TerminalParts["input"];
  /** `process.stdout`, a terminal. */
  readonly stdout: TerminalOutput & TerminalParts["output"];
  /** `process.stderr`. */
  readonly stderr: TerminalParts["errors"];
  /** `process`. */
  readonly process: TerminalParts["process"];
  /** The variable NO_COLOR. */
  readonly noColor: string | undefined;
  /** Laptop's monotonic clock, ms. */
  readonly nowMs: () => number;
  /** Closes ports and files if the program has to end at once; called at most once. */
  readonly close: () => void;
  /** One sentence for a crash: where the session is safely stored. */
  readonly crashNote: () => string;
}

export interface OpenScreen {
  readonly screen: Screen;
  /** Draws in another theme from now on. */
  setTheme(name: ThemeName): void;
  /** Gives the terminal back. Does nothing the second time. */
  close(): void;
}

/** What chalk found out about the terminal, before any theme changed it. */
const detectedLevel = chalk.level;

/**
 * Takes the terminal over and draws a tree in it.
 *
 * @param tree - makes the tree for the screen that was opened
 * @param onKey - atMs is the key's arrival by `nowMs`
 */
export function openScreen(
  terminal: Terminal,
  themeName: ThemeName,
  tree: (screen: Screen) => ReactElement,
  onKey: (key: Key, atMs: number) => void,
): OpenScreen {
  const ground = (name: ThemeName): ReturnType<typeof groundOf> => {
    chalk.level = colourLevel(name, detectedLevel, terminal.noColor);
    return groundOf(theme(name), chalk);
  };
  const screen = new Screen(terminal.stdout, ground(themeName));
  const giveBack = holdTerminal({
    process: terminal.process,
    input: terminal.stdin,
    output: terminal.stdout,
    errors: terminal.stderr,
    screen,
    close: terminal.close,
    crashNote: terminal.crashNote,
  });
  const ink = render(tree(screen), {
    stdout: asInkOutput(screen),
    debug: true,
    patchConsole: false,
    exitOnCtrlC: false,
  });
  const deafen = listenToKeys(terminal.stdin, terminal.nowMs, onKey);
  let isOpen = true;
  return {
    screen,
    setTheme(name) {
      screen.setGround(ground(name));
    },
    close() {
      if (!isOpen) return;
      isOpen = false;
      deafen();
      ink.unmount();
      giveBack();
    },
  };
}
