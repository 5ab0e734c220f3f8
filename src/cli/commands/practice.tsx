// `swaplap practice`: a simulated hill through the same decoder, clocks, matching and file.
import { randomInt } from "node:crypto";
import { Command, InvalidArgumentError } from "commander";
import { livePractice } from "../live-practice.ts";
import { type ScreenOptions, withScreenOptions } from "../terminal.ts";
import { wholeNumber } from "../whole-number.ts";

export const PRACTICE_RUNS = 12;
export const PRACTICE_SPEED = 20;
const LARGEST_SEED = 1_000_000;

interface PracticeFlags extends ScreenOptions {
  readonly runs: number;
  readonly seed?: number;
  readonly speed: number;
}

export function practiceCommand(): Command {
  const command = new Command("practice")
    .description("a simulated hill, a rider who does so many runs, and everything else real")
    .argument("[file]", "keep the session in this file (default: a temporary one)")
    .option("--runs <n>", "runs to ride", runs, PRACTICE_RUNS)
    .option("--speed <x>", "times real speed", speed, PRACTICE_SPEED)
    .option("--seed <n>", "the same seed gives the same day", wholeNumber)
    .addHelpText(
      "after",
      "\nWithout a terminal it runs to the end and prints the comparison.\n\nExample:\n  swaplap practice --runs 20 --seed 7",
    );
  return withScreenOptions(command).action(
    async (file: string | undefined, flags: PracticeFlags) => {
      await livePractice({ ...flags, file, seed: flags.seed ?? randomInt(1, LARGEST_SEED) });
      process.exit();
    },
  );
}

function runs(text: string): number {
  const count = wholeNumber(text);
  if (count < 1 || count > 500)
    throw new InvalidArgumentError("give a number of runs from 1 to 500.");
  return count;
}

function speed(text: string): number {
  const factor = Number(text);
  if (!(factor >= 0.1 && factor <= 100)) {
    throw new InvalidArgumentError("give a factor from 0.1 to 100, for example 20.");
  }
  return factor;
}
