// Speeds through the gates of a day whose boxes told when each beam was broken and clear.
import { describe, expect, it } from "vitest";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import { entrySpeeds, gateSpeeds } from "../../src/summary/gate-speeds.ts";
import { startWarning, startWords } from "../../src/summary/start-words.ts";
import { F1, JournalWriter, P1, S1, threeGates, twoGates } from "../session/a-journal.ts";

function ridden(ride: (j: JournalWriter) => void, gates = twoGates): Session {
  const j = new JournalWriter().made(gates);
  for (const box of [S1, P1, F1]) j.exchanges(box, 1, 30, 1);
  ride(j);
  return sessionOf(extendFold(emptyFold(), j.entries));
}

const BIKE_M = 1.974;

describe("speeds at gates", () => {
  it("are the bike's length over the time the beam was broken, gate by gate", () => {
    const session = ridden((j) => {
      j.bike(S1, 100, 0.282);
      j.bike(P1, 160, 0.5);
      j.bike(F1, 220, 0.1974);
    }, threeGates);
    const [run, ...more] = gateSpeeds(session);
    expect(more).toEqual([]);
    expect(run?.runId).toBe(session.runs[0]?.runId);
    expect(run?.gates.map(({ gate }) => gate)).toEqual([0, 1, 2]);
    // The box's clock runs 40 ppm fast.
    expect(run?.gates[0]?.speedMS).toBeCloseTo(BIKE_M / 0.282, 3);
    expect(run?.gates[2]?.speedMS).toBeCloseTo(10, 3);
    expect(entrySpeeds(gateSpeeds(session))).toEqual([
      { runId: run?.runId, speedMS: run?.gates[0]?.speedMS },
    ]);
  });

  it("take the length from the set-up of the run: a 584 rear is not quicker", () => {
    const session = ridden((j) => {
      j.bike(S1, 100, 0.3);
      j.bike(F1, 220);
      j.write(300, {
        type: "setup-swapped",
        body: { rider: "R1", setup: "B", minutes: null, checked: true },
      });
      j.bike(S1, 400, 0.3 * (1 - 0.019 / BIKE_M));
      j.bike(F1, 520);
    });
    const mixed = session.setups.map((setup) =>
      setup.id === "B" ? { ...setup, values: { rear_wheel_mm: 584 } } : setup,
    );
    const speeds = (setups: Session["setups"]) =>
      entrySpeeds(gateSpeeds({ ...session, setups })).map(({ speedMS }) => speedMS);
    const [a, b] = speeds(mixed);
    expect(b).toBeCloseTo(a ?? 0, 3);
    const [sameA, wrong] = speeds(session.setups);
    expect((wrong ?? 0) / (sameA ?? 1)).toBeCloseTo(1.0097, 4);
  });

  it("are not said without a clear line, of a beam tripped twice, or beyond what a bike does", () => {
    const noClear = ridden((j) => {
      j.beam(S1, 100);
      j.bike(F1, 220);
    });
    expect(entrySpeeds(gateSpeeds(noClear))).toEqual([]);
    const inParts = ridden((j) => {
      j.bike(S1, 100, 0.1);
      j.bike(S1, 101.5, 0.1);
      j.bike(F1, 220);
    });
    expect(inParts.passings.map(({ state }) => state)).toContain("double");
    expect(entrySpeeds(gateSpeeds(inParts))).toEqual([]);
    const crawling = ridden((j) => {
      j.bike(S1, 100, 3.5);
      j.bike(F1, 220, 0.05);
    });
    expect(gateSpeeds(crawling)).toEqual([]);
  });
});

it("how a run is started is told, or asked for where a beam times it", () => {
  expect(startWords({ start: "rolling from the second tree" })).toBe(
    "start: rolling from the second tree",
  );
  expect(startWords({ start: null })).toContain("not told");
  const { gates } = ridden(() => undefined);
  expect(startWarning({ start: null }, gates)).toContain("standing");
  expect(startWarning({ start: "standing" }, gates)).toBeNull();
  const byHand = gates.map((gate) => ({ ...gate, box: null }));
  expect(startWarning({ start: null }, byHand)).toBeNull();
  expect(startWarning({ start: null }, [])).toBeNull();
});
