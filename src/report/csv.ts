// A table as CSV text for spreadsheets and other tools; used by `export --csv`, one file a table.
import { stringify } from "csv-stringify/sync";
import type { Table } from "../domain/table.ts";

/**
 * Starts of a text that a spreadsheet takes for a formula.
 *
 * @see OWASP, "CSV Injection" (from memory): = + - @, tab, carriage return, line feed, and the
 *   full-width forms of the first four
 */
const leadingFormula = /^(?:[\t\r\n]|"*[=+\-@\uff1d\uff0b\uff0d\uff20])/;
/** A program set to split at semicolons, tabs or every line end sees a cell begin behind one. */
const innerFormula = /([;\t\r\n]"*)(?=[=+\-@\uff1d\uff0b\uff0d\uff20])/g;

/**
 * The table as CSV: a header row of the columns' names, CRLF line ends, quotes where needed,
 * nothing for null. A text that a spreadsheet would run as a formula gets an apostrophe in front;
 * numbers stay as they are, in full double precision.
 *
 * @throws {RangeError} if a number is not finite
 * @see RFC 4180, section 2
 */
export function tableCsv(table: Table): string {
  const names = table.columns.map((c) => c.name);
  const rows = table.rows.map((row) => names.map((name) => csvCell(row[name] ?? null)));
  return stringify([names, ...rows], {
    record_delimiter: "\r\n",
    quoted_match: /[;\t\r\n]/,
  });
}

function csvCell(value: string | number | null): string {
  if (value === null) return "";
  if (typeof value === "number") {
    if (!Number.isFinite(value)) throw new RangeError(`a cell holds ${String(value)}`);
    return String(value);
  }
  const inside = value.replace(innerFormula, "$1'");
  return leadingFormula.test(value) ? `'${inside}` : inside;
}
