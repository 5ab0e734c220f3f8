// Keeps the derived tables true: compares what they should hold with what was last written and
// writes the difference. What holds after `write`: each table has exactly the rows handed in.
import type Database from "better-sqlite3";
import type { Row, Table } from "../domain/table.ts";

interface Written {
  /** A row's values as text, by the text of its key. */
  readonly rows: Map<string, string>;
  readonly last: readonly Row[];
}

/** Names come from the program, never from outside; quoting them is for words like "key". */
function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

export class TableWriter {
  private readonly db: Database.Database;
  private written = new Map<string, Written>();

  constructor(db: Database.Database) {
    this.db = db;
  }

  /** Drops every table named, so that the next `write` makes it afresh. */
  drop(names: readonly string[]): void {
    for (const name of names) this.db.exec(`DROP TABLE IF EXISTS ${quoted(name)}`);
    this.written.clear();
  }

  /** What was believed written may not be (a transaction was undone): read it again next time. */
  forget(): void {
    this.written.clear();
  }

  write(tables: readonly Table[]): void {
    for (const table of tables) this.writeTable(table);
  }

  /** The rows of a table as they are on disk, in the order of its key; null if there is no such table. */
  read(table: Table): readonly Row[] | null {
    const exists = this.db
      .prepare("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?")
      .get(table.name);
    if (exists === undefined) return null;
    const columns = table.columns.map((column) => quoted(column.name)).join(", ");
    return this.db.prepare<[], Row>(`SELECT ${columns} FROM ${quoted(table.name)}`).all();
  }

  private writeTable(table: Table): void {
    const before = this.known(table);
    if (before.last === table.rows) return;
    const keyOf = (row: Row) => JSON.stringify(table.key.map((name) => row[name] ?? null));
    const valuesOf = (row: Row) =>
      JSON.stringify(table.columns.map((column) => row[column.name] ?? null));
    const gone = new Set(before.rows.keys());
    const put = this.db.prepare(
      `INSERT OR REPLACE INTO ${quoted(table.name)} VALUES (${table.columns.map(() => "?").join(", ")})`,
    );
    for (const row of table.rows) {
      const key = keyOf(row);
      const values = valuesOf(row);
      gone.delete(key);
      if (before.rows.get(key) === values) continue;
      put.run(...table.columns.map((column) => row[column.name] ?? null));
      before.rows.set(key, values);
    }
    if (gone.size > 0) {
      const where = table.key.map((name) => `${quoted(name)} IS ?`).join(" AND ");
      const remove = this.db.prepare(`DELETE FROM ${quoted(table.name)} WHERE ${where}`);
      for (const key of gone) {
        remove.run(...(JSON.parse(key) as unknown[]));
        before.rows.delete(key);
      }
    }
    this.written.set(table.name, { rows: before.rows, last: table.rows });
  }

  private known(table: Table): Written {
    const known = this.written.get(table.name);
    if (known !== undefined) return known;
    const columns = table.columns.map((column) => `${quoted(column.name)} ${column.type}`);
    const key = table.key.map(quoted).join(", ");
    this.db.exec(
      `CREATE TABLE IF NOT EXISTS ${quoted(table.name)} (${columns.join(", ")}, PRIMARY KEY (${key})) STRICT`,
    );
    const rows = new Map<string, string>();
    for (const row of this.read(table) ?? []) {
      const key = JSON.stringify(table.key.map((name) => row[name] ?? null));
      rows.set(key, JSON.stringify(table.columns.map((column) => row[column.name] ?? null)));
    }
    const written = { rows, last: [] };
    this.written.set(table.name, written);
    return written;
  }
}
