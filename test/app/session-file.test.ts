// The open session: what is appended is on disk with its tables, others' rows come in between, and
// nothing that cannot be read again is ever written.
import { spawnSync } from "node:child_process";
import Database from "better-sqlite3";
import { expect, test } from "vitest";
import { keyPassing } from "../../src/app/passing-commands.ts";
import { markRun } from "../../src/app/run-commands.ts";
import type { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { UserError } from "../../src/domain/errors.ts";
import { handSheet, mono, operator, TestLaptop } from "./a-day.ts";

function codeOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof UserError) return error.code;
    throw error;
  }
  return "done";
}

/** Two processes of one laptop with the same file open. */
function aDayOfTwo() {
  const laptop = new TestLaptop();
  const one = laptop.make(handSheet);
  const path = one.store.file;
  return { laptop, path, one, two: laptop.open(path) };
}

/** One run, keyed by hand. */
function rideByHand(file: SessionFile, startS: number, timeS: number): void {
  file.append(operator, (session) => keyPassing(session, 0, mono(startS)));
  file.append(operator, (session) => keyPassing(session, 2, mono(startS + timeS)));
}

test("what two processes append is one journal, and both see all of it decided on", () => {
  const { one, two } = aDayOfTwo();
  rideByHand(one, 10, 60);
  // `two` has not looked: its command is decided on the newest rows all the same.
  const [runId = ""] = one.session().runs.map((run) => run.runId);
  two.append(operator, (session) => {
    expect(session.runs.map((run) => run.runId)).toEqual([runId]);
    return markRun(session, runId, "void", "walker");
  });
  expect(one.refresh()).toBe(true);
  expect(one.session()).toEqual(two.session());
  expect(one.session().runs[0]?.status).toBe("void");
  expect(one.refresh()).toBe(false);
  rideByHand(one, 200, 61);
  two.refresh();
  expect(verifyFile(two.store, two.summary())).toEqual([]);
  const seqs = one.store.readSince(0).map((entry) => entry.seq);
  expect(seqs).toEqual(seqs.map((_, i) => i + 1));
});

test("tables are true when two processes write by turns, each knowing only its own last tables", () => {
  const { laptop, path, one, two } = aDayOfTwo();
  for (let i = 0; i < 8; i += 1) {
    const file = i % 2 === 0 ? one : two;
    rideByHand(file, 100 * i + 10, 60 + i);
    if (i % 3 === 2) {
      file.append(operator, (session) =>
        markRun(session, session.runs.at(-1)?.runId ?? "", "void", "mud"),
      );
    }
  }
  const third = laptop.open(path);
  const db = new Database(path, { readonly: true });
  const rows = db.prepare("SELECT count(*) AS n FROM run WHERE status = 'void'").get();
  db.close();
  expect(rows).toEqual({ n: 2 });
  expect(verifyFile(third.store, third.summary())).toEqual([]);
});

test("a refused command writes nothing, and the rows of others still come in afterwards", () => {
  const { one, two } = aDayOfTwo();
  rideByHand(one, 10, 60);
  const before = one.store.readSince(0).length;
  const code = codeOf(() => two.append(operator, (s) => markRun(s, "9999", "void", "?")));
  expect(code).toBe("refused");
  expect(one.store.readSince(0)).toHaveLength(before);
  expect(two.refresh()).toBe(true);
  expect(two.session()).toEqual(one.session());
});

test("what could not be read again is not written: the file stays sound", () => {
  const { laptop, path, one } = aDayOfTwo();
  const before = one.store.readSince(0).length;
  const tooLong = { type: "note-added", body: { run: null, note: "x".repeat(2001) } } as const;
  const noNumber = { type: "settings-changed", body: { marginS: Number.NaN } } as const;
  const between = {
    type: "passing-keyed",
    body: { gate: 0, keyedMonoUs: 1.5, typedAtUs: null, rider: null, uncertaintyS: 0.2 },
  } as const;
  for (const content of [tooLong, noNumber, between]) {
    expect(codeOf(() => one.append(operator, () => [content]))).toBe("bad-input");
  }
  expect(one.store.readSince(0)).toHaveLength(before);
  expect(() => laptop.open(path)).not.toThrow();
});

test("a listener hears of each change once, also of those of others", () => {
  const { laptop, one, two } = aDayOfTwo();
  let heard = 0;
  const end = one.subscribe(() => {
    heard += 1;
  });
  one.append(operator, (session) => keyPassing(session, 0, mono(1)));
  expect(heard).toBe(1);
  one.append(operator, () => []);
  expect(heard).toBe(1);
  two.append(operator, (session) => keyPassing(session, 2, mono(70)));
  const unfollow = one.follow(laptop.time, 200);
  laptop.pass(1);
  expect(heard).toBe(2);
  unfollow();
  end();
  two.append(operator, (session) => keyPassing(session, 0, mono(100)));
  laptop.pass(1);
  expect(heard).toBe(2);
});

test("tables of an older shape are made anew from the journal on opening", () => {
  const laptop = new TestLaptop();
  const file = laptop.make(handSheet);
  const path = file.store.file;
  rideByHand(file, 10, 60);
  file.close();
  const db = new Database(path);
  db.exec("DROP TABLE run; CREATE TABLE run (old TEXT); INSERT INTO run VALUES ('x')");
  db.exec("UPDATE setup SET name = 'changed by another tool'");
  db.pragma("user_version = 0");
  db.close();
  const again = laptop.open(path);
  expect(verifyFile(again.store, again.summary())).toEqual([]);
  expect(again.store.hasOldTables()).toBe(false);
});

test("a program that knows nothing of ours reads the tables", () => {
  const file = new TestLaptop().make(handSheet);
  rideByHand(file, 10, 60);
  const script =
    "import sqlite3, sys; print(sqlite3.connect(sys.argv[1]).execute('SELECT rider, k, time_s, status, timed_by FROM run').fetchall())";
  const read = spawnSync("python3", ["-c", script, file.store.file], { encoding: "utf8" });
  expect(read.stderr).toBe("");
  expect(read.stdout.trim()).toBe("[('R1', 1, 60.0, 'ok', 'hand')]");
});
