// One session file on disk: append to its journal, read on from a row, keep its derived tables.
// What holds between calls: everything that `transaction` returned from is on the disk (WAL,
// synchronous FULL), and no journal row ever changes.
import { accessSync, closeSync, constants, existsSync, openSync, rmSync, statSync } from "node:fs";
import Database from "better-sqlite3";
import { UserError } from "../domain/errors.ts";
import type { Row, Table } from "../domain/table.ts";
import { type Draft, ENTRY_VERSION, type Entry } from "../journal/entry.ts";
import { entryOf, type JournalRow } from "./journal-row.ts";
import { type LeaseHolder, leaseHolder, releaseLease, takeLease } from "./lease.ts";
import { APPLICATION_ID, journalSchema, OWN_TABLES, SCHEMA_VERSION } from "./schema.ts";
import { errorCode, told } from "./sqlite-errors.ts";
import { TableWriter } from "./table-writer.ts";

/** Long enough for another writer's transaction on a slow card, short enough for a live screen. */
const BUSY_MS = 3000;

export type { LeaseHolder } from "./lease.ts";

export class SessionStore {
  readonly file: string;
  readonly isReadOnly: boolean;
  private readonly db: Database.Database;
  private readonly tables: TableWriter;
  /** data_version at the last write of tables: another's commit makes what we remember of them stale. */
  private tablesVersion = -1;
  private readonly insertRow: Database.Statement | null;
  private readonly selectRows: Database.Statement<[number], JournalRow>;

  private constructor(file: string, db: Database.Database, isReadOnly: boolean) {
    this.file = file;
    this.db = db;
    this.isReadOnly = isReadOnly;
    this.tables = new TableWriter(db);
    this.selectRows = db.prepare(
      "SELECT seq, at_us, mono_us, host, writer, who, type, version, body FROM journal WHERE seq > ? ORDER BY seq",
    );
    this.insertRow = isReadOnly
      ? null
      : db.prepare(
          "INSERT INTO journal (at_us, mono_us, host, writer, who, type, version, body) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        );
  }

  /**
   * Makes a new, empty session file. When it fails, nothing is left behind.
   *
   * @throws {UserError} `exists` if there is anything of that name; nothing is overwritten
   */
  static create(file: string): SessionStore {
    return told(file, () => {
      claim(file);
      try {
        const db = new Database(file);
        try {
          // One transaction: a file that was killed in the making is empty, never half a session.
          db.transaction(() => {
            db.exec(journalSchema);
            db.pragma(`application_id = ${String(APPLICATION_ID)}`);
            db.pragma(`user_version = ${String(SCHEMA_VERSION)}`);
          }).immediate();
          configure(db);
          return new SessionStore(file, db, false);
        } catch (error) {
          db.close();
          throw error;
        }
      } catch (error) {
        for (const suffix of ["", "-journal", "-wal", "-shm"]) {
          rmSync(`${file}${suffix}`, { force: true });
        }
        throw error;
      }
    });
  }

  /**
   * Opens a session file that exists.
   *
   * @param options.readOnly - for boards, exports and comparisons; the file is not touched
   * @throws {UserError} not-found, not-a-session, newer-version, damaged, in-use, no-permission
   */
  static open(file: string, options: { readonly readOnly: boolean }): SessionStore {
    if (!existsSync(file)) {
      throw new UserError(
        "not-found",
        `${file} is not there`,
        "check the name, or make it with `swaplap new`",
      );
    }
    if (!statSync(file).isFile()) {
      throw new UserError("not-a-session", `${file} is not a file`, "name a session file");
    }
    return told(file, () => {
      // SQLite would open it for reading only and complain at the first row.
      if (!options.readOnly) accessSync(file, constants.W_OK);
      const db = new Database(file, { readonly: options.readOnly, fileMustExist: true });
      try {
        db.pragma(`busy_timeout = ${String(BUSY_MS)}`);
        refuseOthers(db, file);
        if (!options.readOnly) configure(db);
        return new SessionStore(file, db, options.readOnly);
      } catch (error) {
        db.close();
        throw error;
      }
    });
  }

  /**
   * Runs `work` in one BEGIN IMMEDIATE transaction. When it returns, everything written in it is on
   * the disk; when `work` throws, nothing of it is.
   */
  transaction<T>(work: () => T): T {
    return told(this.file, () => {
      try {
        return this.db.transaction(work).immediate();
      } catch (error) {
        this.tables.forget();
        throw error;
      }
    });
  }

  /** Appends rows; only inside `transaction`. @returns the seq of each, in order */
  insert(drafts: readonly Draft[]): readonly number[] {
    const { insertRow } = this;
    if (insertRow === null) throw new TypeError("insert requires a file opened for writing");
    return drafts.map((draft) =>
      Number(
        insertRow.run(
          Math.round(draft.atUs),
          Math.round(draft.monoUs),
          draft.host,
          draft.writer,
          draft.who,
          draft.type,
          ENTRY_VERSION,
          JSON.stringify(draft.body),
        ).lastInsertRowid,
      ),
    );
  }

  /** Every entry after `seq`, in order. @throws {UserError} damaged or newer-version, naming the row */
  readSince(seq: number): readonly Entry[] {
    return told(this.file, () => this.selectRows.all(seq).map((row) => entryOf(row, this.file)));
  }

  /** Brings the derived tables to exactly these rows; only inside `transaction`. */
  writeTables(tables: readonly Table[]): void {
    const version = this.dataVersion();
    if (version !== this.tablesVersion) this.tables.forget();
    this.tablesVersion = version;
    this.tables.write(tables);
  }

  /** A derived table as it is on disk; null if it is not there. */
  readTable(table: Table): readonly Row[] | null {
    return told(this.file, () => this.tables.read(table));
  }

  /** True if the derived tables are of an older program's shape: drop and rebuild them. */
  hasOldTables(): boolean {
    return Number(this.db.pragma("user_version", { simple: true })) < SCHEMA_VERSION;
  }

  /** Drops derived tables of an older shape; only inside `transaction`, followed by `writeTables`. */
  dropTables(names: readonly string[]): void {
    this.tables.drop(names);
    this.db.pragma(`user_version = ${String(SCHEMA_VERSION)}`);
  }

  /** Changes when another connection has committed. @see SQLite, "PRAGMA data_version" */
  dataVersion(): number {
    return told(this.file, () => Number(this.db.pragma("data_version", { simple: true })));
  }

  /** Takes or renews the recorder's lease. @returns null if it is ours now, else who has it */
  takeLease(mine: LeaseHolder, atUs: number): LeaseHolder | null {
    return told(this.file, () => takeLease(this.db, mine, atUs));
  }

  leaseHolder(atUs: number): LeaseHolder | null {
    return told(this.file, () => leaseHolder(this.db, atUs));
  }

  releaseLease(mine: LeaseHolder): void {
    told(this.file, () => {
      releaseLease(this.db, mine);
    });
  }

  /** SQLite's own check of the file. @returns what is wrong, empty if nothing is */
  integrityFaults(): readonly string[] {
    return told(this.file, () => {
      try {
        const rows = this.db.pragma("integrity_check") as readonly { integrity_check: string }[];
        return rows.map((row) => row.integrity_check).filter((text) => text !== "ok");
      } catch (error) {
        if (!(error instanceof Error) || errorCode(error) !== "SQLITE_CORRUPT") throw error;
        return [error.message]; // too damaged for the check to go on
      }
    });
  }

  /** Brings everything into the file itself, so that the one file can be copied, and lets go of it. */
  close(): void {
    told(this.file, () => {
      try {
        if (this.db.open && !this.isReadOnly) this.db.pragma("wal_checkpoint(PASSIVE)");
      } catch (error) {
        // No room to bring it over: it is just as safe in the log beside the file.
        if (errorCode(error) !== "SQLITE_FULL") throw error;
      } finally {
        this.db.close();
      }
    });
  }
}

function configure(db: Database.Database): void {
  db.pragma(`busy_timeout = ${String(BUSY_MS)}`);
  db.pragma("journal_mode = WAL");
  db.pragma("synchronous = FULL");
  db.pragma("recursive_triggers = ON");
}

/** Makes the empty file: of two programs that make it at once, one is refused. */
function claim(file: string): void {
  try {
    closeSync(openSync(file, "wx", 0o644));
  } catch (error) {
    if (errorCode(error) !== "EEXIST") throw error;
    throw new UserError(
      "exists",
      `${file} exists already`,
      "name another file; nothing is overwritten",
      { cause: error },
    );
  }
}

function refuseOthers(db: Database.Database, file: string): void {
  if (Number(db.pragma("application_id", { simple: true })) !== APPLICATION_ID) {
    throw new UserError(
      "not-a-session",
      `${file} is not a session file`,
      "name a file made by `swaplap new`, or make one",
    );
  }
  const version = Number(db.pragma("user_version", { simple: true }));
  if (version > SCHEMA_VERSION) {
    throw new UserError(
      "newer-version",
      `${file} was written by a newer Swaplap (file version ${String(version)}, this program knows ${String(SCHEMA_VERSION)})`,
      "update this program; the file was not touched",
    );
  }
  const tables = db
    .prepare<[], { name: string }>("SELECT name FROM sqlite_master WHERE type = 'table'")
    .all();
  const missing = OWN_TABLES.find((name) => !tables.some((table) => table.name === name));
  if (missing !== undefined) {
    throw new UserError(
      "damaged",
      `${file} is damaged: its table "${missing}" is missing`,
      "work on a copy, or go back to the last good back-up",
    );
  }
}
