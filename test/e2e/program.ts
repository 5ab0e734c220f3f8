// The built program as a process: arguments in, exit code and both outputs out; used by all of these tests.
import { type ChildProcessWithoutNullStreams, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export const PROGRAM = resolve("dist/swaplap.js");

/** What is missing on this machine for tests in a terminal, in words; empty if nothing is. */
export function missingTools(): string {
  const isThere = (name: string, flag: string): boolean => spawnSync(name, [flag]).status === 0;
  const missing = [
    ...(isThere("tmux", "-V") ? [] : ["tmux"]),
    ...(isThere("python3", "--version") ? [] : ["python3"]),
  ];
  return missing.join(" and ");
}

/** A folder that is gone after the work, whatever becomes of it. */
export async function inFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), "swaplap-e2e-"));
  try {
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

export interface Ended {
  readonly code: number | null;
  /** Standard output. */
  readonly out: string;
  /** Standard error. */
  readonly err: string;
}

/** The program running; nothing is at its standard input until `child.stdin` is written or ended. */
export interface Running {
  readonly child: ChildProcessWithoutNullStreams;
  readonly out: () => string;
  readonly err: () => string;
  readonly ended: Promise<Ended>;
}

export function begin(cwd: string, args: readonly string[]): Running {
  const child = spawn(process.execPath, [PROGRAM, ...args], {
    cwd,
    env: { ...process.env, TMPDIR: cwd },
  });
  let out = "";
  let err = "";
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    out += text;
  });
  child.stderr.setEncoding("utf8").on("data", (text: string) => {
    err += text;
  });
  const ended = new Promise<Ended>((done) => {
    child.on("close", (code) => {
      done({ code, out, err });
    });
  });
  return { child, out: () => out, err: () => err, ended };
}

/** Runs to the end, with an empty standard input. */
export function run(cwd: string, ...args: readonly string[]): Promise<Ended> {
  const running = begin(cwd, args);
  running.child.stdin.end();
  return running.ended;
}

/** Looks again and again until there is an answer; gives up with what it was waiting for. */
export async function waitFor<T>(
  what: () => string,
  look: () => Promise<T | undefined> | T | undefined,
  limitMs = 10_000,
): Promise<T> {
  const begun = performance.now();
  for (;;) {
    const found = await look();
    if (found !== undefined) return found;
    if (performance.now() - begun > limitMs) {
      throw new Error(`waited ${String(limitMs / 1000)} s in vain for ${what()}`);
    }
    await new Promise((again) => setTimeout(again, 40));
  }
}
