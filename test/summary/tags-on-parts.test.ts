// Parts read at the start, and what is still to be confirmed, from a journal of boxes.
import { describe, expect, it } from "vitest";
import { isPartTag } from "../../src/domain/gear.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import {
  partReads,
  setupConfirmation,
  unconfirmed,
  unconfirmedWords,
} from "../../src/summary/tags-on-parts.ts";
import { F1, JournalWriter, madeBody, S1, settings, twoGates } from "../session/a-journal.ts";

const NO_STANDARDS = { axle: null, rotor: null, freehub: null };
const part = (id: string, setups: string[], tag: string | null) => ({
  id,
  name: id,
  kind: "wheelset",
  setups,
  standards: NO_STANDARDS,
  tag,
});
const PARTS = [part("wheels-1", ["A"], "W1"), part("wheels-2", ["B"], "W2")];

class Hill extends JournalWriter {
  constructor(parts = PARTS) {
    super();
    this.made(twoGates);
    const body = madeBody(settings, twoGates);
    const stamp = this.entries[0];
    if (stamp === undefined) throw new TypeError("a session was made");
    this.entries[0] = {
      ...stamp,
      type: "session-made",
      body: { ...body, gear: { ...body.gear, parts } },
    };
    for (const box of [S1, F1]) this.exchanges(box, 1, 30, 1);
  }

  /** One run of two minutes, the tag read so long after its start. */
  ride(atS: number, tag: string | null, afterS = 0.5): this {
    this.bike(S1, atS);
    if (tag !== null) this.event(S1, "T", atS + afterS, { tag });
    this.bike(F1, atS + 120);
    return this;
  }

  get session(): Session {
    return sessionOf(extendFold(emptyFold(), this.entries));
  }
}

describe("a part read at the start", () => {
  it("belongs to the run that started within 5 s of it", () => {
    const { session } = new Hill().ride(100, "W1", 4.9).ride(400, "W2", -4.9).ride(700, "W2", 5.2);
    const [first, second] = session.runs;
    expect(session.runs).toHaveLength(3);
    expect(partReads(session)).toEqual([
      { runId: first?.runId, part: "wheels-1", setups: ["A"] },
      { runId: second?.runId, part: "wheels-2", setups: ["B"] },
    ]);
  });

  it("is no rider's tag, nor an unknown one, and is told once however often it was read", () => {
    const hill = new Hill().ride(100, "W1");
    hill.event(S1, "T", 100.9, { tag: "W1" });
    hill.event(S1, "T", 101, { tag: "A1" });
    hill.event(S1, "T", 101.2, { tag: "ZZ" });
    expect(partReads(hill.session)).toHaveLength(1);
    const { gear } = hill.session;
    expect(["W1", "A1", "ZZ"].map((tag) => isPartTag(gear, tag))).toEqual([true, false, false]);
  });

  it("at another gate says nothing", () => {
    const hill = new Hill().ride(100, null);
    hill.event(F1, "T", 220.3, { tag: "W1" });
    expect(partReads(hill.session)).toEqual([]);
  });
});

describe("a run without its part read", () => {
  it("stays unconfirmed until somebody says what was on", () => {
    const hill = new Hill().ride(100, "W1").ride(400, null).ride(700, "W2");
    expect(unconfirmedWords(hill.session)).toBe("set-up not confirmed: runs 2 and 3");
    const [, second] = unconfirmed(hill.session).toReversed();
    if (second === undefined) throw new TypeError("run 2 is open");
    hill.write(900, { type: "measure-taken", body: setupConfirmation(second) });
    expect(unconfirmedWords(hill.session)).toBe("set-up not confirmed: run 3");
    // Corrected afterwards: what was said was said of another set-up.
    hill.write(910, { type: "setup-corrected", body: { run: second.runId, setup: "B" } });
    expect(unconfirmed(hill.session)).toHaveLength(2);
  });

  it("is none where no part has a transponder", () => {
    const bare = new Hill([part("wheels-1", ["A"], null)]).ride(100, null);
    expect(unconfirmed(bare.session)).toEqual([]);
    expect(unconfirmedWords(bare.session)).toBeNull();
    expect(partReads(bare.session)).toEqual([]);
  });
});
