// A row of the journal as an entry, or a refusal that names the row; called by the store.
import { UserError } from "../domain/errors.ts";
import { hostUs } from "../domain/time.ts";
import { ENTRY_VERSION, type Entry, parseContent } from "../journal/entry.ts";

export interface JournalRow {
  readonly seq: number;
  readonly at_us: number;
  readonly mono_us: number;
  readonly host: string;
  readonly writer: string;
  readonly who: string;
  readonly type: string;
  readonly version: number;
  readonly body: string;
}

/** @throws {UserError} damaged or newer-version, naming the row */
export function entryOf(row: JournalRow, file: string): Entry {
  if (row.version > ENTRY_VERSION) {
    throw new UserError(
      "newer-version",
      `${file} holds an entry of a newer Swaplap (row ${String(row.seq)}, ${row.type})`,
      "update this program; the file was not touched",
    );
  }
  const content = parseContent(row.type, row.version, bodyOf(row, file));
  if (!content.ok) throw damaged(row, file, content.error);
  return {
    ...content.value,
    seq: row.seq,
    atUs: row.at_us,
    monoUs: hostUs(row.mono_us),
    host: row.host,
    writer: row.writer,
    who: row.who,
    version: row.version,
  };
}

function bodyOf(row: JournalRow, file: string): unknown {
  try {
    return JSON.parse(row.body);
  } catch (error) {
    if (error instanceof SyntaxError) throw damaged(row, file, "not JSON");
    throw error;
  }
}

function damaged(row: JournalRow, file: string, why: string): UserError {
  return new UserError(
    "damaged",
    `${file} is damaged: journal row ${String(row.seq)} cannot be read (${why})`,
    "work on a copy, or go back to the last good back-up",
  );
}
