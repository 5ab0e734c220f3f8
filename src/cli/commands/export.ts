// `swaplap export`: the derived tables for other tools.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Command } from "commander";
import { UserError } from "../../domain/errors.ts";
import { tableCsv } from "../../report/csv.ts";
import { sessionJson } from "../../report/json.ts";
import { explorationJson } from "../../summary/exploration.ts";
import { derivedTables } from "../../summary/tables.ts";
import { openToRead } from "../open-session.ts";
import { tell } from "../print.ts";

export function exportCommand(): Command {
  return new Command("export")
    .description("the session for other tools: one CSV a table, or everything as one JSON")
    .argument("<file>", "the session file")
    .option("--csv <dir>", "write one CSV a table into this folder")
    .option("--json <out>", "write everything as one JSON document; - for standard output")
    .addHelpText("after", "\nExample:\n  swaplap export day.swaplap --csv tables/")
    .action((file: string, options: { csv?: string; json?: string }) => {
      if (options.csv === undefined && options.json === undefined) {
        throw new UserError("wrong-usage", "nothing to export", "add --csv DIR or --json OUT");
      }
      const session = openToRead(file);
      try {
        const summary = session.summary();
        const tables = derivedTables(summary);
        if (options.csv !== undefined) {
          const dir = options.csv;
          writing(dir, () => {
            mkdirSync(dir, { recursive: true });
            for (const table of tables)
              writeFileSync(join(dir, `${table.name}.csv`), tableCsv(table));
          });
          tell(`${String(tables.length)} tables in ${dir}`);
        }
        if (options.json !== undefined) {
          const out = options.json;
          const { comparison, exploration, check } = summary;
          const explored =
            exploration === null ? {} : { exploration: explorationJson(exploration, check) };
          const text = sessionJson(tables, { ...comparison, ...explored });
          if (out === "-") process.stdout.write(text);
          else
            writing(out, () => {
              writeFileSync(out, text);
            });
        }
      } finally {
        session.close();
      }
    });
}

function writing(path: string, work: () => void): void {
  try {
    work();
  } catch (cause) {
    if (!(cause instanceof Error && "code" in cause)) throw cause;
    const isFull = cause.code === "ENOSPC";
    throw new UserError(
      isFull ? "disk-full" : "no-permission",
      `${path} cannot be written (${String(cause.code)})`,
      isFull ? "free some space" : "name a folder that you may write to",
      { cause },
    );
  }
}
