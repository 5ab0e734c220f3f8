// The program's one door: arguments in, exit code out, and the one place that speaks of failures. As
// a thread of `calibrate` it rides simulated days instead: so one file is the whole program.
import { isMainThread } from "node:worker_threads";
import { Command, CommanderError } from "commander";
import { serveBlocks } from "../calibrate/serve-blocks.ts";
import { UserError } from "../domain/errors.ts";
import { boardCommand } from "./commands/board.tsx";
import { calibrateCommand } from "./commands/calibrate.ts";
import { compareCommand } from "./commands/compare.ts";
import { consoleCommand } from "./commands/console.tsx";
import { exportCommand } from "./commands/export.ts";
import { importCommand } from "./commands/import.ts";
import { listenCommand } from "./commands/listen.ts";
import { mergeCommand } from "./commands/merge.ts";
import { newCommand } from "./commands/new.ts";
import { nextCommand } from "./commands/next.ts";
import { planCommand } from "./commands/plan.ts";
import { portsCommand } from "./commands/ports.ts";
import { practiceCommand } from "./commands/practice.tsx";
import { recordCommand } from "./commands/record.ts";
import { verifyCommand } from "./commands/verify.ts";
import { tell } from "./print.ts";

const EXIT_COULD_NOT = 1;
const EXIT_WRONG_USAGE = 2;
const EXIT_DAMAGED = 3;

function program(): Command {
  const swaplap = new Command("swaplap")
    .description(
      "Back-to-back testing of mountain bike set-ups: times the runs, compares the set-ups, says what to ride next.",
    )
    .version("0.1.0")
    .showHelpAfterError("(see --help)")
    .exitOverride();
  for (const command of [
    consoleCommand(),
    boardCommand(),
    recordCommand(),
    newCommand(),
    planCommand(),
    importCommand(),
    compareCommand(),
    nextCommand(),
    exportCommand(),
    mergeCommand(),
    verifyCommand(),
    portsCommand(),
    listenCommand(),
    practiceCommand(),
    calibrateCommand(new URL(import.meta.url)),
  ]) {
    swaplap.addCommand(command.exitOverride(), { isDefault: command.name() === "console" });
  }
  return swaplap;
}

/** Says what happened and what to do, on standard error, and gives the exit code. */
function speakOf(error: unknown): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : EXIT_WRONG_USAGE;
  if (error instanceof UserError) {
    for (const line of [...error.message.split("\n"), error.hint]) tell(line);
    if (error.code === "wrong-usage") return EXIT_WRONG_USAGE;
    return error.code === "damaged" ? EXIT_DAMAGED : EXIT_COULD_NOT;
  }
  const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
  process.stderr.write(
    `swaplap stopped by a fault of its own. What was recorded is safe in the session file.\n${stack}\n`,
  );
  return EXIT_COULD_NOT;
}

process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  // The reader of a pipe went away (`| head`): nothing more to say.
  process.exit(error.code === "EPIPE" ? 0 : EXIT_COULD_NOT);
});

if (isMainThread) {
  try {
    await program().parseAsync();
  } catch (error) {
    process.exitCode = speakOf(error);
  }
} else {
  serveBlocks();
}
