// The invented day timed by the keys: operator's commands on a real file, one after the other.
import { expect } from "vitest";
import { keyPassing } from "../../src/app/passing-commands.ts";
import type { Fresh, SessionFile } from "../../src/app/session-file.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { Run } from "../../src/domain/run.ts";
import type { Sheet } from "../../src/domain/session.ts";
import type { Session } from "../../src/session/session.ts";
import { handSheet, operator, TestLaptop } from "./a-day.ts";

/** An operator's command. */
export type Decide = (session: Session) => readonly Fresh[];

/** A day timed by hand, with one process at the keys. */
export class HandDay {
  readonly laptop: TestLaptop;
  readonly file: SessionFile;

  constructor(of: Sheet = handSheet, laptop = new TestLaptop()) {
    this.laptop = laptop;
    this.file = laptop.make(of);
    this.laptop.pass(60);
  }

  get session(): Session {
    return this.file.session();
  }

  do(command: Decide): void {
    this.file.append(operator, command);
  }

  /** What the command is refused with, and what would do; nothing may have been written. */
  refusal(command: Decide): string {
    const before = this.file.store.readSince(0).length;
    try {
      this.do(command);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      expect(error.code).toBe("refused");
      expect(error.hint).not.toBe("");
      expect(this.file.store.readSince(0)).toHaveLength(before);
      return `${error.message}: ${error.hint}`;
    }
    throw new TypeError("it was not refused");
  }

  key(gate: number): void {
    const at = this.laptop.time.now();
    this.laptop.pass(0.05); // the program was busy when the key came
    this.do((session) => keyPassing(session, gate, at));
  }

  /** Somebody starts. @returns the run */
  start(): Run {
    this.key(0);
    return this.newestRun();
  }

  /** One run of that many seconds, the split in the middle; the next is 5 s later. */
  ride(seconds: number): Run {
    this.key(0);
    this.laptop.pass(seconds / 2 - 0.05);
    this.key(1);
    this.laptop.pass(seconds / 2 - 0.05);
    this.key(2);
    const run = this.newestRun();
    this.laptop.pass(5);
    return run;
  }

  run(k: number): Run {
    const run = this.session.runs.find((candidate) => candidate.k === k);
    if (run === undefined) throw new TypeError(`no run ${String(k)}`);
    return run;
  }

  /** The derived tables agree with the journal. */
  checkTables(): void {
    expect(verifyFile(this.file.store, this.file.summary())).toEqual([]);
  }

  private newestRun(): Run {
    const run = this.session.runs.at(-1);
    if (run === undefined) throw new TypeError("no run");
    return run;
  }
}
