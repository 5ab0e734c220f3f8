// `swaplap merge`: several session files of one stretch as one; the files are only read.
import { existsSync, rmSync } from "node:fs";
import { Command } from "commander";
import {
  type MergedSessions,
  mergeSessions,
  type ReadFile,
  replayed,
  writeMerged,
} from "../../app/merge-sessions.ts";
import { verifyFile } from "../../app/verify.ts";
import { UserError } from "../../domain/errors.ts";
import { SessionStore } from "../../store/session-store.ts";
import type { Summary } from "../../summary/summary.ts";
import { laptopClock } from "../laptop-time.ts";
import { author } from "../open-session.ts";
import { printLine, tell } from "../print.ts";

/** What is said at once, and again beside every comparison of the merged session. */
const TOLD = ["undeclared-days", "day-sheets"];

export function mergeCommand(): Command {
  return new Command("merge")
    .description("several session files of one stretch as one; the files are only read")
    .argument("<out>", "the session file to make")
    .argument("<in...>", "the session files of the single days, in any order")
    .addHelpText(
      "after",
      "\nEach day keeps its own count of runs. The first day's promise holds: declare days in its sheet\n" +
        "(days = 2) before run 1, else the band that holds for any number of runs is used.\n" +
        "\nExample:\n  swaplap merge both-days.swaplap saturday.swaplap sunday.swaplap",
    )
    .action((out: string, files: readonly string[]) => {
      if (existsSync(out)) throw exists(out);
      const clock = laptopClock();
      const stamp = { atUs: clock.atUs(), monoUs: clock.monoUs(), host: clock.host };
      const merged = mergeSessions(files.map(read), { ...stamp, ...author("merge") });
      const summary = make(out, merged);
      printLine(
        `${out}: ${String(merged.files.length)} days, ${String(summary.runs.length)} runs, ${summary.settings.stretch}`,
      );
      for (const line of dayLines(merged.files, summary)) printLine(line);
      for (const { kind, text } of summary.comparison.remarks) {
        if (TOLD.includes(kind)) tell(`Note: ${text}`);
      }
    });
}

function exists(file: string): UserError {
  const hint = "name another file; nothing is overwritten";
  return new UserError("exists", `${file} exists already`, hint);
}

/**
 * The journal alone is the truth: tables that were changed behind its back are left where they are.
 *
 * @throws {UserError} `damaged` if it can't be read whole
 */
function read(file: string): ReadFile {
  const store = SessionStore.open(file, { readOnly: true });
  try {
    requireSound(file, store.integrityFaults());
    return { file, entries: store.readSince(0) };
  } finally {
    store.close();
  }
}

function requireSound(file: string, faults: readonly string[]): void {
  const [first] = faults;
  if (first === undefined) return;
  const hint = `see all of it with \`swaplap verify ${file}\``;
  throw new UserError("damaged", `${file} is not as it should be: ${first}`, hint);
}

/** Makes the file and verifies it; when that fails nothing is left behind. */
function make(out: string, merged: MergedSessions): Summary {
  const store = SessionStore.create(out);
  try {
    writeMerged(store, merged);
    const summary = replayed(store);
    requireSound(out, verifyFile(store, summary));
    store.close();
    return summary;
  } catch (error) {
    store.close();
    for (const suffix of ["", "-wal", "-shm"]) rmSync(`${out}${suffix}`, { force: true });
    throw error;
  }
}

function dayLines(files: readonly string[], { runs, daySheets }: Summary): readonly string[] {
  return files.map((file, day) => {
    const own = runs.filter((run) => run.day === day).length;
    const { date = "", name = "" } = daySheets[day] ?? {};
    return `day ${String(day + 1)}: ${date}, ${name}, ${String(own)} ${own === 1 ? "run" : "runs"} (${file})`;
  });
}
