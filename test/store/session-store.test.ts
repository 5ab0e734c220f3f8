// A session file on a real disk: what it keeps, what it refuses, what a kill leaves behind.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import Database from "better-sqlite3";
import { expect, test } from "vitest";
import type { Table } from "../../src/domain/table.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { draft, emptyFolder, note } from "./on-disk.ts";

function newFile(): string {
  return join(emptyFolder(), "day.swaplap");
}

/** A new session with these notes in it, closed again. */
function fileWith(...notes: readonly string[]): string {
  const file = newFile();
  const store = SessionStore.create(file);
  store.transaction(() => store.insert(notes.map((text) => draft(note(text)))));
  store.close();
  return file;
}

/** What the notes in the file say, read by a program that knows nothing of ours. */
function notesIn(file: string): readonly unknown[] {
  const db = new Database(file, { readonly: true });
  const rows = db.prepare<[], { body: string }>("SELECT body FROM journal ORDER BY seq").all();
  db.close();
  return rows.map((row) => (JSON.parse(row.body) as { note: unknown }).note);
}

test("rows come back as they were appended, numbered from 1", () => {
  const file = newFile();
  const store = SessionStore.create(file);
  const one = draft(note("one \u0000 \u001b[31m =1+1 'quote\" é"), 12.345678);
  const two = draft({ type: "setup-corrected", body: { run: "7", setup: "B" } });
  expect(store.transaction(() => store.insert([one, two]))).toEqual([1, 2]);
  expect(store.readSince(0)).toEqual([
    { ...one, seq: 1, version: 1 },
    { ...two, seq: 2, version: 1 },
  ]);
  expect(store.readSince(1).map((entry) => entry.seq)).toEqual([2]);
  store.close();
});

test("the file says what it is: application id, version, write-ahead log, synchronous FULL", () => {
  const file = fileWith("a");
  const db = new Database(file);
  expect(db.pragma("application_id", { simple: true })).toBe(0x53774c70);
  expect(db.pragma("user_version", { simple: true })).toBe(4);
  expect(db.pragma("journal_mode", { simple: true })).toBe("wal");
  const journal = db
    .prepare<[], { name: string; strict: number }>("SELECT name, strict FROM pragma_table_list")
    .all()
    .find((table) => table.name === "journal");
  expect(journal?.strict).toBe(1);
  const columns = db
    .prepare<[], { name: string }>("SELECT name FROM pragma_table_info('journal')")
    .all();
  expect(columns.map((column) => column.name)).toEqual(
    "seq at_us mono_us host writer who type version body".split(" "),
  );
  db.close();
  // synchronous is a setting of the connection: seen from inside it.
  const store = SessionStore.open(file, { readOnly: false });
  const inside = (store as unknown as { db: Database.Database }).db;
  expect(inside.pragma("synchronous", { simple: true })).toBe(2);
  store.close();
});

test("once closed, the file alone holds everything", () => {
  const file = fileWith("a", "b");
  expect(readdirSync(join(file, ".."))).toEqual(["day.swaplap"]);
  expect(notesIn(file)).toEqual(["a", "b"]);
});

test("a file closed while a board looks on can be copied alone", () => {
  const file = fileWith();
  const board = SessionStore.open(file, { readOnly: true });
  const store = SessionStore.open(file, { readOnly: false });
  store.transaction(() => store.insert([draft(note("a"))]));
  store.close();
  const copy = new Database(file, { readonly: true }).serialize();
  copy.writeUInt16BE(0x0101, 18); // without its write-ahead log, as a copy of the one file is
  const alone = new Database(copy);
  expect(alone.prepare("SELECT count(*) AS n FROM journal").get()).toEqual({ n: 1 });
  alone.close();
  board.close();
});

test("nothing is overwritten", () => {
  const file = fileWith("kept");
  expect(() => SessionStore.create(file)).toThrow(
    expect.objectContaining({ code: "exists", message: `${file} exists already` }),
  );
  expect(notesIn(file)).toEqual(["kept"]);
});

const changes: readonly [string, string][] = [
  ["update", "UPDATE journal SET who = 'somebody' WHERE seq = 1"],
  ["delete", "DELETE FROM journal WHERE seq = 1"],
  ["delete of all", "DELETE FROM journal"],
  ["replace", "INSERT OR REPLACE INTO journal SELECT * FROM journal WHERE seq = 1"],
  ["replace by REPLACE", "REPLACE INTO journal SELECT * FROM journal WHERE seq = 1"],
  ["update or replace", "UPDATE OR REPLACE journal SET seq = 2 WHERE seq = 1"],
  [
    "upsert",
    "INSERT INTO journal SELECT * FROM journal WHERE seq = 1 ON CONFLICT (seq) DO UPDATE SET who = 'x'",
  ],
  ["text that is no JSON", "INSERT INTO journal VALUES (9, 1, 1, 'h', 'w', 'w', 't', 1, '{')"],
  [
    "a time that is no number",
    "INSERT INTO journal VALUES (9, 'x', 1, 'h', 'w', 'w', 't', 1, '{}')",
  ],
];
test.each(changes)("the journal refuses, from any program: %s", (_, sql) => {
  const file = fileWith("one", "two");
  const db = new Database(file);
  db.pragma("recursive_triggers = OFF"); // as other tools have it
  expect(() => db.exec(sql)).toThrow();
  db.close();
  expect(notesIn(file)).toEqual(["one", "two"]);
});

test("what a transaction wrote is gone when it throws", () => {
  const file = newFile();
  const store = SessionStore.create(file);
  expect(() =>
    store.transaction(() => {
      store.insert([draft(note("never"))]);
      throw new RangeError("stop");
    }),
  ).toThrow("stop");
  expect(store.readSince(0)).toEqual([]);
  store.close();
});

test("another connection's commit changes the data version, one's own does not", () => {
  const file = fileWith("a");
  const board = SessionStore.open(file, { readOnly: true });
  const store = SessionStore.open(file, { readOnly: false });
  const [boardBefore, ownBefore] = [board.dataVersion(), store.dataVersion()];
  store.transaction(() => store.insert([draft(note("b"))]));
  expect(board.dataVersion()).not.toBe(boardBefore);
  expect(store.dataVersion()).toBe(ownBefore);
  expect(board.readSince(1).map((entry) => entry.seq)).toEqual([2]);
  board.close();
  store.close();
});

test("SIGKILL in the middle of appends loses nothing that was acknowledged", async () => {
  const script = fileURLToPath(import.meta.resolve("./append-notes.ts"));
  const file = fileWith();
  let acknowledged = 0;
  for (const killAfter of [3, 17, 40]) {
    const child = spawn(process.execPath, ["--import", "tsx", script, file], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    let lines = 0;
    for await (const line of createInterface({ input: child.stdout })) {
      acknowledged = Number(line.split(" ").at(-1));
      lines += 1;
      if (lines === killAfter) child.kill("SIGKILL");
    }
    if (child.exitCode === null && child.signalCode === null) await once(child, "exit");
    expect(child.signalCode).toBe("SIGKILL");
    expect(lines).toBeGreaterThanOrEqual(killAfter);
    const store = SessionStore.open(file, { readOnly: false });
    const entries = store.readSince(0);
    expect(entries.map((entry) => entry.seq)).toEqual(entries.map((_, i) => i + 1));
    expect(entries.length).toBeGreaterThanOrEqual(acknowledged);
    expect(entries.length % 2).toBe(0); // no half transaction
    expect(store.integrityFaults()).toEqual([]);
    store.close();
  }
});

test("two programs append in turn; their rows have one order", () => {
  const file = fileWith();
  const [a, b] = [
    SessionStore.open(file, { readOnly: false }),
    SessionStore.open(file, { readOnly: false }),
  ];
  for (let i = 0; i < 5; i += 1) {
    a.transaction(() => a.insert([draft(note(`a${String(i)}`))]));
    b.transaction(() => b.insert([draft(note(`b${String(i)}`))]));
  }
  a.close();
  b.close();
  expect(notesIn(file)).toEqual(["a0", "b0", "a1", "b1", "a2", "b2", "a3", "b3", "a4", "b4"]);
});

test("while another program holds the file, an append says so and changes nothing", () => {
  const file = fileWith("a");
  const other = new Database(file);
  other.exec("BEGIN IMMEDIATE");
  const store = SessionStore.open(file, { readOnly: false });
  (store as unknown as { db: Database.Database }).db.pragma("busy_timeout = 20");
  const append = (): unknown => store.transaction(() => store.insert([draft(note("b"))]));
  expect(append).toThrow(expect.objectContaining({ code: "in-use" }));
  other.exec("COMMIT");
  other.close();
  append();
  store.close();
  expect(notesIn(file)).toEqual(["a", "b"]);
});

const columns = [
  { name: "run_id", type: "TEXT" },
  { name: "k", type: "INTEGER" },
  { name: "time_s", type: "REAL" },
] as const;
function runs(...rows: readonly (readonly [string, number | null, number | null])[]): Table {
  const named = rows.map(([run_id, k, time_s]) => ({ run_id, k, time_s }));
  return { name: "run", key: ["run_id"], columns, rows: named };
}

test("derived tables hold exactly what was handed in, and only changed rows are written", () => {
  const file = fileWith();
  const store = SessionStore.open(file, { readOnly: false });
  const db = (store as unknown as { db: Database.Database }).db;
  const write = (table: Table): number => {
    const before = db.prepare<[], { n: number }>("SELECT total_changes() AS n").get()?.n ?? 0;
    store.transaction(() => {
      store.writeTables([table]);
    });
    return (db.prepare<[], { n: number }>("SELECT total_changes() AS n").get()?.n ?? 0) - before;
  };
  const first = runs(["1", 1, 61.25], ["5", 2, null], ["9", null, 60]);
  write(first);
  expect(store.readTable(first)).toEqual(first.rows);
  expect(write(runs(["1", 1, 61.25], ["5", 2, null], ["9", null, 60]))).toBe(0);
  const second = runs(["1", 1, 61.25], ["9", 3, 60]);
  expect(write(second)).toBe(2); // one removed, one put
  expect(store.readTable(second)).toEqual(second.rows);
  store.close();
});

test("a derived table that somebody changed is put right at the next write", () => {
  const file = fileWith();
  const store = SessionStore.open(file, { readOnly: false });
  const table = runs(["1", 1, 61.25], ["5", 2, 60]);
  const write = (): void => {
    store.transaction(() => {
      store.writeTables([{ ...table, rows: [...table.rows] }]);
    });
  };
  write();
  const other = new Database(file);
  other.exec("UPDATE run SET time_s = 1 WHERE run_id = '1'; DELETE FROM run WHERE run_id = '5'");
  write();
  expect(store.readTable(table)).toEqual(table.rows);
  other.exec("DROP TABLE run");
  expect(store.readTable(table)).toBeNull();
  write();
  expect(store.readTable(table)).toEqual(table.rows);
  other.close();
  store.close();
});

test("after a transaction that failed, the tables are still compared with what is on disk", () => {
  const file = fileWith();
  const store = SessionStore.open(file, { readOnly: false });
  const table = runs(["1", 1, 61.25]);
  expect(() =>
    store.transaction(() => {
      store.writeTables([table]);
      throw new RangeError("stop");
    }),
  ).toThrow("stop");
  store.transaction(() => {
    store.writeTables([table]);
  });
  expect(store.readTable(table)).toEqual(table.rows);
  store.close();
});

test("derived tables of an older version are dropped and rebuilt, the journal stays", () => {
  const file = fileWith("kept");
  const old = new Database(file);
  old.exec(
    "CREATE TABLE run (run_id TEXT PRIMARY KEY, seconds REAL); INSERT INTO run VALUES ('1', 2)",
  );
  old.pragma("user_version = 0");
  old.close();
  const store = SessionStore.open(file, { readOnly: false });
  expect(store.hasOldTables()).toBe(true);
  const table = runs(["1", 1, 61.25]);
  store.transaction(() => {
    store.dropTables(["run"]);
    store.writeTables([table]);
  });
  expect(store.hasOldTables()).toBe(false);
  expect(store.readTable(table)).toEqual(table.rows);
  store.close();
  expect(notesIn(file)).toEqual(["kept"]);
});

test("a derived table with other columns is made afresh", () => {
  const file = fileWith();
  const old = new Database(file);
  old.exec(
    "CREATE TABLE run (run_id TEXT PRIMARY KEY, seconds REAL); INSERT INTO run VALUES ('1', 2)",
  );
  old.close();
  const store = SessionStore.open(file, { readOnly: false });
  const table = runs(["1", 1, 61.25]);
  expect(store.readTable(table)).toBeNull();
  store.transaction(() => {
    store.writeTables([table]);
  });
  expect(store.readTable(table)).toEqual(table.rows);
  store.close();
});

test("a lease is one recorder's until it is given back or stale", () => {
  const file = fileWith();
  const [a, b] = [
    SessionStore.open(file, { readOnly: false }),
    SessionStore.open(file, { readOnly: false }),
  ];
  // On different hosts, so that nobody can look whether the other lives.
  const [one, two] = [
    { host: "laptop-1", pid: 11 },
    { host: "laptop-2", pid: 22 },
  ];
  expect(a.leaseHolder(0)).toBeNull();
  expect(a.takeLease(one, 1_000_000)).toBeNull();
  expect(b.takeLease(two, 2_000_000)).toEqual(one);
  expect(a.takeLease(one, 5_900_000)).toBeNull(); // renewed
  expect(b.takeLease(two, 10_800_000)).toEqual(one);
  expect(b.takeLease(two, 11_000_000)).toBeNull(); // 5.1 s after the last renewal
  expect(a.takeLease(one, 11_000_000)).toEqual(two);
  a.releaseLease(one); // not its own: nothing happens
  expect(a.leaseHolder(11_000_000)).toEqual(two);
  b.releaseLease(two);
  expect(a.leaseHolder(11_000_000)).toBeNull();
  // A clock that was set back by an hour keeps nobody out for an hour.
  expect(a.takeLease(one, 3_700_000_000)).toBeNull();
  expect(b.takeLease(two, 100_000_000)).toBeNull();
  expect(a.readSince(0)).toEqual([]); // nothing of it is in the journal
  a.close();
  b.close();
});

test("the lease of a process that is gone is taken at once, that of a living one is not", async () => {
  const file = fileWith();
  const store = SessionStore.open(file, { readOnly: false });
  const child = spawn(process.execPath, ["-e", "setInterval(() => {}, 1000)"]);
  await once(child, "spawn");
  const theirs = { host: "laptop-1", pid: child.pid ?? 0 };
  const mine = { host: "laptop-1", pid: process.pid };
  store.takeLease(theirs, 1_000_000);
  expect(store.takeLease(mine, 1_500_000)).toEqual(theirs);
  child.kill("SIGKILL");
  await once(child, "exit");
  expect(store.takeLease(mine, 1_600_000)).toBeNull();
  store.close();
});

test("a new file that cannot be made leaves nothing behind", () => {
  const folder = emptyFolder();
  const file = join(folder, "missing", "day.swaplap");
  expect(() => SessionStore.create(file)).toThrow(
    expect.objectContaining({
      code: "not-found",
      message: `the folder of ${file} does not exist`,
      hint: "make the folder first, or name another file",
    }),
  );
  expect(existsSync(join(folder, "missing"))).toBe(false);
  expect(statSync(folder).isDirectory()).toBe(true);
});
