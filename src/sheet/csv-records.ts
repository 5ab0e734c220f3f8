// CSV text to records that know their line; used by the reader of times.
import { CsvError, parse } from "csv-parse/sync";
import type { Fault } from "./faults.ts";

export interface CsvRecord {
  /** Line of the file on which it begins, 1-based. */
  readonly line: number;
  readonly fields: readonly string[];
}

export type CsvRead =
  | { readonly ok: true; readonly value: readonly CsvRecord[] }
  | { readonly ok: false; readonly error: Fault };

/**
 * Splits CSV text into records: quotes, doubled quotes and line breaks within quotes as RFC 4180
 * has them; lines may end with CRLF, LF or CR; a byte order mark is passed over; blank lines are
 * records of one empty field.
 *
 * @see RFC 4180, section 2
 */
export function csvRecords(text: string, separator: "," | ";"): CsvRead {
  const records: CsvRecord[] = [];
  // Lines are counted here: csv-parse takes a CRLF within quotes for two.
  let line = 1;
  try {
    parse(text, {
      bom: true,
      delimiter: separator,
      record_delimiter: ["\r\n", "\n", "\r"],
      relax_column_count: true,
      on_record: (fields: readonly string[]) => {
        records.push({ line, fields });
        line += 1 + fields.reduce((sum, field) => sum + lineBreaks(field), 0);
        return null;
      },
    });
    return { ok: true, value: records };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    return { ok: false, error: csvFault(error, line) };
  }
}

/** The separator of a file, by its header line; a comma if that holds neither. */
export function separatorOf(text: string): "," | ";" {
  const header = /^[^\r\n]*/.exec(text)?.[0] ?? "";
  const bare = header.replace(/"[^"]*"/g, "");
  return bare.split(";").length > bare.split(",").length ? ";" : ",";
}

function lineBreaks(field: string): number {
  return field.match(/\r\n|\n|\r/g)?.length ?? 0;
}

function csvFault(error: CsvError, line: number): Fault {
  return {
    line,
    found:
      error.code === "CSV_QUOTE_NOT_CLOSED"
        ? "an opening quote that is never closed"
        : "a quote in the middle of a field",
    want: 'quotes around the whole field, quotes inside it doubled: "a ""b"" c"',
  };
}
