// The tables that the store itself owns: the append-only journal and the recorder's lease.

/** "SwLp" as a number: tells a session file from every other SQLite database. */
export const APPLICATION_ID = 0x53774c70;
/** Version of the derived tables; the journal's entries carry their own. */
export const SCHEMA_VERSION = 1;

/**
 * The journal only grows. The triggers refuse what would change it; `recursive_triggers` lets them
 * see the delete hidden in INSERT OR REPLACE.
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
  body TEXT NOT NULL
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
