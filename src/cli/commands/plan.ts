// `swaplap plan`: what the day can show, before it is ridden.
import { Command } from "commander";
import { planDay } from "../../advisor/plan-day.ts";
import { sheetOf } from "../open-session.ts";
import { printJson, printLine } from "../print.ts";

export function planCommand(): Command {
  return new Command("plan")
    .description("what the day can show: order, timetable, smallest difference likely to be seen")
    .argument("<file>", "a session sheet (.toml) or a session file")
    .option("--json", "one JSON document and nothing else")
    .addHelpText("after", "\nExample:\n  swaplap plan samples/insert-test.toml")
    .action((file: string, options: { json?: true }) => {
      const { sheet, measured } = sheetOf(file);
      const plan = planDay(sheet, measured);
      if (options.json) {
        printJson(plan);
        return;
      }
      const runs = plan.runs === null ? "no number planned" : String(plan.runs);
      const { days } = sheet.settings;
      const over = days > 1 ? ` over ${String(days)} days` : "";
      const each = sheet.riders.length > 1 ? ` of ${sheet.riders[0]?.id ?? ""}` : "";
      printLine(`Runs${each}: ${runs}${over}, order: ${plan.order.join(" ")}`);
      for (const practice of plan.practice) {
        printLine(
          `Practice first: ${practice.rider} rides ${practice.setup} ${String(practice.runs)} times`,
        );
      }
      if (plan.minutes !== null) {
        // Warm-up and practice come on top: the timetable has them.
        const fits = plan.fits === false ? "; the day does not fit in the hours" : "";
        const takes = `these runs and swaps take about ${plan.minutes.toFixed(0)} min`;
        printLine(`Swaps: ${String(plan.swaps)}; ${takes}${fits}`);
      } else {
        printLine(`Swaps: ${String(plan.swaps)}`);
      }
      const smallest = plan.smallest_difference_s;
      if (smallest?.at_spread != null) {
        printLine(
          `Smallest difference seen on 4 days in 5: ${smallest.at_spread.toFixed(2)} s` +
            (smallest.low !== null && smallest.high !== null
              ? ` (between ${smallest.low.toFixed(2)} and ${smallest.high.toFixed(2)} s, as far as the spread is known)`
              : ""),
        );
      } else {
        printLine(
          "Name your usual run-to-run spread (spread_s) to see what difference the day can show.",
        );
      }
      for (const line of plan.timetable) printLine(`${line.at}  ${line.what}`);
      for (const warning of plan.warnings) printLine(`Note: ${warning}`);
    });
}
