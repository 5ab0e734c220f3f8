// The call-up list of a session that is going on: three riders, two bikes, one wheelset of each kind.
import { describe, expect, it } from "vitest";
import { type SessionUs, sessionUs } from "../../src/domain/time.ts";
import type { Body } from "../../src/journal/content.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { callUpAhead, type LiveCallUp } from "../../src/summary/call-up-ahead.ts";
import { type Summary, summarise } from "../../src/summary/summary.ts";
import {
  A,
  ANCHOR_US,
  B,
  handGates,
  JournalWriter,
  madeBody,
  R1,
  R2,
  settings,
} from "../session/a-journal.ts";

const R3 = { ...R1, id: "R3", name: "Rider three", tag: "C3" };
const ANY = { axle: null, rotor: null, freehub: null };
const bike = (id: string) => ({ id, name: id, size: null, riders: null, standards: ANY });
const wheels = (id: string, setups: string[]) => ({
  id,
  name: id,
  kind: "wheelset",
  setups,
  standards: ANY,
  tag: null,
});

const GEAR = {
  bikes: [bike("bike-1"), bike("bike-2")],
  parts: [wheels("wheels-1", ["A"]), wheels("wheels-2", ["B"])],
  mechanics: 1,
};
type Gear = Body<"session-made">["gear"];

/** Lap 9 min, run 130 s, swap 4 min; bike-1 is R1's and R3's, bike-2 is R2's. */
function clubDay(gear: Gear = GEAR, restMinutes: number | null = null): JournalWriter {
  const j = new JournalWriter();
  const made = madeBody({ ...settings, zone: "UTC", lapMinutes: 9 }, handGates);
  const body: Body<"session-made"> = {
    ...made,
    gear,
    swaps: [{ from: "A", to: "B", minutes: 4, place: null }],
    hours: { ...made.hours, restMinutes },
  };
  j.write(0, { type: "session-made", body });
  for (const rider of [R1, R2, R3]) {
    j.write(0, {
      type: "rider-added",
      body: { ...rider, newTo: [], setups: null, plannedRuns: null },
    });
  }
  for (const setup of [A, B]) j.write(0, { type: "setup-added", body: setup });
  return j;
}

const summaryOf = (j: JournalWriter): Summary =>
  summarise(sessionOf(extendFold(emptyFold(), j.entries)));
const at = (s: number): SessionUs => sessionUs(ANCHOR_US + Math.round(s * 1e6));

function swap(j: JournalWriter, s: number, rider: string, setup: string): void {
  const body = { rider, setup, minutes: null, checked: true };
  j.write(s, { type: "setup-swapped", body });
}

/** Seconds since the laptop's zero. */
const seconds = (row: LiveCallUp | undefined): number | null =>
  row?.notBefore == null ? null : (row.notBefore - ANCHOR_US) / 1e6;

const short = (list: readonly LiveCallUp[]) =>
  list.map((row) => [row.rider, row.setup, row.bike, row.parts.join(), seconds(row), row.why]);

/** R1 is on course since 600 s, on bike-1 with wheels-2; wheels-1 are on bike-2. */
function oneOut(gear = GEAR, restMinutes: number | null = null): JournalWriter {
  const j = clubDay(gear, restMinutes);
  swap(j, 30, "R1", "B");
  swap(j, 300, "R2", "A");
  j.key(0, 600, "R1");
  return j;
}

// The order drawn for seed 7 starts R1 on B, R2 on A, R3 on B.
describe("the call-up list of a session", () => {
  it("is everybody on the set-up that is suggested, bikes and wheels shared out", () => {
    const j = clubDay();
    const rows = () => short(callUpAhead(summaryOf(j), at(60)));
    // What is on the bikes is not known until a swap is logged; one mechanic fits one after the other.
    expect(rows()).toEqual([
      ["R1", "B", "bike-1", "wheels-2", 300, "swap to B, 4 min"],
      ["R2", "A", "bike-2", "wheels-1", 540, "no mechanic is free before, then swap to A, 4 min"],
      ["R3", "B", "bike-1", "wheels-2", 840, "bike-1 comes back with R1"],
    ]);
    swap(j, 30, "R1", "B");
    expect(rows()[0]).toEqual(["R1", "B", "bike-1", "wheels-2", 60, "counted runs so far: 0"]);
    const [first] = callUpAhead(summaryOf(j), at(60));
    expect(first).toMatchObject({ isReady: true, isCalled: true, behind: null });
  });

  it("waits for the bike and the wheels that are on course, and keeps the gap", () => {
    const list = callUpAhead(summaryOf(oneOut()), at(610));
    // No spread is known: a fifth of 130 s behind R1. Bike-1 is back up a lap after its start.
    expect(short(list)).toEqual([
      ["R2", "A", "bike-2", "wheels-1", 626, "starts behind R1"],
      ["R3", "B", "bike-1", "wheels-2", 600 + 540, "bike-1 comes back with R1"],
    ]);
    expect(list.map((row) => row.isReady)).toEqual([true, false]);
    expect(list[0]?.behind).toEqual({ rider: "R1", gapS: 26 });
    // R1 is late: the bike is a minute of riding and the way up away, whatever the clock says.
    const late = callUpAhead(summaryOf(oneOut()), at(2000));
    expect(seconds(late[1])).toBe(2000 + 60 + (540 - 130));
  });

  it("has bike and wheels back after the way up, or when a swap on it is logged", () => {
    const j = oneOut(GEAR, 15);
    j.key(2, 732, "R1");
    // Way up: 540 less the usual 132 s. R1 rests 15 min from 732.
    const up = 732 + 540 - 132;
    const rested = 732 + 900;
    const at740 = callUpAhead(summaryOf(j), at(740));
    expect(short(at740)).toEqual([
      ["R2", "A", "bike-2", "wheels-1", 740, "counted runs so far: 0"],
      ["R3", "B", "bike-1", "wheels-2", up, "bike-1 comes back with R1"],
      [
        "R1",
        "A",
        "bike-1",
        "wheels-1",
        up + 540 + 240,
        expect.stringContaining("swap from B to A"),
      ],
    ]);
    expect(rested).toBeLessThan(up + 540 + 240);
    swap(j, 900, "R3", "B");
    const swapped = callUpAhead(summaryOf(j), at(910)).find((row) => row.rider === "R3");
    expect([seconds(swapped), swapped?.isReady]).toEqual([936, true]);
  });

  it("asks for what the suggestion asks for, and starts with whom the next start is taken for", () => {
    const j = clubDay({ bikes: [], parts: [], mechanics: null });
    for (let s = 600; s < 6000; s += 600) {
      const summary = summaryOf(j);
      const list = callUpAhead(summary, at(s));
      const next = summary.nextStarter ?? "";
      expect(list.map((row) => row.rider).toSorted()).toEqual(["R1", "R2", "R3"]);
      for (const row of list) expect(row.bike).toBeNull();
      const mine = list.find((row) => row.isCalled);
      expect(mine?.rider).toBe(next);
      if (next === summary.comparison.next.rider) {
        expect(mine?.setup).toBe(summary.comparison.next.setup);
      }
      if (summary.mounted[next] === mine?.setup) expect(list[0]).toBe(mine);
      else swap(j, s, next, mine?.setup ?? "A");
      expect(callUpAhead(summaryOf(j), at(s + 1))[0]?.rider).toBe(next);
      j.key(0, s + 2, next);
      j.key(2, s + 132 + (s % 7), next);
    }
    expect(summaryOf(j).comparison.riders.map((each) => each.counted_runs)).toEqual([3, 3, 3]);
  });

  it("says nobody is ready while the course is held, and is empty once the day is closed", () => {
    const j = oneOut();
    j.write(620, { type: "course-held", body: { reason: "walker" } });
    expect(callUpAhead(summaryOf(j), at(700)).map((row) => [row.isReady, row.why])).toEqual([
      [false, "the course is held"],
      [false, "the course is held"],
    ]);
    const closed = { ...summaryOf(clubDay()), isClosed: true };
    expect(callUpAhead(closed, at(700))).toEqual([]);
  });

  it("needs no lap and no run time", () => {
    const j = new JournalWriter().made(handGates, [R1, R2], { expectedRunS: null as never });
    j.key(0, 600, "R1");
    const [only, ...others] = callUpAhead(summaryOf(j), at(610));
    expect(others).toEqual([]);
    // Nothing is known of R1's run: a minute between the two.
    expect([only?.rider, seconds(only)]).toEqual(["R2", 660]);
  });

  it("knows what imported runs left on a bike", () => {
    const j = clubDay();
    const row = { uncertaintyS: null, sectorS: [null, null], startedAtUs: null, reason: null };
    const rows = [{ ...row, rider: "R1", setup: "B", status: "ok" as const, timeS: 121 }];
    j.write(5, { type: "times-imported", body: { file: "t.csv", rows } });
    const r1 = callUpAhead(summaryOf(j), at(60)).find((each) => each.rider === "R1");
    expect([r1?.setup, r1?.bike, r1?.why]).toEqual(["A", "bike-1", "swap from B to A, 4 min"]);
  });
});
