// The open session: the journal on disk and its fold and summary in memory, kept in step. Recorder
// and operator append through it; console and board read its summary.
import { UserError } from "../domain/errors.ts";
import type { HostUs } from "../domain/time.ts";
import type { Content } from "../journal/content.ts";
import type { Draft, Entry } from "../journal/entry.ts";
import { ENTRY_VERSION, parseContent } from "../journal/entry.ts";
import { emptyFold, extendFold, type Fold, sessionOf } from "../session/fold.ts";
import type { Session } from "../session/session.ts";
import { type Summary, summarise } from "../summary/summary.ts";
import { derivedTables } from "../summary/tables.ts";
import type { AppClock, JournalStore, Scheduler } from "./needs.ts";

/** Who writes: a person or a box, and the process that holds the pen. */
export interface Author {
  readonly who: string;
  readonly writer: string;
}

/** What to append; `monoUs` if it happened before now (a line that waited in a buffer). */
export type Fresh = Content & { readonly monoUs?: HostUs };

export class SessionFile {
  readonly store: JournalStore;
  readonly clock: AppClock;
  private fold: Fold;
  private shown: Summary | null = null;
  private version: number;
  private readonly listeners = new Set<() => void>();

  /**
   * Reads the whole journal and, in a file opened for writing, makes the derived tables true.
   *
   * @throws {UserError} if the journal cannot be read
   */
  constructor(store: JournalStore, clock: AppClock) {
    this.store = store;
    this.clock = clock;
    this.version = store.dataVersion();
    this.fold = extendFold(emptyFold(), store.readSince(0));
    if (!store.isReadOnly && this.fold.lastSeq > 0) this.mendTables();
  }

  session(): Session {
    return sessionOf(this.fold);
  }

  /** For what needs more than the session: the recorder at its start. */
  folded(): Fold {
    return this.fold;
  }

  /** @throws {UserError} if the file does not say what the session is */
  summary(): Summary {
    const session = this.session();
    if (this.shown?.lastSeq === session.lastSeq) return this.shown;
    if (session.settings === null) {
      throw new UserError(
        "not-a-session",
        `${this.store.file} holds no session yet`,
        "make one with `swaplap new SHEET.toml FILE`",
      );
    }
    this.shown = summarise(session, this.shown ?? undefined);
    return this.shown;
  }

  /** Instant of session time that an instant of this laptop's monotonic clock is. */
  sessionUs(mono: HostUs): number {
    const anchorUs =
      this.session().anchorsUs[this.clock.host] ?? this.clock.atUs() - this.clock.monoUs();
    return mono + anchorUs;
  }

  /**
   * Decides on the newest state and appends: rows, derived tables and commit are one transaction.
   *
   * @param decide - given the session with everybody's rows in it; throws a UserError to refuse
   * @returns the entries, on disk; empty if there was nothing to say
   * @throws {UserError} if it was refused or could not be written; then nothing was
   */
  append(author: Author, decide: (session: Session) => readonly Fresh[]): readonly Entry[] {
    const before = this.fold;
    const { fold, entries, shown, version } = this.store.transaction(() => {
      // Nobody else can commit in here: what this version says has been read.
      const version = this.store.dataVersion();
      const current = extendFold(before, this.store.readSince(before.lastSeq));
      const drafts = decide(sessionOf(current)).map((fresh) => this.stamped(author, fresh));
      if (drafts.length === 0) return { fold: current, entries: [], shown: this.shown, version };
      const seqs = this.store.insert(drafts);
      const written = drafts.flatMap((draft, i) => {
        const seq = seqs[i];
        return seq === undefined ? [] : [{ ...draft, seq, version: ENTRY_VERSION }];
      });
      const next = extendFold(current, written);
      const session = sessionOf(next);
      const summary =
        session.settings === null ? null : summarise(session, this.shown ?? undefined);
      if (summary !== null) this.store.writeTables(derivedTables(summary));
      return { fold: next, entries: written, shown: summary, version };
    });
    this.fold = fold;
    this.shown = shown;
    this.version = version;
    if (entries.length > 0 || fold !== before) this.notify();
    return entries;
  }

  /** Reads what others have written since. @returns true if there was anything */
  refresh(): boolean {
    const version = this.store.dataVersion();
    if (version === this.version) return false;
    const entries = this.store.readSince(this.fold.lastSeq);
    this.version = version;
    if (entries.length === 0) return false;
    this.fold = extendFold(this.fold, entries);
    this.notify();
    return true;
  }

  /**
   * Follows the file.
   *
   * @param failed - told when it cannot be read; it is tried again. Without it the failure is thrown
   *   in the timer
   * @returns a function that stops it
   */
  follow(scheduler: Scheduler, everyMs: number, failed?: (error: UserError) => void): () => void {
    return scheduler.every(everyMs, () => {
      try {
        this.refresh();
      } catch (error) {
        if (failed === undefined || !(error instanceof UserError)) throw error;
        failed(error);
      }
    });
  }

  /** @returns a function that ends it */
  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
    };
  }

  close(): void {
    this.listeners.clear();
    this.store.close();
  }

  private stamped(author: Author, fresh: Fresh): Draft {
    const nowUs = this.clock.monoUs();
    const { monoUs = nowUs, ...content } = fresh;
    requireReadable(content);
    return {
      ...content,
      atUs: this.clock.atUs() - (nowUs - monoUs),
      monoUs,
      host: this.clock.host,
      ...author,
    };
  }

  private mendTables(): void {
    this.store.transaction(() => {
      this.fold = extendFold(this.fold, this.store.readSince(this.fold.lastSeq));
      const tables = derivedTables(this.summary());
      if (this.store.hasOldTables()) this.store.dropTables(tables.map((table) => table.name));
      this.store.writeTables(tables);
    });
  }

  private notify(): void {
    for (const listener of this.listeners) listener();
  }
}

/** What could not be read again would make the whole file unreadable: it is refused before it is there. */
function requireReadable({ type, body }: Content): void {
  const read = parseContent(type, ENTRY_VERSION, body);
  if (read.ok) return;
  const why = read.error.replaceAll(/\s+/g, " ");
  throw new UserError(
    "bad-input",
    `this cannot be written down (${why})`,
    "shorten or correct it; nothing was written",
  );
}
