// The terminal this program was started in, and the options of whatever draws in it.
import { type Command, Option } from "commander";
import { THEME_NAMES, type ThemeName } from "../tui/present/theme.ts";
import type { Terminal } from "../tui/run-screen.tsx";

export interface ScreenOptions {
  readonly plain?: true;
  readonly ascii?: true;
  readonly theme: ThemeName;
}

/** Adds `--plain`, `--ascii` and `--theme`. */
export function withScreenOptions(command: Command): Command {
  return command
    .option("--plain", "one sentence an event instead of a screen (also when there is no terminal)")
    .option("--ascii", "only characters that every terminal has")
    .addOption(new Option("--theme <name>", "colours").choices(THEME_NAMES).default("dark"));
}

/**
 * True if a screen can be drawn: both ends are a terminal that can move its cursor, and nobody asked
 * for sentences.
 */
export function hasScreen(options: ScreenOptions): boolean {
  const canDraw = process.stdin.isTTY && process.stdout.isTTY && process.env["TERM"] !== "dumb";
  return options.plain !== true && canDraw;
}

/**
 * @param close - closes ports and files if the program has to end at once
 * @param file - where the session is safely stored, for a crash
 * @param nowMs - monotonic clock, ms: the laptop's, or that of a practice day
 */
export function terminalFor(
  close: () => void,
  file: string,
  nowMs: () => number = () => Number(process.hrtime.bigint()) / 1e6,
): Terminal {
  return {
    stdin: process.stdin,
    stdout: process.stdout,
    stderr: process.stderr,
    process,
    noColor: process.env["NO_COLOR"],
    nowMs,
    close,
    crashNote: () => `What was recorded is safe in ${file}: start again and carry on.`,
  };
}
