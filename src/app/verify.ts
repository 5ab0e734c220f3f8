// Replays the journal and compares every derived table with what is on disk. Used by `verify`.
import type { Table } from "../domain/table.ts";
import type { Summary } from "../summary/summary.ts";
import { derivedTables } from "../summary/tables.ts";
import type { JournalStore } from "./needs.ts";

/**
 * @param summary - of the journal replayed from its first row
 * @returns what is wrong, in words; empty if nothing is
 */
export function verifyFile(store: JournalStore, summary: Summary): readonly string[] {
  return [
    ...store.integrityFaults().map((fault) => `database: ${fault}`),
    ...derivedTables(summary).flatMap((table) => tableFaults(store, table)),
  ];
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
