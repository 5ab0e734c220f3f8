// `swaplap plan`: what the day can show, before it is ridden.
import { Command } from "commander";
import { planDay } from "../../advisor/plan-day.ts";
import { pooledSpread, sheetSpread } from "../../advisor/plan-spread.ts";
import type { Plan } from "../../domain/plan.ts";
import type { Sheet } from "../../domain/session.ts";
import { withStart } from "../../summary/plan-ahead.ts";
import { ASCII_GLYPHS } from "../../tui/present/glyphs.ts";
import { dayWords, reachWords } from "../../tui/present/plan-words.ts";
import { reachChart, reachLegend } from "../../tui/present/reach-chart.ts";
import { collected, earlierSpread } from "../earlier-spread.ts";
import { sheetOf } from "../open-session.ts";
import { printJson, printLine, tell } from "../print.ts";

const CHART_WIDTH = 72;
const CHART_HEIGHT = 14;

export function planCommand(): Command {
  return new Command("plan")
    .description("what the day can show: order, timetable, smallest difference likely to be seen")
    .argument("<file>", "a session sheet (.toml) or a session file")
    .option(
      "--earlier <file>",
      "a session file of an earlier day on this stretch, for the spread (may be repeated)",
      collected,
      [],
    )
    .option("--json", "one JSON document and nothing else")
    .addHelpText(
      "after",
      "\nExamples:\n  swaplap plan samples/insert-test.toml\n  swaplap plan next.toml --earlier may.swaplap --earlier june.swaplap",
    )
    .action((file: string, options: { earlier: readonly string[]; json?: true }) => {
      const { sheet, measured } = sheetOf(file);
      const earlier = earlierSpread(options.earlier, file, sheet);
      earlier.notes.forEach(tell);
      // The sheet's own is in what a session has measured.
      const own = file.endsWith(".toml") ? sheetSpread(sheet.settings) : measured;
      const day = planDay(sheet, pooledSpread([own, earlier.spread]));
      const plan = withStart(day, sheet.settings, sheet.gates);
      if (options.json) printJson(plan);
      else printPlan(plan, sheet);
    });
}

function printPlan(plan: Plan, { settings, riders }: Sheet): void {
  const { marginS, days } = settings;
  const rider = riders.length > 1 ? (riders[0]?.id ?? null) : null;
  const context = { rider, marginS, plusMinus: ASCII_GLYPHS.plusMinus };
  const words = [...dayWords(plan, context), ...reachWords(plan, context)];
  if (days > 1) words.push(`The runs are those of ${String(days)} days together`);
  words.forEach(printLine);
  const marks = { runs: plan.runs, marginS };
  if (plan.curve.length > 0) {
    printLine("");
    // Columns, so blanks must stay; there is nothing from outside in it.
    const chart = reachChart(plan.curve, marks, CHART_WIDTH, CHART_HEIGHT, ASCII_GLYPHS);
    process.stdout.write(`${chart.map((row) => row.trimEnd()).join("\n")}\n`);
    printLine(reachLegend(plan.curve, marks, ASCII_GLYPHS));
  }
  if (plan.timetable.length > 0) printLine("");
  for (const line of plan.timetable) printLine(`${line.at} ${line.what}`);
  if (plan.warnings.length > 0) printLine("");
  for (const warning of plan.warnings) printLine(`Note: ${warning}`);
}
