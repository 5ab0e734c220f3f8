import { EventEmitter } from "node:events";
import { describe, expect, it } from "vitest";
import { holdTerminal } from "../../../src/tui/screen/life-cycle.ts";
import { Screen } from "../../../src/tui/screen/screen.ts";
import { EmulatedTerminal } from "./emulator.ts";

/** Stands in for the operating system's process; says what was asked of it. */
class FakeProcess extends EventEmitter {
  readonly pid = 4711;
  readonly done: string[];
  constructor(done: string[]) {
    super();
    this.done = done;
  }
  exit(code: number): void {
    this.done.push(`exit ${String(code)}`);
  }
  kill(pid: number, signal: string): void {
    this.done.push(`kill ${String(pid)} ${signal}`);
  }
}

class FakeInput extends EventEmitter {
  readonly done: string[];
  constructor(done: string[]) {
    super();
    this.done = done;
  }
  setRawMode(isRaw: boolean): void {
    this.done.push(isRaw ? "raw" : "cooked");
  }
}

function held() {
  const done: string[] = [];
  const terminal = new EmulatedTerminal(40, 6);
  const process = new FakeProcess(done);
  const input = new FakeInput(done);
  const screen = new Screen(terminal);
  screen.write("picture");
  const release = holdTerminal({
    process,
    input,
    output: terminal,
    errors: { write: (text: string) => done.push(`told ${text.split("\n")[0] ?? ""}`) },
    screen,
    close: () => done.push("closed"),
    crashNote: () => "the session is safe",
  });
  return { done, terminal, process, input, release };
}

describe("holdTerminal", () => {
  it.each([
    ["SIGHUP", 129],
    ["SIGINT", 130],
    ["SIGQUIT", 131],
    ["SIGTERM", 143],
  ])("on %s restores, closes and exits with %i", async (signal, code) => {
    const { done, terminal, process } = held();
    expect(await terminal.buffer()).toBe("alternate");
    process.emit(signal);
    expect(await terminal.buffer()).toBe("normal");
    expect(done).toEqual(["raw", "cooked", "closed", `exit ${String(code)}`]);
  });

  it.each(["uncaughtException", "unhandledRejection"])(
    "on %s restores before it tells the stack",
    async (event) => {
      const { done, terminal, process } = held();
      process.emit(event, new Error("boom"));
      expect(await terminal.buffer()).toBe("normal");
      expect(done).toEqual(["raw", "cooked", "told Error: boom", "closed", "exit 1"]);
    },
  );

  it("takes a lost terminal for a hang-up", () => {
    for (const lose of ["input", "output"] as const) {
      const { done, terminal, input } = held();
      if (lose === "input") input.emit("end");
      else terminal.emit("error", new Error("EIO"));
      expect(done).toEqual(["raw", "cooked", "closed", "exit 129"]);
    }
  });

  it("stops with the terminal restored and comes back with raw mode and the picture", async () => {
    const { done, terminal, process } = held();
    process.emit("SIGTSTP");
    expect(await terminal.buffer()).toBe("normal");
    expect(done).toEqual(["raw", "cooked", "kill 4711 SIGSTOP"]);
    process.emit("SIGCONT");
    expect(await terminal.buffer()).toBe("alternate");
    expect((await terminal.text())[0]).toBe("picture");
    expect(done.slice(3)).toEqual(["cooked", "raw"]);
  });

  it("draws the picture again when it was stopped without a chance to restore", async () => {
    const { terminal, process } = held();
    terminal.write("\u001b[2J\u001b[Hsomebody else wrote here");
    process.emit("SIGCONT");
    expect((await terminal.text())[0]).toBe("picture");
  });

  it("restores once on a plain exit and watches nothing afterwards", async () => {
    const { done, terminal, process, input, release } = held();
    release();
    release();
    process.emit("exit");
    expect(done).toEqual(["raw", "cooked"]);
    expect(await terminal.buffer()).toBe("normal");
    expect(process.eventNames()).toEqual([]);
    expect(input.eventNames()).toEqual([]);
  });

  it("exits even if closing fails, and says why", () => {
    const done: string[] = [];
    const process = new FakeProcess(done);
    const terminal = new EmulatedTerminal(40, 6);
    holdTerminal({
      process,
      input: new FakeInput(done),
      output: terminal,
      errors: { write: (text: string) => done.push(`told ${text.split("\n")[0] ?? ""}`) },
      screen: new Screen(terminal),
      close: () => {
        throw new Error("disk gone");
      },
      crashNote: () => "",
    });
    process.emit("SIGTERM");
    expect(done.slice(-2)).toEqual(["told Error: disk gone", "exit 143"]);
  });
});
