// `swaplap verify`: replays the journal and compares every derived table.
import { Command } from "commander";
import { verifySession } from "../../app/verify.ts";
import { UserError } from "../../domain/errors.ts";
import { openToRead } from "../open-session.ts";
import { printLine } from "../print.ts";

const SHOWN_FAULTS = 20;

export function verifyCommand(): Command {
  return new Command("verify")
    .description("replays the journal, compares every derived table and checks the database")
    .argument("<file>", "the session file")
    .addHelpText("after", "\nExample:\n  swaplap verify day.swaplap")
    .action((file: string) => {
      const session = openToRead(file);
      try {
        const faults = verifySession(session);
        if (faults.length > 0) {
          for (const fault of faults.slice(0, SHOWN_FAULTS)) printLine(fault);
          const count = `${String(faults.length)} ${faults.length === 1 ? "fault" : "faults"}`;
          const isBroken = faults.some((fault) => fault.startsWith("database: "));
          throw new UserError(
            "damaged",
            `${file}: ${count} found`,
            isBroken
              ? "keep a copy of it as it is now, and save what can be read: swaplap export"
              : "opening it in the console makes the tables anew from the journal; keep a copy as it is now",
          );
        }
        const { runs, lastSeq } = session.summary();
        printLine(
          `${file}: ${String(lastSeq)} entries, ${String(runs.length)} runs, all as it should be`,
        );
      } finally {
        session.close();
      }
    });
}
