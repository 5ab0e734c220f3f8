// When a gate is quiet, and what is said of its battery, its beam and its role.
import { describe, expect, it } from "vitest";
import type { BoxHealth } from "../../src/domain/equipment.ts";
import { boxUs } from "../../src/domain/time.ts";
import { alertsAt, courseLine } from "../../src/summary/alerts.ts";
import { isBatteryLow, strangeRole } from "../../src/summary/gate-health.ts";
import type { Summary } from "../../src/summary/summary.ts";
import {
  F1,
  JournalWriter,
  loopGates,
  onBox,
  P1,
  S1,
  type SimBox,
  threeGates,
  twoGates,
} from "../session/a-journal.ts";
import { instant, summaryOf } from "../tui/a-day.ts";

const clock = (): string => "10:42";

/** All three boxes heard at 100 s, for the last time. */
function heardAt100(given: Partial<BoxHealth> = {}): Summary {
  const j = new JournalWriter().made(threeGates);
  for (const box of [S1, P1, F1]) j.exchanges(box, 2, 60).heartbeat(box, 99.99);
  const summary = summaryOf(j);
  return { ...summary, boxes: summary.boxes.map((box) => ({ ...box, ...given })) };
}

const texts = (summary: Summary, atS: number) =>
  alertsAt(summary, instant(atS), clock).map((alert) => alert.text);

describe("a quiet gate", () => {
  it("is said within ten seconds on a cable, whether its heartbeat is known or not", () => {
    for (const given of [{}, { usualGapS: null }, { usualGapS: 2 }, { usualGapS: 2.7 }]) {
      expect(texts(heardAt100(given), 109.9)).toEqual([]);
      expect(texts(heardAt100(given), 110)).toHaveLength(3);
    }
    expect(texts(heardAt100({ usualGapS: 2 }), 114)[1]).toBe(
      "SPLIT 1 QUIET FOR 0:14 (since 10:42, heard every 2 s before): cable? battery?",
    );
  });

  it("is said on a radio after three of its own heartbeats, before a fourth", () => {
    const radio = heardAt100({ usualGapS: 15 });
    // Three heartbeats of 15 s, each a fifth late at most.
    expect(texts(radio, 145)).toEqual([]);
    expect(texts(radio, 100 + 3 * 15 * 1.2 - 0.1)).toEqual([]);
    expect(texts(radio, 160)).toContain(
      "SPLIT 1 QUIET FOR 1:00 (since 10:42, heard every 15 s before): radio? battery?",
    );
  });

  it("takes the word clear from the course as soon as one heartbeat of the start is overdue", () => {
    const radio = heardAt100({ usualGapS: 15 });
    expect(courseLine(radio, instant(117), clock)).toBe("course clear");
    expect(courseLine(radio, instant(118.1), clock)).toBe(
      "START NOT HEARD SINCE 10:42: COURSE MAY BE OCCUPIED",
    );
    const cable = heardAt100();
    expect(courseLine(cable, instant(109.9), clock)).toBe("course clear");
    expect(courseLine(cable, instant(110), clock)).toContain("COURSE MAY BE OCCUPIED");
  });
});

describe("a battery", () => {
  // Common practice: a lithium cell is all but empty at 3.4 V, four NiMH cells at 4 x 1.1 V.
  it.each([
    [3390, true],
    [3400, false],
    [4200, false],
    [4300, true],
    [4390, true],
    [4400, false],
    [5600, false],
    [0, false],
    [null, false],
  ])("of %s mV is low: %s", (battMv, isLow) => {
    expect(isBatteryLow(battMv)).toBe(isLow);
  });
});

describe("a beam seen too little", () => {
  function health(j: JournalWriter, box: SimBox, atS: number, beamPercent: number): void {
    const { id, boot } = box;
    const counts = { oldestSeq: 1, nextSeq: 3, glitches: 0, overwritten: 0, badInput: 0 };
    j.line(atS + 0.01, {
      type: "heartbeat",
      box: id,
      boot,
      nowUs: boxUs(onBox(box, atS)),
      ...counts,
      batteryMv: 3760,
      beamPercent,
    });
  }

  it("is not said of the time that a passing took, and said where no passing explains it", () => {
    const j = new JournalWriter().made(twoGates);
    for (const box of [S1, F1]) j.exchanges(box, 2, 60);
    j.bike(S1, 62, 0.9);
    health(j, S1, 64, 55);
    j.heartbeat(F1, 64);
    expect(texts(summaryOf(j), 65)).toEqual([]);
    health(j, S1, 75, 55);
    j.heartbeat(F1, 75);
    expect(texts(summaryOf(j), 76)).toEqual(["START gate: beam seen only 55 %: aim it"]);
  });
});

describe("a box's role", () => {
  const says = (box: SimBox, gates: typeof threeGates) => {
    const j = new JournalWriter().made(gates);
    j.bike(box, 10);
    const summary = summaryOf(j);
    const health = summary.boxes.find((each) => each.box === box.id);
    return health === undefined ? undefined : strangeRole(health, summary.gates);
  };

  it("is the sheet's, and either one where one box is start and finish", () => {
    expect(says(P1, threeGates)).toBeNull();
    expect(says(S1, loopGates)).toBeNull();
    expect(says({ ...S1, role: "F" }, loopGates)).toBeNull();
  });

  it("is said where the sheet has another", () => {
    expect(says({ ...P1, role: "F" }, threeGates)).toBe("finish (F)");
    expect(says({ ...S1, role: "P2" }, threeGates)).toBe("split 2 (P2)");
    const j = new JournalWriter().made(twoGates);
    j.bike({ ...S1, role: "F" }, 10);
    j.heartbeat(F1, 11);
    expect(texts(summaryOf(j), 12)).toContain(
      "START gate (S1): the box says that it is the finish (F); boxes mixed up?",
    );
  });
});
