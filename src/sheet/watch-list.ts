// The list that somebody with a watch kept at one end of the stretch, CSV text to rows; used by the
// reader of two watches.
import type { ImportedStatus } from "../domain/imported-row.ts";
import { type CsvRecord, csvRecords, separatorOf } from "./csv-records.ts";
import { encodingFault, type Fault } from "./faults.ts";
import { didYouMean } from "./nearest.ts";
import { orList, quoted, unprintable } from "./quote.ts";
import type { TimesOf } from "./times-csv.ts";

/** One time read off a watch. */
export interface WatchRow {
  readonly line: number;
  /** Of that watch, microseconds since midnight of the list's first day; past midnight it goes on. */
  readonly atUs: number;
  /** As it stands in the list, `10:31:07.4`. */
  readonly shown: string;
  /** Null: not named. */
  readonly rider: string | null;
  readonly setup: string | null;
  readonly status: ImportedStatus | null;
  readonly note: string | null;
}

export interface WatchList {
  readonly rows: readonly WatchRow[];
  /** The same instant as in the other list, at the beginning and at the end of the day. */
  readonly first: WatchRow | null;
  readonly last: WatchRow | null;
}

export type WatchRead =
  | { readonly ok: true; readonly value: WatchList }
  | { readonly ok: false; readonly faults: readonly Fault[] };

const COLUMNS = ["time_of_day", "rider", "setup", "status", "note"] as const;
const DAY_US = 86_400e6;
const longestNote = 500;

/**
 * Reads one list: header row; `time_of_day` (h:m:s, fractions allowed), optional `rider`, `setup`,
 * `status`, `note`. Rows stand in order of time; a step back by more than half a day is midnight. The
 * first and the last row may have the status `sync`.
 *
 * @param statuses - what a row of this end may be, besides `sync`
 */
export function readWatchList(
  text: string,
  of: TimesOf,
  statuses: readonly ImportedStatus[],
): WatchRead {
  const unreadable = encodingFault(text);
  if (unreadable !== null) return { ok: false, faults: [unreadable] };
  const records = csvRecords(text, separatorOf(text));
  if (!records.ok) return { ok: false, faults: [records.error] };
  const [header, ...body] = records.value.filter((r) => r.fields.some((f) => f.trim() !== ""));
  const columns = header?.fields.map((field) => field.trim()) ?? [];
  const wrong = headerFaults(columns, header?.line ?? 1);
  if (wrong.length > 0) return { ok: false, faults: wrong };
  const faults: Fault[] = [];
  const read = body.flatMap((record) => readRow(record, columns, of, statuses, faults) ?? []);
  const rows = inOrder(read, faults);
  const isSync = (row: (typeof rows)[number], i: number): boolean =>
    row.isSync && (i === 0 || i === rows.length - 1);
  for (const [i, row] of rows.entries()) {
    if (row.isSync && !isSync(row, i)) {
      const found = `a sync at ${row.shown} in the middle`;
      faults.push({ line: row.line, found, want: "a sync as the first or the last row" });
    }
  }
  const times = rows.filter((row) => !row.isSync);
  if (times.length === 0 && faults.length === 0) {
    const found = "no times in the list";
    faults.push({ line: header?.line ?? 1, found, want: "a row for each rider who passed" });
  }
  if (faults.length > 0) return { ok: false, faults };
  const [first, last] = [rows.at(0), rows.at(-1)];
  return {
    ok: true,
    value: {
      rows: times,
      first: first?.isSync === true ? first : null,
      last: last?.isSync === true ? last : null,
    },
  };
}

function headerFaults(columns: readonly string[], line: number): readonly Fault[] {
  const faults = columns.flatMap((name, i): readonly Fault[] => {
    if (columns.indexOf(name) < i) {
      return [{ line, found: `column ${quoted(name)} twice`, want: "each column once" }];
    }
    if (COLUMNS.some((column) => column === name)) return [];
    const want = didYouMean(name, COLUMNS, `one of ${COLUMNS.join(", ")}`);
    return [{ line, found: `unknown column ${quoted(name)}`, want }];
  });
  if (columns.includes("time_of_day")) return faults;
  const found = columns.length === 0 ? "an empty file" : "no column time_of_day";
  return [...faults, { line, found, want: "a header row with time_of_day" }];
}

type ReadRow = WatchRow & { readonly isSync: boolean };

function readRow(
  { line, fields }: CsvRecord,
  columns: readonly string[],
  of: TimesOf,
  statuses: readonly ImportedStatus[],
  faults: Fault[],
): ReadRow | null {
  if (fields.length !== columns.length) {
    const want = `${String(columns.length)}, as in the header`;
    faults.push({ line, found: `${String(fields.length)} fields`, want });
    return null;
  }
  const before = faults.length;
  const cell = (column: (typeof COLUMNS)[number]): string =>
    fields[columns.indexOf(column)]?.trim() ?? "";
  const known = (column: "rider" | "setup", ids: readonly string[]): string | null => {
    const id = cell(column);
    if (id === "" || ids.includes(id)) return id === "" ? null : id;
    const list = orList(ids.slice(0, 12));
    const want = id.length > 2 ? didYouMean(id, ids, list) : list;
    faults.push({ line, found: `${column} ${quoted(id)}`, want });
    return null;
  };
  const said = cell("status");
  const isSync = said === "sync";
  const status = statuses.find((each) => each === said) ?? null;
  if (!isSync && status === null && said !== "") {
    faults.push({ line, found: `status ${quoted(said)}`, want: orList([...statuses, "sync"]) });
  }
  const shown = cell("time_of_day");
  const atUs = timeOfDayUs(shown);
  if (atUs === null) faults.push({ line, ...badTime(shown) });
  const note = cell("note").replace(/[\r\n\t]+/g, " ");
  if (unprintable.test(note) || note.length > longestNote) {
    const want = `at most ${String(longestNote)} characters, no control characters`;
    faults.push({ line, found: `note ${quoted(note)}`, want });
  }
  const rider = known(
    "rider",
    of.riders.map(({ id }) => id),
  );
  const setup = known(
    "setup",
    of.setups.map(({ id }) => id),
  );
  if (faults.length > before || atUs === null) return null;
  return { line, atUs, shown, rider, setup, status, isSync, note: note === "" ? null : note };
}

function badTime(shown: string): Omit<Fault, "line"> {
  if (shown === "") return { found: "no time_of_day", want: "a time of day, as 10:31:07.4" };
  const found = `time_of_day ${quoted(shown)}`;
  return /^[\d:]+,\d+$/.test(shown)
    ? { found, want: `a decimal point: ${shown.replace(",", ".")}` }
    : { found, want: "hours, minutes and seconds, as 10:31:07.4" };
}

/** Microseconds since midnight, digits beyond the sixth cut off; null if it is no time of day. */
function timeOfDayUs(text: string): number | null {
  const m = /^(\d{1,2}):([0-5]\d):([0-5]\d)(?:\.(\d+))?$/.exec(text);
  if (m === null || Number(m[1]) > 23) return null;
  const [hours, minutes, seconds] = [Number(m[1]), Number(m[2]), Number(m[3])];
  const fraction = Number((m[4] ?? "").padEnd(6, "0").slice(0, 6));
  return ((hours * 60 + minutes) * 60 + seconds) * 1e6 + fraction;
}

/** Carried on past midnight. */
function inOrder(rows: readonly ReadRow[], faults: Fault[]): readonly ReadRow[] {
  let days = 0;
  let before: ReadRow | null = null;
  return rows.map((row) => {
    const back = before === null ? 0 : before.atUs - (row.atUs + days * DAY_US);
    if (back > DAY_US / 2) days += 1;
    else if (back > 0 && before !== null) {
      const found = `${row.shown} below ${before.shown}`;
      faults.push({ line: row.line, found, want: "the list in order of time" });
    }
    before = { ...row, atUs: row.atUs + days * DAY_US };
    return before;
  });
}
