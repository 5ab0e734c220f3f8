// The tables that the store itself owns: the append-only journal and the recorder's lease.

/** "SwLp" as a number: tells a session file from every other SQLite database. */
export const APPLICATION_ID = 0x53774c70;
/** Version of the derived tables; the journal's entries carry their own. */
export const SCHEMA_VERSION = 4;

/** What every session file has; the other tables are derived and can be made again. */
export const OWN_TABLES = ["journal", "lease"] as const;

/**
 * The journal only grows. The triggers refuse what would change it. INSERT OR REPLACE is refused
 * before it deletes, whatever program does it: `recursive_triggers`, which would let the delete
 * trigger see the hidden delete, is a setting of each connection and off in other tools.
 *
 * @see SQLite documentation, "PRAGMA recursive_triggers": with REPLACE, delete triggers fire only
 *   if it is on
 */
export const journalSchema = `
CREATE TABLE journal (
  seq INTEGER PRIMARY KEY,
  at_us INTEGER NOT NULL,
  mono_us INTEGER NOT NULL,
  host TEXT NOT NULL,
  writer TEXT NOT NULL,
  who TEXT NOT NULL,
  type TEXT NOT NULL,
  version INTEGER NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body))
) STRICT;
CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END;
CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is never deleted from'); END;
CREATE TRIGGER journal_no_replace BEFORE INSERT ON journal
WHEN EXISTS (SELECT 1 FROM journal WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END;
CREATE TABLE lease (
  name TEXT PRIMARY KEY,
  host TEXT NOT NULL,
  pid INTEGER NOT NULL,
  renewed_at_us INTEGER NOT NULL
) STRICT;
`;
