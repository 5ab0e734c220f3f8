// The life cycle with a real process in a real terminal; needs tmux, and is skipped without it.
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { build } from "esbuild";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { holdTerminal } from "../../../src/tui/screen/life-cycle.ts";

type Parts = Parameters<typeof holdTerminal>[0];
/** The types' word that the real process and its streams are what the life cycle asks for. */
const REAL: Pick<Parts, "process" | "input" | "output" | "errors"> = {
  process,
  input: process.stdin,
  output: process.stdout,
  errors: process.stderr,
};

/** A picture that fills the terminal; q quits, t throws in a timer, r rejects, other keys are shown. */
const PROGRAM = `
import { Screen } from "./src/tui/screen/screen.ts";
import { holdTerminal } from "./src/tui/screen/life-cycle.ts";
import { listenToKeys } from "./src/tui/keys/keyboard.ts";
const screen = new Screen(process.stdout);
const draw = (word) => screen.write(
  Array.from({ length: screen.rows }, (_, i) => (i === 0 ? word : "picture")).join("\\n"));
const release = holdTerminal({
  process, input: process.stdin, output: process.stdout, errors: process.stderr, screen,
  close: () => {}, crashNote: () => "the session is safe",
});
screen.subscribeSize(() => draw("resized"));
const stop = listenToKeys(process.stdin, () => performance.now(), (key) => {
  const word = key.type === "named" ? "<" + key.name + ">" : key.text;
  if (word === "q") { stop(); release(); }
  else if (word === "<ctrl-c>") { stop(); release(); }
  else if (word === "t") setTimeout(() => { throw new Error("thrown in a timer"); }, 1);
  else if (word === "r") void Promise.reject(new Error("rejected"));
  else draw("key " + (key.type === "paste" ? JSON.stringify(word) : word));
});
draw("pid " + process.pid);
`;

const hasTmux = spawnSync("tmux", ["-V"]).status === 0;
const socket = `swaplap-test-${String(process.pid)}`;

function tmux(...args: readonly string[]): string {
  return execFileSync("tmux", ["-L", socket, "-f", "/dev/null", ...args], { encoding: "utf8" });
}

function pane(): string {
  return tmux("capture-pane", "-p", "-t", "t");
}

/** Polls until the pane shows the text; fails with what it shows instead. */
async function shows(text: string | RegExp): Promise<string> {
  for (let tries = 0; tries < 600; tries++) {
    const seen = pane();
    if (typeof text === "string" ? seen.includes(text) : text.test(seen)) return seen;
    await wait(25);
  }
  throw new Error(`the terminal does not show ${String(text)} but:\n${pane()}`);
}

function type(...keys: readonly string[]): void {
  tmux("send-keys", "-t", "t", ...keys);
}

/** A line for the shell, answered below with its exit code and the terminal's modes. */
async function expectRestored(code: number): Promise<string> {
  await shows(`ended ${String(code)}`);
  expect(tmux("display-message", "-p", "-t", "t", "#{alternate_on} #{cursor_flag}").trim()).toBe(
    "0 1",
  );
  type("stty -a | tr ' ;' '\\n\\n' | grep -cxE 'icanon|echo'; echo modes'read'", "Enter");
  const seen = await shows("modesread");
  expect(seen).toMatch(/^2\nmodesread$/m);
  expect(seen).not.toContain("picture");
  return seen;
}

describe.skipIf(!hasTmux)("the terminal", () => {
  const folder = mkdtempSync(join(tmpdir(), "swaplap-terminal-"));
  const program = join(folder, "program.mjs");

  beforeAll(async () => {
    expect(REAL.process).toBe(process);
    await build({
      stdin: { contents: PROGRAM, resolveDir: process.cwd(), loader: "ts" },
      outfile: program,
      bundle: true,
      platform: "node",
      format: "esm",
      target: "node20",
    });
    tmux("new-session", "-d", "-s", "t", "-x", "100", "-y", "30", "env PS1='$ ' sh");
  });
  afterAll(() => {
    tmux("kill-server");
    rmSync(folder, { recursive: true });
  });

  async function started(): Promise<number> {
    type("clear", "Enter");
    type(`node ${program}; echo ended $?`, "Enter");
    // The whole picture: all thirty rows of the window.
    const seen = await shows(/^(?=[\s\S]*pid \d+[\s\S]*picture)(?:.*\n){29}.*\S/);
    return Number(/pid (\d+)/.exec(seen)?.[1]);
  }

  it("is restored after q and after Ctrl-C", async () => {
    for (const key of ["q", "C-c"]) {
      await started();
      type(key);
      await expectRestored(0);
    }
  });

  it.each([
    ["SIGTERM", 143],
    ["SIGINT", 130],
    ["SIGHUP", 129],
    ["SIGQUIT", 131],
  ] as const)("is restored after %s", async (signal, code) => {
    const pid = await started();
    process.kill(pid, signal);
    await expectRestored(code);
  });

  it.each([
    ["an exception in a timer", "t", "thrown in a timer"],
    ["an unhandled rejection", "r", "rejected"],
  ])("is restored before the stack of %s is shown", async (_name, key, message) => {
    await started();
    type(key);
    const seen = await expectRestored(1);
    expect(seen).toContain(`Error: ${message}`);
    expect(seen).toContain("the session is safe");
  });

  it("is given back while stopped and taken again afterwards, raw and with the picture", async () => {
    const pid = await started();
    process.kill(pid, "SIGTSTP");
    await shows("$");
    expect(tmux("display-message", "-p", "-t", "t", "#{alternate_on}").trim()).toBe("0");
    type("fg; echo ended $?", "Enter");
    await shows("picture");
    type("x"); // without Enter: raw mode is on
    await shows("key x");
    type("q");
    await expectRestored(0);
  });

  it("uses every row after each resize, and takes a paste as one key", async () => {
    await started();
    tmux("resize-window", "-t", "t", "-x", "80", "-y", "24");
    const seen = await shows("resized");
    expect(seen.trimEnd().split("\n").slice(1)).toEqual(
      Array.from({ length: 23 }, () => "picture"),
    );
    tmux("set-buffer", "one\ntwo q");
    tmux("paste-buffer", "-p", "-t", "t");
    await shows(/key "one\\[rn]two q"/);
    type("q");
    tmux("resize-window", "-t", "t", "-x", "100", "-y", "30");
    await expectRestored(0);
  });
});
