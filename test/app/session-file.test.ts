// The open session: what is appended is on disk with its tables, others' rows come in between, and
// nothing that cannot be read again is ever written.
import { spawnSync } from "node:child_process";
import Database from "better-sqlite3";
import { expect, test } from "vitest";
import { keyPassing } from "../../src/app/passing-commands.ts";
import { markRun } from "../../src/app/run-commands.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { UserError } from "../../src/domain/errors.ts";
import { Day, handSheet, mono, newSessionFile, OPERATOR } from "./a-recorded-day.ts";

function codeOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof UserError) return error.code;
    throw error;
  }
  return "done";
}

/** One run from 10 s on, keyed by hand. */
function rideByHand(day: Day, startS: number, timeS: number): void {
  day.file.append(OPERATOR, (session) => keyPassing(session, 0, mono(startS)));
  day.file.append(OPERATOR, (session) => keyPassing(session, 2, mono(startS + timeS)));
}

test("what two processes append is one journal, and both see all of it decided on", () => {
  const path = newSessionFile(handSheet);
  const one = new Day(path);
  const two = new Day(path);
  rideByHand(one, 10, 60);
  // `two` has not looked: its command is decided on the newest rows all the same.
  const [runId = ""] = one.file.session().runs.map((run) => run.runId);
  two.file.append(OPERATOR, (session) => {
    expect(session.runs.map((run) => run.runId)).toEqual([runId]);
    return markRun(session, runId, "void", "walker");
  });
  expect(one.file.refresh()).toBe(true);
  expect(one.file.session()).toEqual(two.file.session());
  expect(one.file.session().runs[0]?.status).toBe("void");
  expect(one.file.refresh()).toBe(false);
  rideByHand(one, 200, 61);
  two.file.refresh();
  expect(verifyFile(two.store, two.file.summary())).toEqual([]);
  const seqs = one.store.readSince(0).map((entry) => entry.seq);
  expect(seqs).toEqual(seqs.map((_, i) => i + 1));
});

test("tables are true when two processes write by turns, each knowing only its own last tables", () => {
  const path = newSessionFile(handSheet);
  const days = [new Day(path), new Day(path)];
  for (let i = 0; i < 8; i += 1) {
    const day = days[i % 2];
    if (day === undefined) throw new RangeError("two days");
    rideByHand(day, 100 * i + 10, 60 + i);
    if (i % 3 === 2) {
      day.file.append(OPERATOR, (session) =>
        markRun(session, session.runs.at(-1)?.runId ?? "", "void", "mud"),
      );
    }
  }
  const third = new Day(path);
  const db = new Database(path, { readonly: true });
  const rows = db.prepare("SELECT count(*) AS n FROM run WHERE status = 'void'").get();
  db.close();
  expect(rows).toEqual({ n: 2 });
  expect(verifyFile(third.store, third.file.summary())).toEqual([]);
});

test("a refused command writes nothing, and the rows of others still come in afterwards", () => {
  const path = newSessionFile(handSheet);
  const one = new Day(path);
  const two = new Day(path);
  rideByHand(one, 10, 60);
  const before = one.store.readSince(0).length;
  const code = codeOf(() => two.file.append(OPERATOR, (s) => markRun(s, "9999", "void", "?")));
  expect(code).toBe("refused");
  expect(one.store.readSince(0)).toHaveLength(before);
  expect(two.file.refresh()).toBe(true);
  expect(two.file.session()).toEqual(one.file.session());
});

test("what could not be read again is not written: the file stays sound", () => {
  const day = new Day(newSessionFile(handSheet));
  const before = day.store.readSince(0).length;
  const tooLong = { type: "note-added", body: { run: null, note: "x".repeat(2001) } } as const;
  const noNumber = { type: "settings-changed", body: { marginS: Number.NaN } } as const;
  const between = {
    type: "passing-keyed",
    body: { gate: 0, keyedMonoUs: 1.5, typedAtUs: null, rider: null, uncertaintyS: 0.2 },
  } as const;
  for (const content of [tooLong, noNumber, between]) {
    expect(codeOf(() => day.file.append(OPERATOR, () => [content]))).toBe("bad-input");
  }
  expect(day.store.readSince(0)).toHaveLength(before);
  expect(() => new Day(day.path)).not.toThrow();
});

test("a listener hears of each change once, also of those of others", () => {
  const path = newSessionFile(handSheet);
  const one = new Day(path);
  const two = new Day(path);
  let heard = 0;
  const end = one.file.subscribe(() => {
    heard += 1;
  });
  one.file.append(OPERATOR, (session) => keyPassing(session, 0, mono(1)));
  expect(heard).toBe(1);
  one.file.append(OPERATOR, () => []);
  expect(heard).toBe(1);
  two.file.append(OPERATOR, (session) => keyPassing(session, 2, mono(70)));
  const unfollow = one.file.follow(one.time, 200);
  one.pass(1);
  expect(heard).toBe(2);
  unfollow();
  end();
  two.file.append(OPERATOR, (session) => keyPassing(session, 0, mono(100)));
  one.pass(1);
  expect(heard).toBe(2);
});

test("tables of an older shape are made anew from the journal on opening", () => {
  const day = new Day(newSessionFile(handSheet));
  rideByHand(day, 10, 60);
  day.store.close();
  const db = new Database(day.path);
  db.exec("DROP TABLE run; CREATE TABLE run (old TEXT); INSERT INTO run VALUES ('x')");
  db.exec("UPDATE setup SET name = 'changed by another tool'");
  db.pragma("user_version = 0");
  db.close();
  const again = new Day(day.path);
  expect(verifyFile(again.store, again.file.summary())).toEqual([]);
  expect(again.store.hasOldTables()).toBe(false);
});

test("a program that knows nothing of ours reads the tables", () => {
  const day = new Day(newSessionFile(handSheet));
  rideByHand(day, 10, 60);
  const script =
    "import sqlite3, sys; print(sqlite3.connect(sys.argv[1]).execute('SELECT rider, k, time_s, status, timed_by FROM run').fetchall())";
  const read = spawnSync("python3", ["-c", script, day.path], { encoding: "utf8" });
  expect(read.stderr).toBe("");
  expect(read.stdout.trim()).toBe("[('R1', 1, 60.0, 'ok', 'hand')]");
});
