// `swaplap new`: a session file from a session sheet.
import { Command } from "commander";
import { pooledSpread, sheetSpread } from "../../advisor/plan-spread.ts";
import type { Sheet } from "../../domain/session.ts";
import { collected, earlierSpread } from "../earlier-spread.ts";
import { author, makeSession, sheetFrom } from "../open-session.ts";
import { printLine, tell } from "../print.ts";

export function newCommand(): Command {
  return new Command("new")
    .description("makes a session file from a session sheet; refuses to overwrite")
    .argument("<sheet>", "the session sheet (.toml)")
    .argument("<file>", "the session file to make")
    .option(
      "--earlier <file>",
      "a session file of an earlier day on this stretch: its spread goes into the session (may be repeated)",
      collected,
      [],
    )
    .addHelpText(
      "after",
      "\nExamples:\n  swaplap new samples/insert-test.toml day.swaplap\n  swaplap new next.toml june.swaplap --earlier may.swaplap",
    )
    .action((sheet: string, file: string, options: { earlier: readonly string[] }) => {
      const made = withEarlier(sheetFrom(sheet), sheet, options.earlier);
      const session = makeSession(made, file, author("new"));
      const { settings, setups } = session.summary();
      session.close();
      printLine(
        `${file}: ${settings.name}, set-ups ${setups.map((s) => s.id).join(" ")}` +
          (settings.plannedRuns === null ? "" : `, ${String(settings.plannedRuns)} runs planned`),
      );
    });
}

/** The sheet with the spread of earlier days, and how well it is known. */
function withEarlier(sheet: Sheet, from: string, earlier: readonly string[]): Sheet {
  const { spread, notes } = earlierSpread(earlier, from, sheet);
  notes.forEach(tell);
  const pooled = spread === null ? null : pooledSpread([sheetSpread(sheet.settings), spread]);
  if (pooled === null) return sheet;
  const { spreadS, df } = pooled;
  printLine(
    `run-to-run spread of earlier days: ${spreadS.toFixed(2)} s, ${String(Math.round(df))} degrees of freedom`,
  );
  return { ...sheet, settings: { ...sheet.settings, spreadS, spreadDf: df } };
}
