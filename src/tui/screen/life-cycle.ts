// Holds the terminal for the console and the board, and gives it back however the program ends.
import type { Screen } from "./screen.ts";

/** What is needed of the process; `process` fits. */
interface HostProcess {
  readonly pid: number;
  on(event: string, listener: (...args: unknown[]) => void): unknown;
  off(event: string, listener: (...args: unknown[]) => void): unknown;
  exit(code: number): void;
  kill(pid: number, signal: string): unknown;
}

/** What is needed of the keyboard; `process.stdin` fits. */
interface RawInput {
  setRawMode(isRaw: boolean): unknown;
  on(event: "end" | "error", listener: () => void): unknown;
  off(event: "end" | "error", listener: () => void): unknown;
}

/** A stream that text goes to; a lost terminal shows as its error. */
interface LossyOutput {
  write(text: string): unknown;
  on(event: "error", listener: () => void): unknown;
  off(event: "error", listener: () => void): unknown;
}

export interface TerminalParts {
  readonly process: HostProcess;
  readonly input: RawInput;
  /** Where the screen writes to. */
  readonly output: LossyOutput;
  /** Where a crash is told, after the terminal is restored. */
  readonly errors: { write(text: string): unknown };
  readonly screen: Screen;
  /** Closes ports and the session file; called once, after the terminal is restored. */
  readonly close: () => void;
  /** One sentence for a crash: where the session is safely stored. */
  readonly crashNote: () => string;
}

const ESC = String.fromCharCode(27);
/** Pasted text comes between marks, so that it cannot be taken for keys. */
const PASTE_MARKS_ON = `${ESC}[?2004h`;
const PASTE_MARKS_OFF = `${ESC}[?2004l`;

/** Numbers of the signals that end the program; the exit code is 128 more, as shells have it. */
const ENDING = { SIGHUP: 1, SIGINT: 2, SIGQUIT: 3, SIGTERM: 15 } as const;

function stackOf(reason: unknown): string {
  if (reason instanceof Error) return reason.stack ?? `${reason.name}: ${reason.message}`;
  return String(reason);
}

/**
 * Takes the terminal over: raw mode, the alternate screen, and the restoring of both on quitting, on
 * a signal, on a lost terminal, on an uncaught exception and on an unhandled rejection. The terminal
 * is restored first, then whatever is to be said is said.
 *
 * @returns gives the terminal back and ends the watching; may be called more than once
 */
export function holdTerminal(parts: TerminalParts): () => void {
  const { process, input, output, errors, screen } = parts;
  const listeners: (readonly [string, (...args: unknown[]) => void])[] = [];
  let isHeld = false;
  let isClosed = false;

  const take = (): void => {
    isHeld = true;
    input.setRawMode(true);
    output.write(PASTE_MARKS_ON);
    screen.enter();
  };
  const restore = (): void => {
    if (!isHeld) return;
    isHeld = false;
    screen.leave();
    output.write(PASTE_MARKS_OFF);
    input.setRawMode(false);
  };
  const closeOnce = (): void => {
    if (isClosed) return;
    isClosed = true;
    try {
      parts.close();
    } catch (reason) {
      errors.write(`${stackOf(reason)}\n`);
    }
  };
  const end = (code: number): void => {
    restore();
    closeOnce();
    process.exit(code);
  };
  const crash = (reason: unknown): void => {
    restore();
    errors.write(`${stackOf(reason)}\n${parts.crashNote()}\n`);
    closeOnce();
    process.exit(1);
  };
  const hangUp = (): void => {
    end(128 + ENDING.SIGHUP);
  };
  const watch = (event: string, listener: (...args: unknown[]) => void): void => {
    listeners.push([event, listener]);
    process.on(event, listener);
  };

  for (const [signal, number] of Object.entries(ENDING)) {
    watch(signal, () => {
      end(128 + number);
    });
  }
  watch("SIGTSTP", () => {
    restore();
    process.kill(process.pid, "SIGSTOP");
  });
  watch("SIGCONT", () => {
    // The shell had the terminal meanwhile: setting raw mode a second time in a row would do nothing.
    restore();
    input.setRawMode(false);
    take();
    screen.relayout();
  });
  watch("uncaughtException", crash);
  watch("unhandledRejection", crash);
  watch("exit", restore);
  input.on("end", hangUp);
  input.on("error", hangUp);
  output.on("error", hangUp);
  take();

  return () => {
    restore();
    for (const [event, listener] of listeners) process.off(event, listener);
    listeners.length = 0;
    input.off("end", hangUp);
    input.off("error", hangUp);
    // The output's error stays watched: what was written last may still fail, and nobody is left to tell.
  };
}
