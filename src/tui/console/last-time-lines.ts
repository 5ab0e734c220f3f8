// The last time in big digits with whose it is; the console's upper right panel and the board's top.
import type { Run } from "../../domain/run.ts";
import { missingAspects } from "../../summary/asked-first.ts";
import type { Summary } from "../../summary/summary.ts";
import { bold, fillRows, heading, type Line, line } from "../line.ts";
import { type Look, labelSpan, riderName } from "../look.ts";
import { type BigRows, bigDigits, bigWidth } from "../present/big-digits.ts";
import { safeText } from "../present/safe-text.ts";
import { plusMinus, runTime } from "../present/seconds.ts";
import { runName, runRemarks, statusWord, timeOfRun } from "../run-words.ts";

/**
 * The panel: a title, the digits, and as many rows about the run as there is room for.
 *
 * @param asked - the run whose rider is asked before any time is shown; null: nobody is
 */
export function lastTimeLines(
  summary: Summary,
  width: number,
  rows: number,
  digitRows: BigRows,
  look: Look,
  asked: Run | null = null,
): readonly Line[] {
  const run = asked ?? summary.lastFinished;
  if (run === null) {
    const title = heading(line("LAST TIME"), width, look.glyphs);
    return fillRows([title, line(""), line("no run has finished yet")], rows);
  }
  const title: Line = [
    { text: `LAST TIME  ${runName(run)}${struck(run)}  ${riderName(summary, run.rider)}  ` },
    labelSpan(summary, run.setup, look),
  ];
  if (asked !== null) {
    const aspects = safeText(missingAspects(summary, asked.runId).join(", "));
    const question = [bold("how was it? y: answer before the time"), line(aspects)];
    return fillRows([heading(title, width, look.glyphs), line(""), ...question], rows);
  }
  const digits = bigTime(run, width, digitRows, look).map((row) => line(row));
  const remarks = line([uncertaintyWords(run, look), ...runRemarks(run)].join("  "));
  return fillRows([heading(title, width, look.glyphs), ...digits, remarks], rows);
}

function struck(run: Run): string {
  const word = statusWord(run);
  return word === "" || run.k === null ? "" : `  ${word.toUpperCase()}`;
}

function uncertaintyWords(run: Run, look: Look): string {
  if (run.uncertaintyS === null) return "";
  const decimals = run.uncertaintyS < 0.02 ? 3 : 1;
  return plusMinus(run.uncertaintyS, decimals, look.glyphs.plusMinus);
}

/** As many decimals as fit, at most those the time is worth. */
function bigTime(run: Run, width: number, digitRows: BigRows, look: Look): readonly string[] {
  const whole = timeOfRun(run);
  const texts = [whole, runTime(run.timeS, 2), runTime(run.timeS, 1), runTime(run.timeS, 0)];
  const text = texts.find((each) => bigWidth(each, digitRows) <= width) ?? "";
  return bigDigits(text, digitRows, look.glyphs);
}
