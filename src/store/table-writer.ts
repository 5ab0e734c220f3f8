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

function keyOf(table: Table, row: Row): string {
  return JSON.stringify(table.key.map((name) => row[name] ?? null));
}

function shapeOf(table: Table): string {
  return JSON.stringify(table.columns.map(({ name, type }) => ({ name, type })));
}

function valuesOf(table: Table, row: Row): string {
  return JSON.stringify(table.columns.map(({ name }) => row[name] ?? null));
}

export class TableWriter {
  private readonly db: Database.Database;
  private written = new Map<string, Written>();

  constructor(db: Database.Database) {
    this.db = db;
  }

  /** Drops every table named, so that the next `write` makes it afresh. */
  drop(names: readonly string[]): void {
    for (const name of names) {
      this.db.exec(`DROP TABLE IF EXISTS ${quoted(name)}`);
      this.written.delete(name);
    }
  }

  /** What was believed written may not be (a transaction was undone): read it again next time. */
  forget(): void {
    this.written.clear();
  }

  write(tables: readonly Table[]): void {
    for (const table of tables) this.writeTable(table);
  }

  /**
   * The rows of a table as they are on disk, in the order of its key; null if there is no such table
   * or it has other columns.
   */
  read(table: Table): readonly Row[] | null {
    if (!this.hasShape(table)) return null;
    const columns = table.columns.map((column) => quoted(column.name)).join(", ");
    const key = table.key.map(quoted).join(", ");
    return this.db
      .prepare<[], Row>(`SELECT ${columns} FROM ${quoted(table.name)} ORDER BY ${key}`)
      .all();
  }

  private writeTable(table: Table): void {
    const { rows: before, last } = this.known(table);
    if (last === table.rows) return;
    const gone = new Set(before.keys());
    const changed = table.rows.flatMap((row) => {
      const key = keyOf(table, row);
      const values = valuesOf(table, row);
      gone.delete(key);
      return before.get(key) === values ? [] : [{ key, values, row }];
    });
    if (gone.size > 0) this.remove(table, gone);
    if (changed.length > 0) this.put(table, changed);
    for (const key of gone) before.delete(key);
    for (const { key, values } of changed) before.set(key, values);
    this.written.set(table.name, { rows: before, last: table.rows });
  }

  private put(table: Table, changed: readonly { readonly row: Row }[]): void {
    const put = this.db.prepare(
      `INSERT OR REPLACE INTO ${quoted(table.name)} VALUES (${table.columns.map(() => "?").join(", ")})`,
    );
    for (const { row } of changed) put.run(...table.columns.map(({ name }) => row[name] ?? null));
  }

  private remove(table: Table, keys: Iterable<string>): void {
    const where = table.key.map((name) => `${quoted(name)} IS ?`).join(" AND ");
    const remove = this.db.prepare(`DELETE FROM ${quoted(table.name)} WHERE ${where}`);
    for (const key of keys) remove.run(...(JSON.parse(key) as unknown[]));
  }

  private hasShape(table: Table): boolean {
    const found = this.db
      .prepare<[string], { name: string; type: string }>(
        "SELECT name, type FROM pragma_table_info(?) ORDER BY cid",
      )
      .all(table.name);
    return JSON.stringify(found.map(({ name, type }) => ({ name, type }))) === shapeOf(table);
  }

  private known(table: Table): Written {
    const known = this.written.get(table.name);
    if (known !== undefined) return known;
    const rows = new Map<string, string>();
    const onDisk = this.read(table);
    if (onDisk === null) this.make(table);
    for (const row of onDisk ?? []) rows.set(keyOf(table, row), valuesOf(table, row));
    return { rows, last: [] };
  }

  /** Made afresh, also in place of one with other columns. */
  private make(table: Table): void {
    const columns = table.columns.map((column) => `${quoted(column.name)} ${column.type}`);
    const key = table.key.map(quoted).join(", ");
    this.drop([table.name]);
    this.db.exec(
      `CREATE TABLE ${quoted(table.name)} (${columns.join(", ")}, PRIMARY KEY (${key})) STRICT`,
    );
  }
}
