// What people decide: course and set-ups, words of the undo key, what makes no sense in its place.
import { describe, expect, it } from "vitest";
import type { Content } from "../../src/journal/content.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import {
  A,
  handGates,
  JournalWriter,
  loopGates,
  madeBody,
  R1,
  R2,
  S1,
  settings,
  twoGates,
} from "./a-journal.ts";

function session(journal: JournalWriter): Session {
  return sessionOf(extendFold(emptyFold(), journal.entries));
}

describe("course and set-ups", () => {
  it("is what the sheet said, with later changes", () => {
    const j = new JournalWriter().made(handGates);
    j.write(1, {
      type: "setup-changed",
      body: {
        setup: "B",
        values: { rear_insert: "foam" },
      },
    });
    j.write(2, {
      type: "setup-changed",
      body: { setup: "A", name: "Plain", values: {} },
    });
    j.write(3, { type: "settings-changed", body: { minutes: 200, travelMaxS: 500 } });
    const s = session(j);
    expect(s.setups.map((x) => [x.name, x.values])).toEqual([
      ["Plain", {}],
      ["Insert", { rear_insert: "foam" }],
    ]);
    expect(s.settings).toMatchObject({ minutes: 200, travelMaxS: 500, marginS: 0.8 });
  });

  it("takes limits changed by the operator for every run", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    j.key(2, 130);
    expect(session(j).runs[0]?.status).toBe("on-course");
    const limits = j.write(200, { type: "settings-changed", body: { travelMinS: 20 } });
    expect(session(j).runs[0]?.timeS).toBe(30);
    j.undo(201, limits);
    expect(session(j).runs[0]?.status).toBe("on-course");
  });

  it("what comes twice or names nobody is left out and said", () => {
    const j = new JournalWriter().made(handGates);
    const gates = [...handGates];
    j.write(1, { type: "session-made", body: madeBody(settings, gates) });
    j.write(1, {
      type: "rider-added",
      body: { ...R1, newTo: [], setups: null, plannedRuns: null },
    });
    j.write(1, { type: "setup-added", body: A });
    j.write(1, {
      type: "setup-changed",
      body: { setup: "Z", values: {} },
    });
    j.write(1, {
      type: "setup-swapped",
      body: { rider: "R9", setup: "A", minutes: null, checked: false },
    });
    const start = j.key(0, 100);
    j.write(101, { type: "setup-corrected", body: { run: String(start), setup: "Z" } });
    j.key(7, 102);
    const nothing = { gate: 0, keyedMonoUs: null, typedAtUs: null, rider: null, uncertaintyS: 0.2 };
    j.write(103, { type: "passing-keyed", body: nothing });
    const s = session(j);
    expect(s.riders).toHaveLength(1);
    expect(s.setups).toHaveLength(2);
    expect(s.swaps).toEqual([]);
    expect(s.passings).toHaveLength(1);
    expect(s.runs[0]?.setup).toBe("A");
    expect(s.anomalies).toHaveLength(8);
  });

  it("settings changed before there is a session are left out and said", () => {
    const j = new JournalWriter();
    j.write(1, { type: "settings-changed", body: { marginS: 1 } });
    expect(session(j).settings).toBeNull();
    expect(session(j).anomalies).toHaveLength(1);
  });

  it("passings before there is a sheet wait for it", () => {
    const j = new JournalWriter();
    j.beam(S1, 10);
    expect(session(j).passings[0]?.state).toBe("orphan");
    expect(session(j).runs).toEqual([]);
    expect(session(j).nextStarter).toBeNull();
  });

  it("a second day brings its own sheet: the first one's holds, new riders are added", () => {
    const j = new JournalWriter().made(handGates);
    const merged = { day: 1, name: "", date: "2026-05-10", host: "laptop-1", entries: 5 };
    j.write(1000, { type: "session-merged", body: merged });
    j.made(loopGates, [R1, R2]);
    const s = session(j);
    expect(s.gates).toHaveLength(3);
    expect(s.riders.map((r) => r.id)).toEqual(["R1", "R2"]);
    expect(s.anomalies).toEqual([]);
  });

  it("an import that names an unknown rider or set-up leaves that row out and says so", () => {
    const j = new JournalWriter().made(handGates);
    const row = { uncertaintyS: 0.3, sectorS: [60, 61], startedAtUs: 1e15, reason: null };
    const rows = [
      { ...row, rider: "R1", setup: "B", status: "ok" as const, timeS: 121 },
      { ...row, rider: "R9", setup: "B", status: "ok" as const, timeS: 121 },
      { ...row, rider: "R1", setup: "A", status: "ok" as const, timeS: null },
    ];
    const seq = j.write(5, { type: "times-imported", body: { file: "t.csv", rows } });
    const s = session(j);
    expect(s.runs.map((r) => [r.runId, r.status])).toEqual([
      [`${String(seq)}.1`, "ok"],
      [`${String(seq)}.3`, "dnf"],
    ]);
    expect(s.runs[0]).toMatchObject({
      startedAt: 1e15,
      finishedAt: 1e15 + 121e6,
      sectorS: [60, 61],
      uncertaintyS: 0.3,
    });
    expect(s.anomalies).toHaveLength(1);
    j.mark(6, `${String(seq)}.3`, "ok");
    expect(session(j).runs[1]?.status).toBe("dnf");
    j.mark(7, `${String(seq)}.1`, "warm-up");
    expect(session(j).runs.map((r) => r.k)).toEqual([null, 1]);
    j.undo(8, seq);
    expect(session(j).runs).toEqual([]);
  });
});

describe("what is mounted", () => {
  const importing = (...setups: readonly string[]): Content => {
    const row = {
      rider: "R1",
      status: "ok" as const,
      timeS: 121,
      uncertaintyS: null,
      sectorS: [null],
      startedAtUs: null,
      reason: null,
    };
    const rows = setups.map((setup) => ({ ...row, setup }));
    return { type: "times-imported", body: { file: "t.csv", rows } };
  };

  it("is what was ridden last in imported times, until a swap is logged", () => {
    const j = new JournalWriter().made(handGates);
    expect(session(j).mounted).toEqual({ R1: "A" });
    const seq = j.write(5, importing("A", "B", "B"));
    expect(session(j).mounted).toEqual({ R1: "B" });
    expect(session(j).swaps).toEqual([]);
    const swap = { rider: "R1", setup: "A", minutes: null, checked: true };
    j.write(6, { type: "setup-swapped", body: swap });
    expect(session(j).mounted).toEqual({ R1: "A" });
    expect(session(j).swaps).toMatchObject([{ fromSetup: "B", toSetup: "A" }]);
    j.undo(7, seq);
    expect(session(j).swaps).toMatchObject([{ fromSetup: "A", toSetup: "A" }]);
  });
});

describe("entries out of order", () => {
  it("an entry seen before is left out and said", () => {
    const j = new JournalWriter().made(handGates);
    const fold = extendFold(emptyFold(), j.entries);
    const again = extendFold(fold, j.entries.slice(1, 2));
    expect(sessionOf(again).riders).toHaveLength(1);
    expect(sessionOf(again).lastSeq).toBe(4);
    expect(sessionOf(again).anomalies).toEqual(["entry 2 came after 4"]);
  });
});

describe("the undo key's words", () => {
  const words: readonly [Content, string][] = [
    [
      { type: "run-marked", body: { run: "5", mark: "dnf", sectors: [], reason: null } },
      "DNF for run 1",
    ],
    [
      { type: "run-marked", body: { run: "5", mark: "void", sectors: [1, 2], reason: null } },
      "void sector 1, 2 of run 1",
    ],
    [
      { type: "run-marked", body: { run: "99", mark: "ok", sectors: [], reason: null } },
      "count run 99",
    ],
    [
      { type: "setup-swapped", body: { rider: "R1", setup: "B", minutes: null, checked: true } },
      "swap to B for R1",
    ],
    [{ type: "setup-corrected", body: { run: "5", setup: "B" } }, "set-up B for run 1"],
    [{ type: "rider-corrected", body: { run: "5", rider: "R1" } }, "rider R1 for run 1"],
    [
      { type: "passing-assigned", body: { passing: null, rider: "R1", run: null } },
      "next start for R1",
    ],
    [
      { type: "passing-assigned", body: { passing: "hand:5", rider: "R1", run: null } },
      "passing hand:5 for R1",
    ],
    [
      { type: "passing-assigned", body: { passing: "hand:5", rider: null, run: "5" } },
      "passing hand:5 for run 1",
    ],
    [{ type: "passing-rejected", body: { passing: "?", reason: null } }, "passing ? struck out"],
    [{ type: "passing-promoted", body: { passing: "?" } }, "passing ? taken for a bike"],
    [{ type: "run-split", body: { run: "5" } }, "start and finish of run 1 parted"],
    [{ type: "runs-joined", body: { start: "a", finish: "b" } }, "start a and finish b joined"],
    [
      { type: "incident-noted", body: { run: "5", sector: null, kind: "dab", note: null } },
      "dab noted",
    ],
    [{ type: "rating-given", body: { run: "5", aspect: "grip", score: 7 } }, "rating of run 1"],
    [
      {
        type: "measure-taken",
        body: { run: null, rider: null, setup: null, key: "wind_mps", value: 3, unit: null },
      },
      "wind_mps noted",
    ],
    [
      {
        type: "measure-taken",
        body: { run: null, rider: "R1", setup: null, key: "rides_on", value: "slow", unit: null },
      },
      "riding on noted",
    ],
    [{ type: "note-added", body: { run: null, note: "wind" } }, 'note "wind"'],
    [{ type: "condition-marked", body: { note: "rain", isStep: false } }, 'note "rain"'],
    [
      { type: "condition-marked", body: { note: "dry", isStep: true } },
      'change of the ground "dry"',
    ],
    [{ type: "gate-moved", body: { gate: 1, note: "aim" } }, "gate moved"],
    [{ type: "course-held", body: { reason: "walker" } }, "course held"],
    [{ type: "course-opened", body: {} }, "course opened"],
    [{ type: "times-imported", body: { file: "t.csv", rows: [] } }, "times from t.csv"],
    [{ type: "settings-changed", body: { minutes: 100 } }, "change of settings"],
    [
      {
        type: "setup-changed",
        body: { setup: "A", values: {} },
      },
      "change of set-up A",
    ],
    [{ type: "plan-end-announced", body: { rider: "R1", endRun: 9 } }, "end at run 9 for R1"],
    [{ type: "session-closed", body: {} }, "session closed"],
    [{ type: "session-reopened", body: {} }, "session reopened"],
  ];

  it.each(words)("%j", (content, label) => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    const seq = j.write(200, content);
    expect(session(j).undo).toEqual({ seq, label });
  });

  it("names the gate of a keyed passing, and the rider where there are several", () => {
    const j = new JournalWriter().made(handGates, [R1, R2]);
    const start = j.key(0, 100);
    expect(session(j).undo?.label).toBe("the passing keyed at the start");
    j.key(1, 150);
    expect(session(j).undo?.label).toBe("the passing keyed at split 1");
    j.mark(160, start, "dnf");
    expect(session(j).undo?.label).toBe("DNF for run 1 of R1");
  });

  it("never calls a warm-up by a run number, for it has none", () => {
    const j = new JournalWriter().made(handGates, [R1, R2]);
    const start = j.key(0, 100);
    const mark = j.mark(150, start, "warm-up");
    expect(session(j).undo).toEqual({ seq: mark, label: "the warm-up mark" });
    j.write(160, { type: "rating-given", body: { run: String(start), aspect: "grip", score: 7 } });
    expect(session(j).undo?.label).toBe("rating of the warm-up of R1");
  });

  it("tells a void from the reason that was given for it afterwards", () => {
    const j = new JournalWriter().made(handGates);
    const run = String(j.key(0, 100));
    const mark = (reason: string | null): Content => ({
      type: "run-marked",
      body: { run, mark: "void", sectors: [], reason },
    });
    const bare = j.write(150, mark(null));
    const reasoned = j.write(151, mark("walker"));
    expect(session(j).undo).toEqual({ seq: reasoned, label: "the reason for void run 1" });
    j.undo(152, reasoned);
    expect(session(j).undo).toEqual({ seq: bare, label: "void run 1" });
    j.undo(153, bare);
    const atOnce = j.write(154, mark("walker"));
    expect(session(j).undo).toEqual({ seq: atOnce, label: "void run 1" });
  });

  it("there is nothing to take back in a fresh session", () => {
    const s = session(new JournalWriter().made(handGates));
    expect([s.undo, s.redo]).toEqual([null, null]);
  });
});

describe("hosts", () => {
  it("keyed on two runs of the laptop's clock: unsure, and it says why", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    j.host = "laptop-2";
    j.anchorUs += 100e6;
    j.key(2, 120);
    const [run] = session(j).runs;
    expect(run).toMatchObject({ status: "unsure", timeS: 120, provisional: true });
    expect(run?.flags).toContain("laptop restarted during run");
    expect(run?.uncertaintyS).toBeGreaterThan(0.5);
  });

  it("a box heard over two ports is placed by the better known path", () => {
    const j = new JournalWriter().made(twoGates);
    j.exchanges(S1, 1, 900);
    for (let t = 1; t < 900; t += 5) {
      // The answer waits 60 ms in a modem: 32 ms off, and a round trip that says so.
      const ms = (x: number) => Math.round(x * 1000);
      const body = {
        box: "S1",
        boot: S1.boot,
        port: "/dev/modem",
        t1Us: ms(t * 1000),
        t2Us: Math.round(((t + 0.002) * (1 + S1.ppm * 1e-6) + S1.aheadS) * 1e6),
        t3Us: Math.round(((t + 0.002) * (1 + S1.ppm * 1e-6) + S1.aheadS) * 1e6),
        t4Us: ms(t * 1000 + 64 + (t % 3) * 20),
      };
      j.write(900 + t / 1000, { type: "clock-exchanged", body });
    }
    j.beam(S1, 450, 1000);
    const at = session(j).passings[0]?.at ?? 0;
    expect(Math.abs(at - (j.anchorUs + 450e6))).toBeLessThan(500);
  });

  it("an older version of the fold still gives its own times", () => {
    const j = new JournalWriter().made(loopGates);
    j.exchanges(S1, 1, 400);
    j.beam(S1, 200);
    const older = extendFold(emptyFold(), j.entries);
    const place = j.entries.length;
    j.exchanges({ ...S1, aheadS: S1.aheadS + 0.001 }, 405, 1600);
    const newer = extendFold(older, j.entries.slice(place));
    const late = sessionOf(newer).passings[0];
    const early = sessionOf(older).passings[0];
    expect(early?.isProvisional).toBe(true);
    expect(late?.isProvisional).toBe(false);
    expect(early).toEqual(
      sessionOf(extendFold(emptyFold(), j.entries.slice(0, place))).passings[0],
    );
  });

  it("exchanges that came out of order give the same time", () => {
    const j = new JournalWriter().made(loopGates);
    j.exchanges(S1, 1, 500).exchanges(S1, 203, 1200, 7);
    j.beam(S1, 210, 1300);
    const inOrder = new JournalWriter().made(loopGates);
    const exchanged = j.entries.filter((e) => e.type === "clock-exchanged");
    exchanged.sort((a, b) => a.body.t1Us - b.body.t1Us);
    for (const { body } of exchanged) inOrder.write(1250, { type: "clock-exchanged", body });
    inOrder.beam(S1, 210, 1300);
    expect(session(j).passings[0]?.at).toBe(session(inOrder).passings[0]?.at);
  });
});
