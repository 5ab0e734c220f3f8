// Opening a session: reading, folding, matching, comparing, and checking the derived tables; against
// reading the rows alone.
import { join } from "node:path";
import Database from "better-sqlite3";
import { openToWrite } from "../../src/cli/open-session.ts";
import { inBenchFolder } from "./bench-folder.ts";
import { makeDayFile } from "./day-file.ts";
import { type Figure, figure } from "./figure.ts";
import { medianMs } from "./quantile.ts";

const SIZES = [
  { name: "1k", rows: 1000, times: 9 },
  { name: "10k", rows: 10_000, times: 5 },
  { name: "100k", rows: 100_000, times: 3 },
] as const;
/** Rows of one lap: its passings and heartbeats, the clock questions meanwhile, now and then a swap. */
const ROWS_A_LAP = 63;

export async function replayFigures(): Promise<readonly Figure[]> {
  return await inBenchFolder((folder) =>
    SIZES.map(({ name, rows, times }) => {
      const file = join(folder, `${name}.swaplap`);
      const laps = Math.ceil(rows / ROWS_A_LAP) + 1;
      makeDayFile({ file, port: "/dev/gates", laps, heard: laps, rowsAtMost: rows });
      openToWrite(file).close(); // makes the derived tables
      const ours = medianMs(times, 1, () => {
        const session = openToWrite(file);
        if (session.summary().lastSeq !== rows) throw new Error("rows are missing");
        session.close();
      });
      const alone = medianMs(times, 1, () => {
        const db = new Database(file, { readonly: true });
        if (db.prepare("SELECT * FROM journal").all().length !== rows) throw new Error("missing");
        db.close();
      });
      return figure(`journal.replay_rows_per_s ${name}`, (rows * 1000) / ours, "rows/s", {
        what: "reading the rows alone",
        value: (rows * 1000) / alone,
      });
    }),
  );
}
