// `swaplap calibrate`: how often the program would mislead, and find, on days of this plan.
import { availableParallelism } from "node:os";
import { Command, InvalidArgumentError, Option } from "commander";
import { calibrationOf } from "../../calibrate/calibration.ts";
import { calibrationLines } from "../../calibrate/calibration-lines.ts";
import { ORDER_KINDS, type OrderKind } from "../../calibrate/order.ts";
import { rideInThreads } from "../../calibrate/ride-in-threads.ts";
import { KINDS_OF_DAY, type KindsOfDay, type Trial, trialOf } from "../../calibrate/trial.ts";
import { UserError } from "../../domain/errors.ts";
import type { Sheet } from "../../domain/session.ts";
import { readSheet } from "../../sheet/session-sheet.ts";
import { sheetDefaults, sheetOf } from "../open-session.ts";
import { printJson, tell } from "../print.ts";
import { wholeNumber } from "../whole-number.ts";

interface Flags {
  readonly days: number;
  readonly seed: number;
  readonly order: OrderKind;
  readonly kinds: KindsOfDay;
  readonly threads?: number;
  readonly json?: true;
}

const DAYS = 500;
/** Of the one who is told nothing: two set-ups, twenty runs, everything else at its default. */
const PLAIN_SHEET = `
[session]
name = "Rear tyre insert"
stretch = "Upper woods"
planned_runs = 20
seed = 7
[[gates]]
role = "start"
[[gates]]
role = "finish"
[[riders]]
id = "R1"
name = "Rider one"
[[setups]]
id = "A"
name = "No insert"
baseline = true
[[setups]]
id = "B"
name = "Insert"
`;

/** @param program - the module that a thread is started with; it must then call `serveBlocks` */
export function calibrateCommand(program: URL): Command {
  return new Command("calibrate")
    .description("simulates whole days of a plan and prints how often the answers are wrong")
    .argument("[file]", "a session sheet (.toml) or a session file (default: two set-ups, 20 runs)")
    .option("--days <n>", "days for each figure", days, DAYS)
    .option("--seed <n>", "the same seed gives the same figures", wholeNumber, 1)
    .option(
      "--order <kind>",
      "what is ridden: suggested, mirrored (ABBA), in-turn (ABAB), random-passes",
      orderKind,
      "suggested" as const,
    )
    .addOption(
      new Option("--kinds <kinds>", "which kinds of day; best: one set-up quicker than all others")
        .choices(KINDS_OF_DAY)
        .default("all"),
    )
    .option("--threads <n>", "processor cores to use (default: all)", threads)
    .option("--json", "one JSON document and nothing else")
    .addHelpText(
      "after",
      "\nCtrl-C stops it and prints what there is.\n\nExample:\n  swaplap calibrate samples/insert-test.toml --days 1000",
    )
    .action(async (file: string | undefined, flags: Flags) => {
      const { sheet, measured } =
        file === undefined ? { sheet: plainSheet(), measured: null } : sheetOf(file);
      const settings = { ...sheet.settings, seed: flags.seed };
      const trial = trialOf({ ...sheet, settings }, flags.order, measured, flags.kinds);
      await calibrate(trial, flags, program);
    });
}

function plainSheet(): Sheet {
  return readSheet(PLAIN_SHEET, "the plain sheet", sheetDefaults());
}

async function calibrate(trial: Trial, flags: Flags, program: URL): Promise<void> {
  const stop = new AbortController();
  const onSignal = (): void => {
    stop.abort();
  };
  process.on("SIGINT", onSignal);
  process.on("SIGTERM", onSignal);
  const progress = progressOn(process.stderr);
  const wanted = { ...flags, trial, stop: stop.signal, onProgress: progress.show };
  const count = flags.threads ?? availableParallelism();
  const tallies = await rideInThreads(wanted, { entry: program, count });
  progress.end();
  process.off("SIGINT", onSignal);
  process.off("SIGTERM", onSignal);
  const ridden = tallies[0]?.days ?? 0;
  if (ridden === 0) {
    throw new UserError(
      "refused",
      "stopped before every kind of day had been ridden once: nothing to print",
      "let it run a little longer",
    );
  }
  if (ridden < flags.days)
    tell(`stopped: ${String(ridden)} of ${String(flags.days)} days a figure`);
  const calibration = calibrationOf(trial, flags.seed, tallies);
  if (flags.json) printJson(calibration);
  // Columns, so blanks must stay; the only words from outside are ids, letters and digits alone.
  else process.stdout.write(`${calibrationLines(calibration).join("\n")}\n`);
}

/** A line that is written over on a terminal; a line every tenth of the work elsewhere. */
function progressOn(stream: NodeJS.WriteStream): {
  readonly show: (ridden: number, all: number) => void;
  readonly end: () => void;
} {
  const began = performance.now();
  let shown = 0;
  const step = stream.isTTY ? 0.01 : 0.1;
  return {
    show: (ridden, all) => {
      const share = ridden / all;
      if (share < shown + step && ridden < all) return;
      shown = share;
      const leftS = ((performance.now() - began) / 1000) * (1 / share - 1);
      const text = `${(100 * share).toFixed(0)} % of ${String(all)} days, about ${leftS.toFixed(0)} s left`;
      stream.write(stream.isTTY ? `\r${text}   ` : `${text}\n`);
    },
    end: () => {
      if (stream.isTTY) stream.write("\r\x1b[K");
    },
  };
}

function days(text: string): number {
  const count = wholeNumber(text);
  if (count < 1) throw new InvalidArgumentError("give at least one day.");
  return count;
}

/** `alternating`: the mirrored order's name in earlier versions. */
function orderKind(text: string): OrderKind {
  const order = ORDER_KINDS.find((kind) => kind === (text === "alternating" ? "mirrored" : text));
  if (order === undefined) throw new InvalidArgumentError(`give one of ${ORDER_KINDS.join(", ")}.`);
  return order;
}

function threads(text: string): number {
  const count = wholeNumber(text);
  if (count < 1 || count > 256) throw new InvalidArgumentError("give 1 to 256.");
  return count;
}
