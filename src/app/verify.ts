// Replays the journal and compares every derived table with what is on disk. Used by `verify`.
import type { Table } from "../domain/table.ts";
import type { Summary } from "../summary/summary.ts";
import { derivedTables } from "../summary/tables.ts";
import type { JournalStore } from "./needs.ts";
import type { SessionFile } from "./session-file.ts";

/** chosen: a recorder commits a few times a second at most, a comparison takes some hundredths. */
const TRIES = 20;

/**
 * Verifies a file that others may be writing into: a difference counts only if nothing was committed
 * between reading the journal and reading the tables.
 *
 * @returns what is wrong, in words; empty if nothing is
 */
export function verifySession(file: SessionFile): readonly string[] {
  const { store } = file;
  const database = databaseFaults(store);
  for (let left = TRIES; ; left -= 1) {
    const version = store.dataVersion();
    file.refresh();
    const faults = tablesFaults(store, file.summary());
    if (faults.length === 0 || left === 0 || store.dataVersion() === version) {
      return [...database, ...faults];
    }
  }
}

/**
 * Verifies a file that nobody writes into meanwhile.
 *
 * @param summary - of the journal replayed from its first row
 * @returns what is wrong, in words; empty if nothing is
 */
export function verifyFile(store: JournalStore, summary: Summary): readonly string[] {
  return [...databaseFaults(store), ...tablesFaults(store, summary)];
}

function databaseFaults(store: JournalStore): readonly string[] {
  return store.integrityFaults().map((fault) => `database: ${fault}`);
}

function tablesFaults(store: JournalStore, summary: Summary): readonly string[] {
  return derivedTables(summary).flatMap((table) => tableFaults(store, table));
}

function tableFaults(store: JournalStore, table: Table): readonly string[] {
  const onDisk = store.readTable(table);
  if (onDisk === null) return [`table ${table.name} is missing`];
  const text = (row: (typeof onDisk)[number]) =>
    JSON.stringify(table.columns.map((column) => row[column.name] ?? null));
  const stored = new Set(onDisk.map(text));
  const replayed = new Set(table.rows.map(text));
  const faults: string[] = [];
  for (const row of replayed) {
    if (!stored.has(row))
      faults.push(`table ${table.name}: the journal says ${row}, the table does not`);
  }
  for (const row of stored) {
    if (!replayed.has(row))
      faults.push(`table ${table.name}: has ${row}, the journal does not say so`);
  }
  return faults;
}
