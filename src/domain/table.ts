// A table of plain values with named columns: what the summary derives, the store keeps and the
// report exports.

export interface Column {
  readonly name: string;
  readonly type: "TEXT" | "INTEGER" | "REAL";
}

/** One value a column, by the column's name; null where there is none. */
export type Row = Readonly<Record<string, string | number | null>>;

export interface Table {
  readonly name: string;
  readonly columns: readonly Column[];
  /** Names of the columns that together tell one row from every other. */
  readonly key: readonly string[];
  readonly rows: readonly Row[];
}
