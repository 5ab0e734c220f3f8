// A session as one JSON document; used by `export --json` and by every `--json` output.
import type { Comparison } from "../domain/comparison.ts";
import type { Table } from "../domain/table.ts";

/** What a terminal would act on and JSON leaves as it is: DEL, C1, and marks that turn text round. */
const unprintable = /[\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/g;

/**
 * Everything of a session: each table as a list of objects keyed by its columns, and the
 * comparison as `compare --json` prints it.
 */
export function sessionJson(tables: readonly Table[], comparison: Comparison): string {
  return jsonText({
    format: "swaplap-session",
    version: 1,
    tables: Object.fromEntries(
      tables.map((t) => [
        t.name,
        t.rows.map((row) =>
          Object.fromEntries(t.columns.map(({ name }) => [name, row[name] ?? null])),
        ),
      ]),
    ),
    comparison,
  });
}

/**
 * Any plain value as JSON text with a line end, two spaces deep, harmless on a terminal.
 *
 * @see RFC 8259, section 7: any character may be written as `\u001b`
 */
export function jsonText(value: object): string {
  const text = JSON.stringify(value, null, 2).replace(
    unprintable,
    (c) => `\\u${(c.codePointAt(0) ?? 0).toString(16).padStart(4, "0")}`,
  );
  return `${text}\n`;
}
