// What is wrong right now, in words: overdue riders, gates, batteries, beams, ports, noise.
import { describe, expect, it } from "vitest";
import { boxUs, sessionUs } from "../../src/domain/time.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { type Alert, alertsAt, courseLine } from "../../src/summary/alerts.ts";
import { type Summary, summarise } from "../../src/summary/summary.ts";
import {
  ANCHOR_US,
  F1,
  handGates,
  JournalWriter,
  onBox,
  P1,
  R1,
  R2,
  S1,
  type SimBox,
  threeGates,
  twoGates,
} from "../session/a-journal.ts";

const at = (s: number) => sessionUs(ANCHOR_US + s * 1e6);
const clock = (): string => "10:42";

function summaryOf(j: JournalWriter): Summary {
  return summarise(sessionOf(extendFold(emptyFold(), j.entries)));
}

function alerts(j: JournalWriter, s: number): readonly Alert[] {
  return alertsAt(summaryOf(j), at(s), clock);
}

function health(
  j: JournalWriter,
  box: SimBox,
  atS: number,
  batteryMv: number,
  beamPercent: number,
) {
  j.line(atS + 0.01, {
    type: "heartbeat",
    box: box.id,
    boot: box.boot,
    nowUs: boxUs(onBox(box, atS)),
    oldestSeq: 1,
    nextSeq: 1,
    batteryMv,
    beamPercent,
    glitches: 0,
    overwritten: 0,
    badInput: 0,
  });
}

function heard(): JournalWriter {
  const j = new JournalWriter().made(threeGates);
  j.write(1, { type: "port-opened", body: { port: "/dev/gates" } });
  for (const box of [S1, P1, F1]) j.exchanges(box, 2, 60).heartbeat(box, 61);
  return j;
}

describe("alerts", () => {
  it("are none while every gate is heard and well", () => {
    expect(alerts(heard(), 62)).toEqual([]);
  });

  it("name quiet gates, the start as a danger and first", () => {
    expect(alerts(heard(), 80)).toEqual([
      { level: "danger", text: "START QUIET FOR 0:18 (since 10:42): cable? battery?" },
      { level: "fault", text: "SPLIT 1 QUIET FOR 0:18 (since 10:42): cable? battery?" },
      { level: "fault", text: "FINISH QUIET FOR 0:18 (since 10:42): cable? battery?" },
    ]);
  });

  it("give boxes ten seconds to answer on a port that has just been opened", () => {
    const j = new JournalWriter().made(twoGates);
    expect(alerts(j, 1).map((alert) => alert.text)).toContain("START GATE (S1) NOT HEARD YET");
    j.write(2, { type: "port-opened", body: { port: "/dev/gates" } });
    expect(alerts(j, 3)).toEqual([]);
    expect(alerts(j, 13)).toHaveLength(2);
  });

  it("say a weak beam and a low battery as notices", () => {
    const j = heard();
    health(j, P1, 62, 3150, 55);
    expect(alerts(j, 63)).toEqual([
      { level: "notice", text: "SPLIT 1 gate: beam seen only 55 %: aim it" },
      { level: "notice", text: "SPLIT 1 gate: battery 3.15 V, low: change it" },
    ]);
    health(j, P1, 64, 0, 90);
    expect(alerts(j, 65)).toEqual([]);
  });

  it("say a blocked beam at any gate", () => {
    const j = heard();
    j.event(F1, "B", 62);
    j.event(F1, "X", 62, { arrivedS: 72 });
    for (const box of [S1, P1]) j.heartbeat(box, 72);
    expect(alerts(j, 73)).toEqual([
      { level: "fault", text: "FINISH GATE: BEAM BLOCKED, no times until it is clear" },
    ]);
  });

  it("say an overdue rider, for how long and where last, before anything else", () => {
    const j = heard();
    j.bike(S1, 62);
    j.bike(P1, 100);
    for (const box of [S1, P1, F1]) j.heartbeat(box, 300, 3);
    const usualS = summaryOf(j).onCourse[0]?.overdueAfterS ?? 0;
    expect(usualS).toBeGreaterThan(0);
    const late = Math.ceil(62 + usualS) + 1;
    for (const box of [S1, P1, F1]) j.heartbeat(box, late, 3);
    const found = alerts(j, late + 1);
    expect(found[0]?.level).toBe("danger");
    expect(found[0]?.text).toMatch(/^OVERDUE: Rider one, \d+:\d\d on course, last in /);
  });

  it("say one thing of a closed port, however often it is tried", () => {
    const j = heard();
    for (const reason of ["box lost on /dev/gates", "/dev/gates is not there"]) {
      j.write(62, { type: "port-lost", body: { port: "/dev/gates", reason } });
      expect(alerts(j, 63)).toEqual([
        { level: "fault", text: "PORT CLOSED, EVENTS WAIT IN THE BOX: /dev/gates" },
      ]);
    }
  });

  it("say unreadable lines from the fifth in a minute on", () => {
    const j = heard();
    const noise = { port: "/dev/gates", raw: "\\x00", decoded: null, fault: "noise" };
    for (let i = 0; i < 4; i += 1) j.write(62, { type: "line-received", body: noise });
    expect(alerts(j, 63)).toEqual([]);
    j.write(62, { type: "line-received", body: noise });
    expect(alerts(j, 63).map((alert) => alert.text)).toEqual([
      "lines that cannot be read keep coming: check cable and radio (a: boxes)",
    ]);
    for (const box of [S1, P1, F1]) j.heartbeat(box, 130);
    expect(alerts(j, 131)).toEqual([]);
  });

  it("say a held course, and that somebody is still out there", () => {
    const j = new JournalWriter().made(handGates);
    j.write(1, { type: "course-held", body: { reason: "walker" } });
    expect(alerts(j, 2)).toEqual([{ level: "danger", text: "COURSE HELD: walker" }]);
    j.key(0, 3);
    expect(alerts(j, 4)[0]?.text).toBe("COURSE HELD: walker (1 STILL ON COURSE)");
    expect(courseLine(summaryOf(j), at(4), clock)).toBe("COURSE HELD");
  });
});

describe("the heading by hand", () => {
  it("speaks of the keys only, and counts who is out", () => {
    const j = new JournalWriter().made(handGates);
    expect(courseLine(summaryOf(j), at(1), clock)).toBe("nobody on course by the keys");
    j.key(0, 2);
    expect(courseLine(summaryOf(j), at(3), clock)).toBe("1 ON COURSE");
  });
});

describe("a second trip of the start beam", () => {
  const followed = (riders: readonly (typeof R1)[]): JournalWriter => {
    const j = new JournalWriter().made(twoGates, riders);
    j.exchanges(S1, 1, 295).exchanges(F1, 1, 295);
    j.bike(S1, 100);
    j.bike(S1, 101.6);
    j.bike(F1, 220);
    j.heartbeat(S1, 300, 5);
    j.heartbeat(F1, 300, 3);
    return j;
  };

  it("is the same rider where there is one", () => {
    const summary = summaryOf(followed([R1]));
    expect(summary.loosePassings).toEqual([]);
    expect(courseLine(summary, at(301), clock)).toBe("course clear");
  });

  it("can be the next rider close behind: to be decided, and never a clear course", () => {
    const j = followed([R1, R2]);
    const { loosePassings } = summaryOf(j);
    expect(loosePassings.map((passing) => passing.state)).toEqual(["double"]);
    expect(courseLine(summaryOf(j), at(301), clock)).toContain("COURSE MAY BE OCCUPIED");
    const passing = loosePassings[0]?.passingId ?? "";
    j.write(302, { type: "passing-promoted", body: { passing } });
    const after = summaryOf(j);
    expect(after.loosePassings).toEqual([]);
    expect(after.onCourse).toHaveLength(1);
    j.write(303, { type: "passing-rejected", body: { passing, reason: "same rider" } });
    expect(summaryOf(j).onCourse).toEqual([]);
    expect(summaryOf(j).loosePassings).toEqual([]);
  });
});
