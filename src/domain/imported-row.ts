// One run timed elsewhere, as a row of a CSV file says; read by the sheet, kept by the journal.
import type { RiderId, SetupId } from "./session.ts";
import type { SessionUs } from "./time.ts";

export type ImportedStatus = "ok" | "warm-up" | "void" | "dnf";

export interface ImportedRow {
  readonly rider: RiderId;
  readonly setup: SetupId;
  readonly status: ImportedStatus;
  /** Run time, s, whole microseconds; null only for `dnf` and `void`. */
  readonly timeS: number | null;
  /** Standard uncertainty of the run time, s; null if the file does not say. */
  readonly uncertaintyS: number | null;
  /** One entry a sector of the stretch in riding order, s: all given or all null. */
  readonly sectorS: readonly (number | null)[];
  /** Start, microseconds since 1970 UTC; null if the file does not say. */
  readonly startedAtUs: SessionUs | null;
  readonly reason: string | null;
}
