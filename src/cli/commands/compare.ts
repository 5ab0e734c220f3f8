// `swaplap compare`: the comparison as it stands, in words or as JSON.
import { Command } from "commander";
import { UserError } from "../../domain/errors.ts";
import { budgetLines } from "../../summary/budget-lines.ts";
import { explorationJson } from "../../summary/exploration.ts";
import { compareAfter, exploreAfter, type Summary } from "../../summary/summary.ts";
import { timeBudget } from "../../summary/time-budget.ts";
import { comparisonLines } from "../comparison-lines.ts";
import { openToRead } from "../open-session.ts";
import { printJson, printLine } from "../print.ts";
import { wholeNumber } from "../whole-number.ts";

export function compareCommand(): Command {
  return new Command("compare")
    .description("the comparison as it stands")
    .argument("<file>", "the session file")
    .option("--json", "one JSON document and nothing else")
    .option("--budget <run>", "what the uncertainty of this run's time is made of (its run_id)")
    .option("--after <n>", "as after each rider's first N counted runs", wholeNumber)
    .addHelpText("after", "\nExample:\n  swaplap compare day.swaplap --after 8")
    .action((file: string, options: { json?: true; after?: number; budget?: string }) => {
      const session = openToRead(file);
      try {
        const summary = session.summary();
        if (options.budget !== undefined) {
          printBudget(summary, options.budget);
          return;
        }
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

/** The parts as a table, so blanks stay; nothing typed by anybody is in it. */
function printBudget(summary: Summary, runId: string): void {
  const budget = timeBudget(summary, runId);
  if (budget === null) {
    throw new UserError(
      "wrong-usage",
      "--budget: there is no run of that name with a time",
      "give a run_id as the table run of `export` has it",
    );
  }
  process.stdout.write(`${budgetLines(budget).join("\n")}\n`);
}
