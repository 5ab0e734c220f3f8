// `swaplap listen`: what a box says, decoded, live, or what a pattern makes of another receiver's lines;
// nothing is recorded.
import { Command } from "commander";
import { BoxListener } from "../../app/box-listener.ts";
import { LineListener } from "../../app/line-listener.ts";
import { UserError } from "../../domain/errors.ts";
import type { ForeignLine, ForeignUnit } from "../../domain/foreign-line.ts";
import { SerialSource } from "../../source/serial-port.ts";
import { laptopClock, laptopTimers } from "../laptop-time.ts";
import { sheetFrom } from "../open-session.ts";
import { lineNamed } from "../ports-given.ts";
import { printLine, tell } from "../print.ts";
import { untilSignal } from "../until-signal.ts";

interface ListenOptions {
  readonly sheet?: string;
  readonly lines?: string;
  readonly pattern?: string;
  readonly unit?: string;
  readonly baud?: string;
}

const UNITS: readonly ForeignUnit[] = ["s", "ms", "us", "h:m:s"];
const BAUD = 9600;

export function listenCommand(): Command {
  return new Command("listen")
    .description("what a box says, decoded, live; nothing is recorded and nothing acknowledged")
    .argument("<port>", "the serial port")
    .option("--sheet <sheet>", "try the [[lines]] of this sheet on another receiver's lines")
    .option("--lines <name>", "which [[lines]] of the sheet")
    .option("--pattern <regex>", "try a pattern: groups (?<time>...), (?<gate>...), (?<tag>...)")
    .option("--unit <unit>", "of the time in the pattern: s, ms, us or h:m:s (default: s)")
    .option("--baud <rate>", "speed of the port, with --pattern (default: 9600)")
    .addHelpText(
      "after",
      `
Examples:
  swaplap listen /dev/ttyUSB0
  swaplap listen /dev/ttyUSB0 --sheet day.toml --lines timer
  swaplap listen /dev/ttyUSB0 --pattern '^(?<gate>[12]) (?<time>\\d+)$' --unit ms --baud 9600`,
    )
    .action(async (port: string, options: ListenOptions) => {
      const line = lineFrom(options);
      const voice = { print: printLine, tell };
      const listener =
        line === null
          ? new BoxListener(new SerialSource(port), laptopTimers, voice)
          : lineListener(port, line, voice);
      listener.start();
      process.exitCode = await untilSignal();
      await listener.stop();
    });
}

function lineListener(
  port: string,
  line: ForeignLine,
  voice: ConstructorParameters<typeof LineListener>[3],
): LineListener {
  const clock = laptopClock();
  return new LineListener(new SerialSource(port, line), line, () => clock.host, voice);
}

/** @returns null to hear one of our own boxes */
function lineFrom(options: ListenOptions): ForeignLine | null {
  const { sheet, lines, pattern } = options;
  if (pattern !== undefined) {
    if (sheet !== undefined || lines !== undefined) {
      throw wrong("a pattern and a sheet", "give --pattern, or --sheet with --lines");
    }
    return lineOf(pattern, options);
  }
  if (options.unit !== undefined || options.baud !== undefined) {
    throw wrong(
      "--unit and --baud without --pattern",
      "a sheet says both in its [[lines]]; our own boxes need neither",
    );
  }
  if (sheet === undefined) {
    if (lines === undefined) return null;
    throw wrong("--lines without a sheet", "add --sheet SHEET.toml");
  }
  const known = sheetFrom(sheet).lines;
  const [only] = known;
  if (lines === undefined && known.length === 1 && only !== undefined) return only;
  if (lines !== undefined) return lineNamed(lines, known);
  const names = known.map(({ name }) => name).join(" or ");
  throw wrong(
    `${sheet} with ${known.length === 0 ? "no" : "several"} [[lines]]`,
    known.length === 0 ? "add [[lines]] to the sheet, or give --pattern" : `add --lines ${names}`,
  );
}

/** What was typed as [[lines]] of no box. */
function lineOf(
  pattern: string,
  { unit: unitText = "s", baud: baudText }: ListenOptions,
): ForeignLine {
  const unit = UNITS.find((each) => each === unitText);
  if (unit === undefined) throw wrong(`--unit ${unitText}`, `one of ${UNITS.join(", ")}`);
  const baud = baudText === undefined ? BAUD : Number(baudText);
  if (!Number.isInteger(baud) || baud < 110 || baud > 4_000_000) {
    throw wrong(`--baud ${baudText ?? ""}`, "a whole number from 110 to 4000000");
  }
  try {
    new RegExp(pattern, "u");
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    throw wrong(`--pattern ${pattern}`, `a regular expression (${error.message})`, error);
  }
  const clock = pattern.includes("(?<time>") ? "device" : "arrival";
  const name = "given";
  return { name, pattern, unit, clock, boxes: {}, latencyS: 0.1, resolutionS: 0.001, baud };
}

function wrong(what: string, hint: string, cause?: unknown): UserError {
  return new UserError("wrong-usage", what, hint, { cause });
}
