// What `verify` finds when somebody has changed a table behind the journal's back.
import { spawnSync } from "node:child_process";
import Database from "better-sqlite3";
import { describe, expect, test } from "vitest";
import type { JournalStore } from "../../src/app/needs.ts";
import { keyPassing } from "../../src/app/passing-commands.ts";
import { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile, verifySession } from "../../src/app/verify.ts";
import { UserError } from "../../src/domain/errors.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { handSheet, mono, operator, TestLaptop } from "./a-day.ts";

/** A closed session with four runs in it. */
function riddenFile(): string {
  const file = new TestLaptop().make(handSheet);
  for (let i = 0; i < 4; i += 1) {
    file.append(operator, (session) => keyPassing(session, 0, mono(100 * i)));
    file.append(operator, (session) => keyPassing(session, 1, mono(100 * i + 20 + i)));
    file.append(operator, (session) => keyPassing(session, 2, mono(100 * i + 60 + i)));
  }
  file.close();
  return file.store.file;
}

/** What verify says of the file, opened for reading only as the command does. */
function faultsOf(path: string): readonly string[] {
  const store = SessionStore.open(path, { readOnly: true });
  try {
    return verifyFile(store, new SessionFile(store, new TestLaptop().clock).summary());
  } finally {
    store.close();
  }
}

function change(path: string, sql: string): void {
  const db = new Database(path);
  db.exec(sql);
  db.close();
}

test("an untouched file has no faults", () => {
  expect(faultsOf(riddenFile())).toEqual([]);
});

describe("a change in a table is found and named", () => {
  test.each([
    ["run", "UPDATE run SET time_s = 59.9 WHERE k = 2"],
    ["run", "DELETE FROM run WHERE k = 1"],
    ["run", "INSERT INTO run (run_id, rider, status) VALUES ('77', 'R1', 'ok')"],
    ["run", "UPDATE run SET reason = '' WHERE k = 1"],
    ["sector_time", "UPDATE sector_time SET time_s = time_s + 1e-6 WHERE sector = 1"],
    ["passing", "UPDATE passing SET state = 'rejected'"],
    ["setup", "UPDATE setup SET baseline = 1"],
    ["setup_value", "DELETE FROM setup_value"],
    ["comparison", "DELETE FROM comparison"],
    ["comparison", "UPDATE comparison SET verdict = 'quicker'"],
    ["rating", "INSERT INTO rating VALUES ('5', 'feel', 9)"],
    ["swap", "DROP TABLE swap"],
    ["measure", "ALTER TABLE measure RENAME COLUMN value TO worth"],
  ])("%s: %s", (table, sql) => {
    const path = riddenFile();
    change(path, sql);
    const faults = faultsOf(path);
    expect(faults.length).toBeGreaterThan(0);
    for (const fault of faults) expect(fault).toContain(`table ${table}`);
  });
});

test("opening the file for writing makes the tables true again", () => {
  const path = riddenFile();
  change(path, "UPDATE run SET time_s = 1; DROP TABLE swap; DELETE FROM comparison");
  expect(faultsOf(path)).not.toEqual([]);
  const file = new TestLaptop().open(path);
  expect(verifyFile(file.store, file.summary())).toEqual([]);
});

test("a row of the journal that makes no sense is named as damage", () => {
  const path = riddenFile();
  const script = `
import sqlite3, sys
db = sqlite3.connect(sys.argv[1])
db.execute("DROP TRIGGER journal_no_update")
db.execute("UPDATE journal SET body = '{}' WHERE seq = 8")
db.commit()
`;
  expect(spawnSync("python3", ["-c", script, path], { encoding: "utf8" }).stderr).toBe("");
  let said: unknown;
  try {
    faultsOf(path);
  } catch (error) {
    said = error;
  }
  expect(said).toBeInstanceOf(UserError);
  expect(said).toMatchObject({ code: "damaged" });
  expect(said instanceof UserError ? said.message : "").toContain("journal row 8");
});

test("a file that is being written into is not called damaged for it", () => {
  const laptop = new TestLaptop();
  const written = laptop.make(handSheet);
  const looker = SessionStore.open(written.store.file, { readOnly: true });
  const file = new SessionFile(looker, laptop.clock);
  let writes = 0;
  // Somebody commits each time that the looker has read the journal and is about to read a table.
  const racing: JournalStore = {
    ...bound(looker),
    readTable: (table) => {
      if (writes < 3 && table.name === "run") {
        writes += 1;
        written.append(operator, (s) => keyPassing(s, writes % 2 === 1 ? 0 : 2, mono(61 * writes)));
      }
      return looker.readTable(table);
    },
  };
  expect(verifyFile(racing, file.summary())).not.toEqual([]);
  writes = 0;
  expect(verifySession(new SessionFile(racing, laptop.clock))).toEqual([]);
  expect(writes).toBe(3);
  looker.close();
});

test("a changed table is found in a file that is being written into as well", () => {
  const path = riddenFile();
  const file = new TestLaptop().open(path);
  change(path, "UPDATE run SET time_s = 1 WHERE k = 2 AND rider = 'R1'");
  expect(verifySession(file)).toHaveLength(2);
});

/** The store's methods as plain functions, so that one of them can be watched. */
function bound(store: SessionStore): JournalStore {
  return {
    file: store.file,
    isReadOnly: store.isReadOnly,
    transaction: (work) => store.transaction(work),
    insert: (drafts) => store.insert(drafts),
    readSince: (seq) => store.readSince(seq),
    writeTables: (tables) => {
      store.writeTables(tables);
    },
    readTable: (table) => store.readTable(table),
    hasOldTables: () => store.hasOldTables(),
    dropTables: (names) => {
      store.dropTables(names);
    },
    dataVersion: () => store.dataVersion(),
    takeLease: (mine, atUs) => store.takeLease(mine, atUs),
    leaseHolder: (atUs) => store.leaseHolder(atUs),
    releaseLease: (mine) => {
      store.releaseLease(mine);
    },
    integrityFaults: () => store.integrityFaults(),
    close: () => {
      store.close();
    },
  };
}
