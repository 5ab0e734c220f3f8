// `swaplap import`: hand-timed or foreign times from a CSV file, or from the lists of two watches, into
// a session.
import { existsSync, rmSync } from "node:fs";
import { Command } from "commander";
import { importRows } from "../../app/make-session.ts";
import type { SessionFile } from "../../app/session-file.ts";
import { UserError } from "../../domain/errors.ts";
import type { ImportedRow } from "../../domain/imported-row.ts";
import { sectorNames } from "../../domain/session.ts";
import type { Session } from "../../session/session.ts";
import { readTimes, type TimesOf } from "../../sheet/times-csv.ts";
import { readWatchTimes, type WatchFile } from "../../sheet/watch-times.ts";
import { author, makeSession, openToWrite, readText, sheetFrom } from "../open-session.ts";
import { printLine } from "../print.ts";

interface Options {
  readonly sheet?: string;
  readonly start?: string;
  readonly finish?: string;
  readonly radio?: boolean;
}

/** What is to be imported: where from, and how it is read for a session. */
interface Import {
  readonly from: string;
  readonly read: (session: Session) => {
    readonly rows: readonly ImportedRow[];
    /** Sentences on what the times rest on. */
    readonly about: readonly string[];
  };
}

export function importCommand(): Command {
  return new Command("import")
    .description(
      "appends times from a CSV file, or from the lists of a start and a finish watch, to a session; a bad row stops it, nothing is half imported",
    )
    .argument("<times>", "the times (.csv); with --start and --finish the session file")
    .argument("[file]", "the session file")
    .option("--sheet <sheet>", "make the session from this sheet first")
    .option(
      "--start <list>",
      "times of day at the start (.csv): time_of_day; rider, setup, status, note; first and last row may be a sync",
    )
    .option("--finish <list>", "the same at the finish, by another watch")
    .option("--radio", "the starts were called over a radio: adds 0.2 s of uncertainty")
    .addHelpText(
      "after",
      "\nExample:\n  swaplap import samples/hand-times.csv day.swaplap --sheet samples/hand-times.toml\n  swaplap import --start start.csv --finish finish.csv day.swaplap",
    )
    .action((times: string, file: string | undefined, options: Options) => {
      const { into, what } = asked(times, file, options);
      importInto(into, what, options.sheet);
    });
}

/** @throws {UserError} wrong-usage */
function asked(
  times: string,
  file: string | undefined,
  { start, finish, radio = false }: Options,
): { readonly into: string; readonly what: Import } {
  if (start === undefined && finish === undefined) {
    if (file === undefined) throw wrongUsage("name the times (.csv) and the session file");
    if (radio) throw wrongUsage("--radio belongs to --start and --finish");
    return { into: file, what: timesFrom(times) };
  }
  if (start === undefined || finish === undefined) {
    throw wrongUsage("two lists belong together: name --start and --finish");
  }
  if (file !== undefined) {
    throw wrongUsage("with --start and --finish name the session file alone");
  }
  return { into: times, what: watchTimesFrom(start, finish, radio) };
}

function wrongUsage(hint: string): UserError {
  return new UserError("wrong-usage", "this is not how times are imported", hint);
}

function timesFrom(file: string): Import {
  const text = readText(file);
  return {
    from: file,
    read: (session) => ({ rows: readTimes(text, file, timesOf(session)), about: [] }),
  };
}

function watchTimesFrom(start: string, finish: string, isByRadio: boolean): Import {
  const listIn = (file: string): WatchFile => ({ file, text: readText(file) });
  const [startList, finishList] = [listIn(start), listIn(finish)];
  return {
    from: `${start} and ${finish}`,
    read: (session) => {
      const { settings, daySheets } = session;
      // Of a merged session the newest day.
      const day = daySheets.at(-1) ?? settings;
      if (day === null) throw new TypeError("two lists are read for a session that was made");
      const { date, zone } = day;
      return readWatchTimes(startList, finishList, { ...timesOf(session), date, zone, isByRadio });
    },
  };
}

function timesOf({ riders, setups, gates, explored }: Session): TimesOf {
  return { riders, setups, sectors: sectorNames(gates), explored };
}

function importInto(file: string, what: Import, sheet: string | undefined): void {
  if (sheet === undefined) {
    appendTimes(openToWrite(file), what);
    return;
  }
  if (existsSync(file)) {
    throw new UserError(
      "exists",
      `${file} exists already`,
      "leave --sheet out to add to it, or name another file",
    );
  }
  const session = makeSession(sheetFrom(sheet), file, author("import"));
  try {
    appendTimes(session, what);
  } catch (error) {
    // Made a moment ago and still empty: nothing is half imported.
    for (const suffix of ["", "-wal", "-shm"]) rmSync(`${file}${suffix}`, { force: true });
    throw error;
  }
}

function appendTimes(session: SessionFile, { from, read }: Import): void {
  try {
    const { rows, about } = read(session.session());
    session.append(author("import"), (current) => importRows(current, from, rows));
    printLine(
      `${session.store.file}: ${String(rows.length)} ${rows.length === 1 ? "row" : "rows"} from ${from}`,
    );
    for (const sentence of about) printLine(sentence);
  } finally {
    session.close();
  }
}
