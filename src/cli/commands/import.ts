// `swaplap import`: hand-timed or foreign times from a CSV file into a session.
import { existsSync, rmSync } from "node:fs";
import { Command } from "commander";
import { importRows } from "../../app/make-session.ts";
import type { SessionFile } from "../../app/session-file.ts";
import { UserError } from "../../domain/errors.ts";
import { sectorNames } from "../../domain/session.ts";
import { readTimes } from "../../sheet/times-csv.ts";
import { author, makeSession, openToWrite, readText, sheetFrom } from "../open-session.ts";
import { printLine } from "../print.ts";

export function importCommand(): Command {
  return new Command("import")
    .description(
      "appends times from a CSV file to a session; a bad row stops it, nothing is half imported",
    )
    .argument("<times>", "the times (.csv)")
    .argument("<file>", "the session file")
    .option("--sheet <sheet>", "make the session from this sheet first")
    .addHelpText(
      "after",
      "\nExample:\n  swaplap import samples/hand-times.csv day.swaplap --sheet samples/hand-times.toml",
    )
    .action((times: string, file: string, options: { sheet?: string }) => {
      const text = readText(times);
      if (options.sheet === undefined) {
        const session = openToWrite(file);
        appendTimes(session, text, times);
        return;
      }
      if (existsSync(file)) {
        throw new UserError(
          "exists",
          `${file} exists already`,
          "leave --sheet out to add to it, or name another file",
        );
      }
      const session = makeSession(sheetFrom(options.sheet), file, author("import"));
      try {
        appendTimes(session, text, times);
      } catch (error) {
        // Made a moment ago and still empty: nothing is half imported.
        for (const suffix of ["", "-wal", "-shm"]) rmSync(`${file}${suffix}`, { force: true });
        throw error;
      }
    });
}

function appendTimes(session: SessionFile, text: string, times: string): void {
  try {
    const { riders, setups, gates, explored } = session.session();
    const sectors = sectorNames(gates);
    const rows = readTimes(text, times, { riders, setups, sectors, explored });
    session.append(author("import"), (current) => importRows(current, times, rows));
    printLine(
      `${session.store.file}: ${String(rows.length)} ${rows.length === 1 ? "row" : "rows"} from ${times}`,
    );
  } finally {
    session.close();
  }
}
