// `swaplap compare`: the comparison as it stands, in words or as JSON.
import { Command } from "commander";
import { explorationJson } from "../../summary/exploration.ts";
import { compareAfter, exploreAfter } from "../../summary/summary.ts";
import { comparisonLines } from "../comparison-lines.ts";
import { openToRead } from "../open-session.ts";
import { printJson, printLine } from "../print.ts";
import { wholeNumber } from "../whole-number.ts";

export function compareCommand(): Command {
  return new Command("compare")
    .description("the comparison as it stands")
    .argument("<file>", "the session file")
    .option("--json", "one JSON document and nothing else")
    .option("--after <n>", "as after each rider's first N counted runs", wholeNumber)
    .addHelpText("after", "\nExample:\n  swaplap compare day.swaplap --after 8")
    .action((file: string, options: { json?: true; after?: number }) => {
      const session = openToRead(file);
      try {
        const summary = session.summary();
        const { after } = options;
        const comparison = after === undefined ? summary.comparison : compareAfter(summary, after);
        const exploration =
          after === undefined ? summary.exploration : exploreAfter(summary, after);
        if (options.json) {
          const explored =
            exploration === null
              ? {}
              : { exploration: explorationJson(exploration, summary.check) };
          printJson({ ...comparison, ...explored });
          return;
        }
        for (const line of comparisonLines(comparison, summary, exploration)) printLine(line);
      } finally {
        session.close();
      }
    });
}
