// Keeps the derived tables true: compares what they should hold with what was last written and
// writes the difference. What holds after `write`: each table has exactly the rows handed in.
import type Database from "better-sqlite3";
import type { Row, Table } from "../domain/table.ts";

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

function isSameRow(table: Table, a: Row | undefined, b: Row | undefined): boolean {
  return (
    a !== undefined &&
    b !== undefined &&
    table.columns.every(({ name }) => (a[name] ?? null) === (b[name] ?? null))
  );
}

export class TableWriter {
  private readonly db: Database.Database;
  /** Rows of each table as they are on disk. */
  private readonly written = new Map<string, readonly Row[]>();

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
    const before = this.known(table);
    // Nearly all rows stand where they stood: only the others are looked up by their keys.
    const gone = new Map<string, Row>();
    before.forEach((row, i) => {
      if (!isSameRow(table, row, table.rows[i])) gone.set(keyOf(table, row), row);
    });
    const changed: Row[] = [];
    table.rows.forEach((row, i) => {
      if (isSameRow(table, before[i], row)) return;
      const key = keyOf(table, row);
      if (!isSameRow(table, gone.get(key), row)) changed.push(row);
      gone.delete(key);
    });
    if (gone.size > 0) this.remove(table, gone.values());
    if (changed.length > 0) this.put(table, changed);
    this.written.set(table.name, table.rows);
  }

  private put(table: Table, changed: readonly Row[]): void {
    const put = this.db.prepare(
      `INSERT OR REPLACE INTO ${quoted(table.name)} VALUES (${table.columns.map(() => "?").join(", ")})`,
    );
    for (const row of changed) put.run(...table.columns.map(({ name }) => row[name] ?? null));
  }

  private remove(table: Table, rows: Iterable<Row>): void {
    const where = table.key.map((name) => `${quoted(name)} IS ?`).join(" AND ");
    const remove = this.db.prepare(`DELETE FROM ${quoted(table.name)} WHERE ${where}`);
    for (const row of rows) remove.run(...table.key.map((name) => row[name] ?? null));
  }

  private hasShape(table: Table): boolean {
    const found = this.db
      .prepare<[string], { name: string; type: string }>(
        "SELECT name, type FROM pragma_table_info(?) ORDER BY cid",
      )
      .all(table.name);
    return JSON.stringify(found.map(({ name, type }) => ({ name, type }))) === shapeOf(table);
  }

  private known(table: Table): readonly Row[] {
    const known = this.written.get(table.name);
    if (known !== undefined) return known;
    const onDisk = this.read(table);
    if (onDisk === null) this.make(table);
    return onDisk ?? [];
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
