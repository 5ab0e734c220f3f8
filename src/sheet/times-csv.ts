// A CSV of times, text to runs; used by `import`.
import type { Explored } from "../domain/explored.ts";
import { isAllowed, limitWords, valuesOfText } from "../domain/explored-values.ts";
import type { ImportedRow, ImportedStatus } from "../domain/imported-row.ts";
import type { Rider, Setup } from "../domain/session.ts";
import { type CsvRecord, csvRecords, separatorOf } from "./csv-records.ts";
import { encodingFault, type Fault, faultsError } from "./faults.ts";
import { didYouMean } from "./nearest.ts";
import { orList, quoted, unprintable } from "./quote.ts";
import { parseRfc3339 } from "./rfc3339.ts";
import { parseTime } from "./run-time.ts";

/** Whom and what the rows may name. */
export interface TimesOf {
  readonly riders: readonly Pick<Rider, "id">[];
  readonly setups: readonly Pick<Setup, "id">[];
  /** Names of the stretch's sectors in riding order; one for a stretch without splits. */
  readonly sectors: readonly string[];
  /** In a session that explores: a row may name a set-up by its values, `1.60` or `1.60/8`. */
  readonly explored?: Explored | null;
}

const statuses: readonly ImportedStatus[] = ["ok", "warm-up", "void", "dnf"];
/** Sectors may miss the run time by so much, microseconds: each was rounded by itself. */
const sumToleranceUs = 5_000;
const longestReason = 500;

/** One row with its columns found, and where its mistakes go. */
interface RowReader {
  readonly cell: (column: string) => string;
  readonly fault: (found: string, want: string) => null;
}

/**
 * Reads run times from CSV (RFC 4180, comma or semicolon, header row). Columns: `setup` and
 * `time_s`; optional `rider`, `status`, `reason`, `started_at`, `uncertainty_s`, `sector_1_s` ...
 * Blanks around a field are dropped; blank lines and rows of empty fields are passed over; line
 * breaks and tabs within a reason become blanks.
 *
 * @param text - the file's text, with or without a byte order mark
 * @param file - its name, for messages
 * @returns the runs in the order of the rows, which is run order; `setup` an id or values as the file
 *   has them
 * @throws {UserError} `bad-input`, naming bad rows by file and line; then nothing is to be imported
 */
export function readTimes(text: string, file: string, of: TimesOf): readonly ImportedRow[] {
  const fail = (faults: readonly Fault[]): Error =>
    faultsError(file, faults, "mend the file and import it again; nothing was imported");
  const unreadable = encodingFault(text);
  if (unreadable !== null) throw fail([unreadable]);
  const separator = separatorOf(text);
  const records = csvRecords(text, separator);
  if (!records.ok) throw fail([records.error]);
  const [header, ...rows] = records.value.filter((r) => r.fields.some((f) => f.trim() !== ""));
  const faults: Fault[] = [];
  const columns = readHeader(header, of, faults);
  if (faults.length > 0) throw fail(faults);
  if (rows.length === 0) {
    throw fail([
      { line: header?.line ?? 1, found: "no rows below the header", want: "a row a run" },
    ]);
  }
  const read = rows.flatMap((row) => readRow(row, columns, of, faults, separator) ?? []);
  if (faults.length > 0) throw fail(faults);
  return read;
}

/** Names of the columns in the file's order. */
function readHeader(
  header: CsvRecord | undefined,
  of: TimesOf,
  faults: Fault[],
): readonly string[] {
  const line = header?.line ?? 1;
  const names = header?.fields.map((f) => f.trim()) ?? [];
  const sectors = of.sectors.map((_, i) => sectorColumn(i));
  const optional = ["rider", "status", "reason", "started_at", "uncertainty_s", ...sectors];
  const known = ["setup", "time_s", ...optional];
  const missing = ["setup", "time_s"].filter((c) => !names.includes(c));
  for (const [i, name] of names.entries()) {
    if (names.indexOf(name) < i) {
      faults.push({ line, found: `column ${quoted(name)} twice`, want: "each column once" });
    } else if (!known.includes(name)) {
      faults.push({
        line,
        found: `unknown column ${quoted(name)}`,
        want: columnWanted(name, known, of),
      });
    }
  }
  if (missing.length > 0) {
    faults.push({
      line,
      found: header === undefined ? "an empty file" : `no column ${missing.join(" and ")}`,
      want: "a header row with setup and time_s, between commas or semicolons",
    });
  }
  const given = sectors.filter((c) => names.includes(c));
  if (given.length > 0 && given.length < sectors.length) {
    faults.push({
      line,
      found: `only ${given.join(", ")}`,
      want: `all of ${sectors.join(", ")}, or none`,
    });
  }
  return names;
}

function columnWanted(name: string, known: readonly string[], of: TimesOf): string {
  if (/^sector_\d+_s$/.test(name)) {
    const n = of.sectors.length;
    return `no more than the ${String(n)} sector${n === 1 ? "" : "s"} of the stretch`;
  }
  return didYouMean(name, known, `one of ${known.slice(0, 8).join(", ")}`);
}

function readRow(
  row: CsvRecord,
  columns: readonly string[],
  of: TimesOf,
  faults: Fault[],
  separator: string,
): ImportedRow | null {
  const before = faults.length;
  const reader: RowReader = {
    cell: (column) => row.fields[columns.indexOf(column)]?.trim() ?? "",
    fault: (found, want) => {
      faults.push({ line: row.line, found, want });
      return null;
    },
  };
  if (row.fields.length !== columns.length) {
    const hint = separator === "," && row.fields.length > columns.length;
    return reader.fault(
      `${String(row.fields.length)} fields`,
      `${String(columns.length)}, as in the header${hint ? " (decimals take a point, not a comma)" : ""}`,
    );
  }
  const status = readStatus(reader);
  const timeUs = readTime(reader, status);
  const read = {
    rider: readRider(reader, of),
    setup: readSetup(reader, of),
    status: status ?? "ok",
    timeS: timeUs === null ? null : timeUs / 1_000_000,
    uncertaintyS: readUncertainty(reader),
    sectorS: readSectors(reader, of.sectors.length, timeUs),
    startedAtUs: readStart(reader),
    reason: readReason(reader),
  };
  return faults.length === before ? read : null;
}

function readRider(reader: RowReader, of: TimesOf): string {
  const ids = of.riders.map((r) => r.id);
  const [only] = ids;
  if (reader.cell("rider") === "" && only !== undefined && ids.length === 1) return only;
  return readKnown(reader, "rider", ids);
}

/** An id, or values inside the limits. */
function readSetup(reader: RowReader, { setups, explored = null }: TimesOf): string {
  const ids = setups.map((s) => s.id);
  const cell = reader.cell("setup");
  if (explored === null || ids.includes(cell)) return readKnown(reader, "setup", ids);
  const { settings } = explored;
  const values = valuesOfText(settings, cell);
  const wanted = settings.map((setting) => `${setting.key} ${limitWords(setting)}`).join(" / ");
  const areAllowed = settings.every((each, i) => isAllowed(each, values?.[i] ?? Number.NaN));
  if (values === null || !areAllowed) {
    const found = cell === "" ? "no setup" : `setup ${quoted(cell)}`;
    reader.fault(found, `${orList(ids.slice(0, 12))}, or ${wanted}`);
  }
  return cell;
}

function readKnown(reader: RowReader, column: string, ids: readonly string[]): string {
  const id = reader.cell(column);
  if (ids.includes(id)) return id;
  const list = orList(ids.slice(0, 12));
  const found = id === "" ? `no ${column}` : `${column} ${quoted(id)}`;
  reader.fault(found, id.length > 2 ? didYouMean(id, ids, list) : list);
  return "";
}

function readStatus(reader: RowReader): ImportedStatus | null {
  const cell = reader.cell("status");
  const status = cell === "" ? "ok" : statuses.find((s) => s === cell);
  if (status !== undefined) return status;
  return reader.fault(`status ${quoted(cell)}`, orList([...statuses]));
}

/** Whole microseconds; null where the row gives no time or a bad one. */
function readTime(reader: RowReader, status: ImportedStatus | null): number | null {
  const cell = reader.cell("time_s");
  if (cell !== "") return timeOf(reader, "time_s", cell);
  if (status === "ok" || status === "warm-up") {
    reader.fault("no time_s", "a time, or the status dnf or void");
  }
  return null;
}

function timeOf(reader: RowReader, column: string, cell: string): number | null {
  const us = parseTime(cell);
  if (us !== null && us > 0) return us;
  const found = `${column} ${quoted(cell)}`;
  if (/^[\d:]+,\d+$/.test(cell))
    return reader.fault(found, `a decimal point: ${cell.replace(",", ".")}`);
  return reader.fault(found, "seconds above 0 with a decimal point, or m:ss.fff");
}

function readUncertainty(reader: RowReader): number | null {
  const cell = reader.cell("uncertainty_s");
  if (cell === "") return null;
  const us = /:/.test(cell) ? null : parseTime(cell);
  if (us !== null && us <= 60_000_000) return us / 1_000_000;
  const hint = /^\d+,\d+$/.test(cell)
    ? `a decimal point: ${cell.replace(",", ".")}`
    : "seconds from 0 to 60 with a decimal point";
  return reader.fault(`uncertainty_s ${quoted(cell)}`, hint);
}

/** All sectors of the stretch, s, or nulls. */
function readSectors(reader: RowReader, count: number, timeUs: number | null): (number | null)[] {
  const none = Array.from({ length: count }, () => null);
  const columns = none.map((_, i) => sectorColumn(i));
  const cells = columns.map(reader.cell);
  const given = cells.filter((c) => c !== "").length;
  if (given === 0) return none;
  if (given < count) {
    reader.fault(
      `${String(given)} of ${String(count)} sectors`,
      "all of them, or none in this row",
    );
    return none;
  }
  const us = cells.map((cell, i) => timeOf(reader, columns[i] ?? "", cell));
  const sumUs = us.reduce<number>((sum, s) => sum + (s ?? 0), 0);
  if (us.includes(null)) return none;
  if (reader.cell("time_s") === "") reader.fault("sectors without time_s", "time_s as well");
  else if (timeUs !== null && Math.abs(sumUs - timeUs) > sumToleranceUs) {
    reader.fault(
      `sectors that add up to ${String(sumUs / 1_000_000)} with time_s ${String(timeUs / 1_000_000)}`,
      "a sum within 0.005 s of time_s",
    );
  }
  return us.map((s) => (s === null ? null : s / 1_000_000));
}

function readStart(reader: RowReader): ImportedRow["startedAtUs"] {
  const cell = reader.cell("started_at");
  if (cell === "") return null;
  return (
    parseRfc3339(cell) ??
    reader.fault(
      `started_at ${quoted(cell)}`,
      "RFC 3339 with its offset, as 2026-05-09T10:31:00+02:00",
    )
  );
}

function readReason(reader: RowReader): string | null {
  const reason = reader.cell("reason").replace(/[\r\n\t]+/g, " ");
  if (unprintable.test(reason)) {
    return reader.fault(`reason ${quoted(reason)}`, "text without control characters");
  }
  if (reason.length > longestReason) {
    return reader.fault(
      `a reason of ${String(reason.length)} characters`,
      `at most ${String(longestReason)}`,
    );
  }
  return reason === "" ? null : reason;
}

function sectorColumn(i: number): string {
  return `sector_${String(i + 1)}_s`;
}
