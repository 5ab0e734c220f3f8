// The heading never calls the course clear where somebody may have started unseen or uncounted.
import { expect, test } from "vitest";
import { sessionUs } from "../../src/domain/time.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { alertsAt, courseLine } from "../../src/summary/alerts.ts";
import { summarise } from "../../src/summary/summary.ts";
import { ANCHOR_US, F1, JournalWriter, R1, R2, S1, twoGates } from "../session/a-journal.ts";

const PORT = "/dev/gates";

/** Two riders, both boxes heard up to 300 s. */
function morning(): JournalWriter {
  const j = new JournalWriter().made(twoGates, [R1, R2]);
  const plan = { plannedRuns: 12, order: ["A", "B"], nuN: null, z2N: {} };
  const riders = [R1, R2].map(({ id }) => ({ rider: id, ...plan }));
  j.write(1, { type: "plan-fixed", body: { setups: ["A", "B"], riders, seed: 7 } });
  j.write(2, { type: "port-opened", body: { port: PORT } });
  return j.exchanges(S1, 3, 295).exchanges(F1, 3, 295);
}

function shown(j: JournalWriter, atS: number): { heading: string; alerts: readonly string[] } {
  const summary = summarise(sessionOf(extendFold(emptyFold(), j.entries)));
  const now = sessionUs(ANCHOR_US + atS * 1e6);
  const clock = (): string => "10:42:03";
  return {
    heading: courseLine(summary, now, clock),
    alerts: alertsAt(summary, now, clock).map((alert) => alert.text),
  };
}

test("heard, and nobody has started", () => {
  const j = morning();
  j.heartbeat(S1, 300);
  expect(shown(j, 301)).toEqual({ heading: "course clear", alerts: [] });
});

test("a port that closed is believed at once; what another port brings is heard again", () => {
  const j = morning();
  j.heartbeat(S1, 300);
  j.write(301, { type: "port-lost", body: { port: PORT, reason: "box lost" } });
  expect(shown(j, 302).heading).toBe("START NOT HEARD SINCE 10:42:03: COURSE MAY BE OCCUPIED");
  j.heartbeat(S1, 304);
  expect(shown(j, 305).heading).toBe("course clear");
});

test("a blocked start beam sees nobody", () => {
  const j = morning();
  j.event(S1, "B", 280);
  j.event(S1, "X", 280, { arrivedS: 290 });
  j.write(291, { type: "passing-rejected", body: { passing: "S1:0012:1", reason: "leaf" } });
  j.heartbeat(S1, 300, 3);
  expect(shown(j, 301).heading).toBe("START BEAM BLOCKED: COURSE MAY BE OCCUPIED");
});

test("a slow bike through the start may be out there until somebody has decided", () => {
  const j = morning();
  const seq = j.bike(S1, 280, 2.5, 1);
  j.heartbeat(S1, 300, 3);
  expect(shown(j, 301).heading).toBe("START 10:42:03 UNDECIDED: COURSE MAY BE OCCUPIED");
  expect(seq).toBeGreaterThan(0);
  j.write(302, { type: "passing-rejected", body: { passing: "S1:0012:1", reason: "walker" } });
  expect(shown(j, 303).heading).toBe("course clear");
});

test("a box that uses a number twice: its starts do not count, and that stands there", () => {
  for (const fault of [null, "a box number used twice"]) {
    const j = morning();
    j.bike(S1, 100);
    j.bike(F1, 220);
    const other = new JournalWriter();
    other.bike(S1, 290);
    for (const { type, body } of other.entries) {
      if (type === "line-received") j.write(290.5, { type, body: { ...body, fault } });
    }
    j.heartbeat(S1, 300, 3);
    const { heading, alerts } = shown(j, 301);
    expect(heading).toBe("STARTS DO NOT COUNT: COURSE MAY BE OCCUPIED");
    expect(alerts.join()).toContain("START GATE (S1) USED ONE NUMBER TWICE");
    // Reset: another boot number, and all is well.
    const again = { ...S1, boot: 19, aheadS: -301 };
    j.exchanges(again, 302, 320);
    j.heartbeat(again, 321);
    j.heartbeat(F1, 321, 3);
    expect(shown(j, 322)).toEqual({ heading: "course clear", alerts: [] });
  }
});
