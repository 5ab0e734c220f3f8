// Writes an invented day into a session file without going through a recorder; for the benches that
// start from a file.
import { laptopClock } from "../../src/cli/laptop-time.ts";
import type { HostUs } from "../../src/domain/time.ts";
import { hostUs } from "../../src/domain/time.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { dayRows, inventedSheet, LAP_US } from "./invented-day.ts";

export interface DayFile {
  readonly file: string;
  /** Start of lap 0 on this laptop's monotonic clock. */
  readonly beganAt: HostUs;
  /** Rows of the journal. */
  readonly rows: number;
}

export interface DayFileOptions {
  readonly file: string;
  readonly port: string;
  /** Laps from `beganAt` until a moment ago. */
  readonly laps: number;
  /** Laps whose passings are in the file; the others are still in the boxes. */
  readonly heard: number;
  /** Stop after so many rows. */
  readonly rowsAtMost?: number;
}

const PLANNED_AT_MOST = 1000;

/** A file with the journal only: its derived tables are made when it is opened for writing. */
export function makeDayFile(options: DayFileOptions): DayFile {
  const { file, port, laps, heard, rowsAtMost = Number.POSITIVE_INFINITY } = options;
  const clock = laptopClock();
  const nowUs = clock.monoUs();
  const anchorUs = clock.atUs() - nowUs;
  const beganAt = hostUs(nowUs - (laps + 1) * LAP_US);
  const sheet = inventedSheet(Math.min(Math.max(laps, 12), PLANNED_AT_MOST));
  const rows = dayRows({ sheet, port, beganAt, laps, heard }).slice(0, rowsAtMost);
  const store = SessionStore.create(file);
  try {
    store.transaction(() =>
      store.insert(
        rows.map(({ monoUs = nowUs, ...content }) => ({
          ...content,
          ...{ atUs: monoUs + anchorUs, monoUs, host: clock.host, writer: "bench", who: "box" },
        })),
      ),
    );
  } finally {
    store.close();
  }
  return { file, beganAt, rows: rows.length };
}
