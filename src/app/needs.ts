// What the app needs of the world outside, stated as interfaces: store, source and clock fit by shape.
import type { Row, Table } from "../domain/table.ts";
import type { HostUs } from "../domain/time.ts";
import type { Draft, Entry } from "../journal/entry.ts";

/** The laptop's clocks; in practice an invented laptop's. */
export interface AppClock {
  /** Wall clock, microseconds since 1970 UTC. */
  atUs(): number;
  /** Monotonic clock, comparable within one `host`. */
  monoUs(): HostUs;
  /** One boot of one laptop. */
  readonly host: string;
}

export interface Scheduler {
  /** @returns a function that stops it */
  every(ms: number, job: () => void): () => void;
  after(ms: number, job: () => void): () => void;
}

export interface Holder {
  readonly host: string;
  readonly pid: number;
}

/** One session file; what `transaction` returned from is on the disk. */
export interface JournalStore {
  readonly file: string;
  readonly isReadOnly: boolean;
  transaction<T>(work: () => T): T;
  insert(drafts: readonly Draft[]): readonly number[];
  readSince(seq: number): readonly Entry[];
  writeTables(tables: readonly Table[]): void;
  readTable(table: Table): readonly Row[] | null;
  hasOldTables(): boolean;
  dropTables(names: readonly string[]): void;
  dataVersion(): number;
  takeLease(mine: Holder, atUs: number): Holder | null;
  leaseHolder(atUs: number): Holder | null;
  releaseLease(mine: Holder): void;
  integrityFaults(): readonly string[];
  close(): void;
}

export interface ByteSourceEvents {
  bytes(bytes: Uint8Array, at: HostUs): void;
  opened(): void;
  lost(reason: string, hint: string): void;
}

/** Bytes both ways: a serial port, a recording, the practice hill. */
export interface ByteSource {
  readonly name: string;
  open(on: ByteSourceEvents): void;
  write(bytes: Uint8Array): void;
  close(): Promise<void>;
}
