// `swaplap new`: a session file from a session sheet.
import { Command } from "commander";
import { author, makeSession, sheetFrom } from "../open-session.ts";
import { printLine } from "../print.ts";

export function newCommand(): Command {
  return new Command("new")
    .description("makes a session file from a session sheet; refuses to overwrite")
    .argument("<sheet>", "the session sheet (.toml)")
    .argument("<file>", "the session file to make")
    .addHelpText("after", "\nExample:\n  swaplap new samples/insert-test.toml day.swaplap")
    .action((sheet: string, file: string) => {
      const session = makeSession(sheetFrom(sheet), file, author("new"));
      const { settings, setups } = session.summary();
      session.close();
      printLine(
        `${file}: ${settings.name}, set-ups ${setups.map((s) => s.id).join(" ")}` +
          (settings.plannedRuns === null ? "" : `, ${String(settings.plannedRuns)} runs planned`),
      );
    });
}
