// `swaplap next`: what to ride next, and why.
import { Command } from "commander";
import { openToRead } from "../open-session.ts";
import { printJson, printLine } from "../print.ts";

export function nextCommand(): Command {
  return new Command("next")
    .description("the suggestion for the next run; the rider decides")
    .argument("<file>", "the session file")
    .option("--json", "one JSON document and nothing else")
    .addHelpText("after", "\nExample:\n  swaplap next day.swaplap")
    .action((file: string, options: { json?: true }) => {
      const session = openToRead(file);
      try {
        const { comparison, alternatives } = session.summary();
        if (options.json) {
          printJson({ ...comparison.next, alternatives });
          return;
        }
        const { rider, setup, because } = comparison.next;
        if (rider !== null && setup !== null) printLine(`${rider} next on ${setup}`);
        printLine(because);
      } finally {
        session.close();
      }
    });
}
