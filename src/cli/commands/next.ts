// `swaplap next`: what to ride next, and why.
import { Command } from "commander";
import { riderStops } from "../../advisor/rider-stops.ts";
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
        const summary = session.summary();
        const { comparison, alternatives } = summary;
        if (options.json) {
          printJson({ ...comparison.next, alternatives });
          return;
        }
        const { rider, setup, because } = comparison.next;
        if (rider !== null && setup !== null) printLine(`${rider} next on ${setup}`);
        printLine(because);
        // The next rider's own stop is the reason above.
        for (const other of summary.riders.filter(({ id }) => id !== rider)) {
          for (const stop of riderStops(summary, other)) {
            printLine(`${other.id}: ${stop.sentence}`);
          }
        }
      } finally {
        session.close();
      }
    });
}
