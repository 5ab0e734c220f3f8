// A whole terminal in memory for what runs a screen: emulator, keyboard, process, and what was done to them.
import { EventEmitter } from "node:events";
import type { Terminal } from "../../src/tui/run-screen.tsx";
import { EmulatedTerminal } from "./screen/emulator.ts";

class Keyboard extends EventEmitter {
  readonly done: string[];
  constructor(done: string[]) {
    super();
    this.done = done;
  }
  setRawMode(isRaw: boolean): void {
    this.done.push(isRaw ? "raw" : "cooked");
  }
  resume(): void {
    this.done.push("resumed");
  }
  pause(): void {
    this.done.push("paused");
  }
  type(text: string): void {
    this.emit("data", new TextEncoder().encode(text));
  }
}

class Host extends EventEmitter {
  readonly pid = 4711;
  readonly done: string[];
  constructor(done: string[]) {
    super();
    this.done = done;
  }
  exit(code: number): void {
    this.done.push(`exit ${String(code)}`);
  }
  kill(): void {
    this.done.push("killed");
  }
}

export interface TerminalUnderTest {
  readonly terminal: Terminal;
  readonly emulator: EmulatedTerminal;
  readonly keyboard: Keyboard;
  readonly host: Host;
  /** In order: raw, cooked, closed, exit 143 ... */
  readonly done: string[];
}

/** A terminal whose clock stands at `nowMs()`. */
export function aTerminal(
  columns: number,
  rows: number,
  nowMs: () => number = () => 1000,
): TerminalUnderTest {
  const done: string[] = [];
  const emulator = new EmulatedTerminal(columns, rows);
  const keyboard = new Keyboard(done);
  const host = new Host(done);
  const terminal: Terminal = {
    stdin: keyboard,
    stdout: emulator,
    stderr: { write: (text: string) => done.push(`told ${text}`) },
    process: host,
    noColor: undefined,
    nowMs,
    close: () => done.push("closed"),
    crashNote: () => "the session is safe",
  };
  return { terminal, emulator, keyboard, host, done };
}
