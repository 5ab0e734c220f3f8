// What the user is told about files that are no sessions, damaged, from elsewhere or out of reach.
import { execFileSync, spawnSync } from "node:child_process";
import {
  chmodSync,
  copyFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { expect, onTestFinished, test } from "vitest";
import { UserError } from "../../src/domain/errors.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { inWords } from "../../src/store/sqlite-errors.ts";
import { draft, emptyFolder, note } from "./on-disk.ts";

function fileWith(count: number, folder = emptyFolder()): string {
  const file = join(folder, "day.swaplap");
  const store = SessionStore.create(file);
  const drafts = Array.from({ length: count }, (_, i) =>
    draft(note(`${String(i)} ${"x".repeat(200)}`)),
  );
  store.transaction(() => store.insert(drafts));
  store.close();
  return file;
}

function change(file: string, sql: string): void {
  const db = new Database(file);
  db.exec(sql);
  db.close();
}

/** Opens and reads everything, as every command does; what was thrown. */
function openError(file: string, readOnly = false): unknown {
  let store: SessionStore | null = null;
  try {
    store = SessionStore.open(file, { readOnly });
    store.readSince(0);
    return null;
  } catch (error) {
    return error;
  } finally {
    store?.close();
  }
}

const notSessions: readonly [string, (file: string) => void][] = [
  [
    "text",
    (file) => {
      writeFileSync(file, "setup,time_s\nA,61.2\n");
    },
  ],
  [
    "junk",
    (file) => {
      writeFileSync(file, Buffer.from(Array.from({ length: 9000 }, (_, i) => (i * 7919) % 251)));
    },
  ],
  [
    "an empty file",
    (file) => {
      writeFileSync(file, "");
    },
  ],
  [
    "another program's database",
    (file) => {
      change(file, "CREATE TABLE journal (seq INTEGER PRIMARY KEY)");
    },
  ],
  [
    "another program's database with an id",
    (file) => {
      change(file, "CREATE TABLE t (a); PRAGMA application_id = 77");
    },
  ],
  [
    "a folder",
    (file) => {
      mkdirSync(file);
    },
  ],
];
test.each(notSessions)("%s is not a session and is not touched", (what, make) => {
  const file = join(emptyFolder(), "day.swaplap");
  make(file);
  const before = what === "a folder" ? "" : readFileSync(file).toString("hex");
  for (const readOnly of [true, false]) {
    expect(openError(file, readOnly)).toMatchObject({ code: "not-a-session" });
  }
  if (what !== "a folder") expect(readFileSync(file).toString("hex")).toBe(before);
  expect(readdirSync(join(file, ".."))).toEqual(["day.swaplap"]);
});

test("a file that isn't there", () => {
  expect(openError(join(emptyFolder(), "none"))).toMatchObject({ code: "not-found" });
});

test("a newer file is refused and not touched", () => {
  const file = fileWith(3);
  change(file, "PRAGMA user_version = 99");
  const before = readFileSync(file);
  for (const readOnly of [true, false]) {
    expect(openError(file, readOnly)).toMatchObject({
      code: "newer-version",
      message: expect.stringContaining("file version 99, this program knows 4") as unknown,
    });
  }
  expect(readFileSync(file).equals(before)).toBe(true);
});

test("a row of a newer version is named", () => {
  const file = fileWith(3);
  change(file, `INSERT INTO journal VALUES (4, 1, 1, 'h', 'w', 'w', 'note-added', 2, '{}')`);
  expect(openError(file)).toMatchObject({
    code: "newer-version",
    message: expect.stringContaining("row 4, note-added") as unknown,
  });
});

const badRows: readonly [string, string, string][] = [
  ["an unknown type", "teleported", "{}"],
  ["a body that does not fit its type", "note-added", '{"run":null}'],
  ["a body that is no object", "note-added", "7"],
];
test.each(badRows)("a row with %s is damage, and is named", (_, type, body) => {
  const file = fileWith(3);
  change(file, `INSERT INTO journal VALUES (4, 1, 1, 'h', 'w', 'w', '${type}', 1, '${body}')`);
  expect(openError(file)).toMatchObject({
    code: "damaged",
    message: expect.stringContaining("journal row 4 cannot be read") as unknown,
  });
});

test("a session whose journal is missing is damaged", () => {
  const file = fileWith(1);
  change(file, "DROP TABLE journal");
  expect(openError(file)).toMatchObject({ code: "damaged" });
});

test("a truncated file is damaged", () => {
  const file = fileWith(200);
  truncateSync(file, 20_000);
  expect(openError(file, true)).toMatchObject({ code: "damaged" });
  expect(openError(file, false)).toMatchObject({ code: "damaged" });
});

test("a file with pages overwritten is damaged; the check finds it", () => {
  const file = fileWith(200);
  const bytes = readFileSync(file);
  bytes.fill(0xa5, 5 * 4096, 7 * 4096);
  writeFileSync(file, bytes);
  expect(openError(file)).toMatchObject({ code: "damaged" });
  const store = SessionStore.open(file, { readOnly: true });
  expect(store.integrityFaults().length).toBeGreaterThan(0);
  store.close();
});

test("no more pages: nothing of the append is kept, and it goes on once there is room", () => {
  const file = fileWith(1);
  const store = SessionStore.open(file, { readOnly: false });
  const db = (store as unknown as { db: Database.Database }).db;
  db.pragma("max_page_count = 12");
  const append = (): unknown =>
    store.transaction(() => store.insert([draft(note("x".repeat(900)))]));
  let before = 1;
  expect(() => {
    for (; before < 1000; before += 1) append();
  }).toThrow(expect.objectContaining({ code: "disk-full" }));
  expect(store.readSince(0)).toHaveLength(before);
  db.pragma("max_page_count = 10000");
  append();
  expect(store.readSince(0)).toHaveLength(before + 1);
  expect(store.integrityFaults()).toEqual([]);
  store.close();
});

const mayMount = process.platform === "linux" && process.getuid?.() === 0;
test.skipIf(!mayMount)(
  "a disk that is really full: said so, everything acknowledged is kept",
  ({ skip }) => {
    const folder = emptyFolder();
    if (spawnSync("/bin/mount", ["-t", "tmpfs", "-o", "size=600k", "none", folder]).status !== 0)
      skip();
    onTestFinished(() => {
      execFileSync("/bin/umount", [folder]);
    });
    const file = fileWith(1, folder);
    const store = SessionStore.open(file, { readOnly: false });
    let before = 1;
    expect(() => {
      for (; before < 1000; before += 1) {
        store.transaction(() => store.insert([draft(note("x".repeat(1500)))]));
      }
    }).toThrow(expect.objectContaining({ code: "disk-full" }));
    store.close();
    writeFileSync(join(folder, "filler"), "");
    expect(() => {
      writeFileSync(join(folder, "filler"), Buffer.alloc(700_000));
    }).toThrow();
    // No room for a new one, and nothing of it left behind.
    expect(() => SessionStore.create(join(folder, "new"))).toThrow(
      expect.objectContaining({ code: "disk-full" }),
    );
    expect(readdirSync(folder).filter((name) => name.startsWith("new"))).toEqual([]);
    const again = SessionStore.open(file, { readOnly: false });
    expect(again.readSince(0)).toHaveLength(before);
    again.close();
  },
);

/** Runs a line of program as somebody who is not root: root may write everywhere. */
function asNobody(code: string): string {
  const store = JSON.stringify(join(import.meta.dirname, "../../src/store/session-store.ts"));
  const program = `const { SessionStore } = await import(${store});
    try { ${code}; console.log("no error") } catch (e) { console.log(e.code + ": " + e.message) }`;
  const isRoot = process.getuid?.() === 0;
  const options = isRoot ? { uid: 65534, gid: 65534 } : {};
  const args = ["--import", "tsx", "--input-type=module", "-e", program];
  const scratch = emptyFolder();
  chmodSync(scratch, 0o777);
  const env = { ...process.env, TMPDIR: scratch };
  const run = spawnSync(process.execPath, args, { ...options, env, encoding: "utf8" });
  return run.stdout.trim() || run.stderr;
}

test("a folder that may not be written", () => {
  const file = fileWith(3);
  const folder = join(file, "..");
  chmodSync(file, 0o666);
  chmodSync(folder, 0o555);
  onTestFinished(() => {
    chmodSync(folder, 0o755);
  });
  const name = JSON.stringify(file);
  for (const readOnly of ["true", "false"]) {
    expect(asNobody(`SessionStore.open(${name}, { readOnly: ${readOnly} })`)).toMatch(
      /^no-permission: the folder of .* cannot be written/,
    );
  }
  expect(asNobody(`SessionStore.create(${JSON.stringify(`${file}2`)})`)).toMatch(
    /^no-permission: /,
  );
}, 60_000);

test("a file that may be read but not written is opened for reading only", () => {
  const folder = emptyFolder();
  chmodSync(folder, 0o777);
  const file = fileWith(3, folder);
  chmodSync(file, 0o444);
  const name = JSON.stringify(file);
  const reading = `console.log(SessionStore.open(${name}, { readOnly: true }).readSince(0).length)`;
  expect(asNobody(reading)).toMatch(/^3\b/);
  const writing = `SessionStore.open(${name}, { readOnly: false })`;
  expect(asNobody(writing)).toMatch(/^no-permission: .* cannot be opened or written/);
}, 60_000);

test("a copy taken in the middle of a session, with its log, holds what was acknowledged", () => {
  const file = fileWith(1);
  const store = SessionStore.open(file, { readOnly: false });
  store.transaction(() => store.insert([draft(note("in the log only"))]));
  const copy = join(emptyFolder(), "copy.swaplap");
  copyFileSync(file, copy);
  copyFileSync(`${file}-wal`, `${copy}-wal`);
  store.close();
  const copied = SessionStore.open(copy, { readOnly: false });
  expect(copied.readSince(0)).toHaveLength(2);
  copied.close();
});

test("errors that are not the database's, and bugs, stay what they are", () => {
  const bug = new RangeError("bug");
  expect(inWords(bug, "f")).toBe(bug);
  const known = new UserError("refused", "no", "yes");
  expect(inWords(known, "f")).toBe(known);
  const sql = new Database.SqliteError("no such table: x", "SQLITE_ERROR");
  expect(inWords(sql, "f")).toBe(sql);
});

test.each([
  ["SQLITE_IOERR_READ", "damaged"],
  ["SQLITE_IOERR_SHMSIZE", "disk-full"],
  ["SQLITE_BUSY_SNAPSHOT", "in-use"],
  ["SQLITE_LOCKED", "in-use"],
  ["SQLITE_CANTOPEN", "no-permission"],
  ["SQLITE_CORRUPT_INDEX", "damaged"],
])("%s is told as %s, with the original as its cause", (code, told) => {
  const error = new Database.SqliteError("words of the library", code);
  expect(inWords(error, "day.swaplap")).toMatchObject({ code: told, cause: error });
  expect((inWords(error, "day.swaplap") as Error).message).toContain("day.swaplap");
});
