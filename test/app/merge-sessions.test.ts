// Two days on real files as one: gates and keys, swaps, voids, what was taken back and brought in
// again, imported rows; and what can't be one session.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { addNote, logSwap, redo, setMargin, undo } from "../../src/app/day-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import {
  mergeSessions,
  type ReadFile,
  replayed,
  writeMerged,
} from "../../src/app/merge-sessions.ts";
import { keyPassing } from "../../src/app/passing-commands.ts";
import { markRun, noteIncident, rateRun } from "../../src/app/run-commands.ts";
import type { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile, verifySession } from "../../src/app/verify.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { Rider, Setup, Sheet } from "../../src/domain/session.ts";
import { hostUs } from "../../src/domain/time.ts";
import type { Session } from "../../src/session/session.ts";
import { SimulatedHill } from "../../src/source/simulated-hill.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { emptyFolder } from "../store/on-disk.ts";
import { aloneSheet, operator, sheet, TestLaptop } from "./a-day.ts";
import { HandDay } from "./hand-day.ts";

const oneRider: Sheet = { ...sheet, riders: sheet.riders.slice(0, 1) };
const stamp = { atUs: 2e15, monoUs: hostUs(7), host: "laptop-9", writer: "merge-1", who: "me" };

/** A day at the gates, with all that can go wrong and be mended; its boxes begin at the same boot. */
async function aFullDay(laptop: TestLaptop, seed: number): Promise<SessionFile> {
  const file = laptop.make(oneRider);
  const hill = new SimulatedHill({ time: laptop.time, seed, effectSpreads: { A: 0, B: -3 } });
  const recorder = laptop.recorder(file, [hill]);
  recorder.start();
  laptop.pass(30);
  for (const setup of "ABA") {
    if (file.session().mounted["R1"] !== setup) {
      file.append(operator, (session) => logSwap(session, "R1", setup, true));
    }
    hill.setMounted(setup);
    hill.sendRider();
    do laptop.pass(1);
    while (hill.isRiderOnCourse);
    laptop.pass(30);
  }
  await recorder.stop("boxes go home");
  const [first, second, third] = file.session().runs.map((run) => run.runId);
  const does = (command: (session: Session) => ReturnType<typeof undo>): void => {
    file.append(operator, command);
  };
  does((session) => markRun(session, first ?? "", "void", "walker"));
  does(undo);
  does((session) => markRun(session, second ?? "", "void", "traffic"));
  does(undo);
  does(redo);
  does((session) => noteIncident(session, third ?? "", "dab", 2));
  does((session) => rateRun(session, third ?? "", "feel", 7));
  does((session) => addNote(session, third ?? "", "see run 3"));
  for (const gate of [0, 1, 2]) {
    const at = laptop.time.now();
    does((session) => keyPassing(session, gate, at));
    laptop.pass(30);
  }
  const row = { rider: "R1", uncertaintyS: 0.2, sectorS: [null, null], reason: null } as const;
  const times = [61.2, 58.9].map((timeS, i) => {
    const setup = i === 0 ? "A" : "B";
    return { ...row, setup, status: "ok" as const, timeS, startedAtUs: null };
  });
  does((session) => importRows(session, "watch.csv", times));
  const imported = file.session().runs.at(-1)?.runId ?? "";
  does((session) => markRun(session, imported, "warm-up", null));
  return file;
}

const readOf = (file: SessionFile): ReadFile => ({
  file: file.store.file,
  entries: file.store.readSince(0),
});

/** The merged session on disk. */
function merged(laptop: TestLaptop, ...files: readonly SessionFile[]): SessionFile {
  const path = join(emptyFolder(), "all.swaplap");
  const store = SessionStore.create(path);
  writeMerged(store, mergeSessions(files.map(readOf), stamp));
  expect(verifyFile(store, replayed(store))).toEqual([]);
  store.close();
  return laptop.open(path);
}

/** Without the names that hang on a file. */
function unnamed({ runs, swaps, incidents, ratings, notes, passings }: Session, day: number) {
  const ids = runs.filter((run) => run.day === day).map((run) => run.runId);
  const isOwn = ({ runId }: { readonly runId: string | null }) => ids.includes(runId ?? "");
  const place = (runId: string | null) => ids.indexOf(runId ?? "");
  return {
    runs: runs.filter(isOwn).map((run) => ({ ...run, runId: 0, day: 0 })),
    passings: passings
      .filter(isOwn)
      .map((p) => ({ ...p, passingId: 0, entrySeq: 0, runId: place(p.runId) })),
    incidents: incidents
      .filter(isOwn)
      .map((incident) => ({ ...incident, entrySeq: 0, runId: place(incident.runId) })),
    ratings: ratings.filter(isOwn).map((rating) => ({ ...rating, runId: place(rating.runId) })),
    notes: notes.filter(isOwn).map((n) => ({ ...n, entrySeq: 0, runId: place(n.runId) })),
    swaps: swaps.length,
  };
}

describe("two days on files of their own", () => {
  it("are both there in the merged session as they are by themselves", async () => {
    const laptop = new TestLaptop();
    const first = await aFullDay(laptop, 1);
    laptop.pass(600); // left on between the two: the same run of its clock
    const second = await aFullDay(laptop, 2);
    const before = [first, second].map((file) => readFileSync(file.store.file));
    const all = merged(laptop, second, first).session();
    const swaps = first.session().swaps.length + second.session().swaps.length;
    [first, second].forEach((file, day) => {
      const own = file.session();
      expect(own.runs.map((run) => run.status).join(" ")).toBe("ok void ok ok ok warm-up");
      expect(unnamed(all, day)).toEqual({ ...unnamed(own, 0), swaps });
      expect(readFileSync(file.store.file).equals(before[day] ?? Buffer.alloc(0))).toBe(true);
    });
    const boxes = (session: Session) => session.passings.filter((p) => p.box !== null);
    const [one, two] = [boxes(first.session()), boxes(second.session())];
    expect(two.map((p) => p.passingId)).toEqual(one.map((p) => p.passingId));
    expect(boxes(all).map((p) => p.passingId)).toEqual([
      ...one.map((p) => p.passingId),
      ...two.map((p) => `${p.passingId}@2`),
    ]);
    expect(all.anomalies).toEqual([]);
  }, 60_000);

  it("go on in the merged session where the newest day left off", () => {
    const laptop = new TestLaptop();
    const first = new HandDay(aloneSheet, laptop);
    for (const timeS of [60, 61, 62, 60.5]) first.ride(timeS);
    laptop.pass(86_400);
    const second = new HandDay(aloneSheet, laptop);
    second.ride(61);
    second.do((session) => logSwap(session, "R1", "B", true));
    second.ride(58);
    second.ride(58.4);
    const file = merged(new TestLaptop("laptop-2"), first.file, second.file);
    expect(file.session().mounted).toEqual({ R1: "B" });
    expect(file.summary().comparison.next).toMatchObject({ rider: "R1" });
    expect(file.summary().lastFinished?.timeS).toBe(58.4);
    file.append(operator, (session) => keyPassing(session, 0, hostUs(2e12)));
    file.append(operator, (session) => keyPassing(session, 2, hostUs(2e12 + 59e6)));
    const newest = file.session().runs.at(-1);
    expect(newest).toMatchObject({ day: 1, k: 4, setup: "B", timeS: 59 });
    expect(verifySession(file)).toEqual([]);
    // Its undo takes back what was done last, and can go on into the days.
    file.append(operator, undo);
    file.append(operator, undo);
    expect(file.session().runs).toHaveLength(7);
    expect(file.session().undo?.label).toBe("the passing keyed at the finish");
  });

  it("hold to the first day's promise, whatever was changed last on the second", () => {
    const laptop = new TestLaptop();
    const [first, second] = [new HandDay(aloneSheet, laptop), new HandDay(aloneSheet, laptop)];
    first.ride(60);
    second.ride(61);
    second.do((session) => setMargin(session, 0.3));
    expect(second.session.isMarginChanged).toBe(true);
    const { settings, isMarginChanged, daySheets } = merged(
      laptop,
      first.file,
      second.file,
    ).session();
    expect(settings?.marginS).toBe(0.8);
    expect(isMarginChanged).toBe(false);
    expect(daySheets.map((day) => day.marginS)).toEqual([0.8, 0.3]);
  });

  it("keep the order in which they were ridden, imported ones by their date", () => {
    const laptop = new TestLaptop();
    const ridden = new HandDay(aloneSheet, laptop); // on 9 May, at 8 in the morning
    ridden.ride(60);
    const dated = (date: string): SessionFile => {
      laptop.pass(5);
      const file = laptop.make({ ...aloneSheet, settings: { ...aloneSheet.settings, date } });
      const row = {
        rider: "R1",
        setup: "A",
        status: "ok",
        uncertaintyS: null,
        reason: null,
      } as const;
      const rows = [{ ...row, timeS: 61, sectorS: [null, null], startedAtUs: null }];
      file.append(operator, (session) => importRows(session, `${date}.csv`, rows));
      return file;
    };
    const files = [dated("2026-05-10"), ridden.file, dated("2026-05-08")].map(readOf);
    const names = files.map((read) => read.file);
    expect(mergeSessions(files, stamp).files).toEqual([names[2], names[1], names[0]]);
  });

  it("are written into a new file only", () => {
    const laptop = new TestLaptop();
    const days = [new HandDay(aloneSheet, laptop), new HandDay(aloneSheet, laptop)];
    for (const day of days) day.ride(60);
    const of = mergeSessions(
      days.map((day) => readOf(day.file)),
      stamp,
    );
    const { store } = days[0]?.file ?? laptop.make();
    const before = store.readSince(0).length;
    expect(() => {
      writeMerged(store, of);
    }).toThrow(RangeError);
    expect(store.readSince(0)).toHaveLength(before);
  });
});

describe("sessions that can't be one", () => {
  /** A ridden day each; its sheet is `of`. */
  function read(laptop: TestLaptop, of: Sheet, name: string): ReadFile {
    const day = new HandDay(of, laptop);
    day.key(0);
    laptop.pass(60);
    day.key(of.gates.length - 1);
    return { ...readOf(day.file), file: name };
  }

  function refusal(of: readonly ReadFile[]): string {
    try {
      mergeSessions(of, stamp);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      expect(error.code).toBe("refused");
      return `${error.message}: ${error.hint}`;
    }
    throw new TypeError("it was not refused");
  }

  const withSetups = (change: (setup: Setup) => Partial<Setup>): Sheet => ({
    ...aloneSheet,
    setups: aloneSheet.setups.map((setup) => ({ ...setup, ...change(setup) })),
  });
  const withRiders = (change: (rider: Rider) => Partial<Rider>): Sheet => ({
    ...aloneSheet,
    riders: aloneSheet.riders.map((rider) => ({ ...rider, ...change(rider) })),
  });
  const [start, split, finish] = aloneSheet.gates;
  if (start === undefined || split === undefined || finish === undefined) {
    throw new TypeError("the sheet has three gates");
  }

  it.each<readonly [string, Sheet, RegExp]>([
    [
      "another stretch",
      { ...aloneSheet, settings: { ...aloneSheet.settings, stretch: "Lower woods, invented" } },
      /^a is of "Lantern bank, invented", b of "Lower woods, invented": merge only days on one stretch/,
    ],
    [
      "another number of gates",
      { ...aloneSheet, gates: [start, split, split, finish] },
      /^the gates are start, split, finish in a, start, split, split, finish in b: /,
    ],
    [
      "another sector",
      { ...aloneSheet, gates: [start, { ...split, sector: null }, finish] },
      /^sector 1 is "Roots" in a, "Sector 1" in b: /,
    ],
    [
      "another value on the sheet",
      withSetups(({ id }) => (id === "B" ? { values: { rear_insert: "cork" } } : {})),
      /^set-up B has another rear_insert: foam in a, cork in b: one id must mean one set-up/,
    ],
    [
      "a line that the other sheet lacks",
      withSetups(({ values }) => ({ values: { ...values, rear_pressure_bar: 1.6 } })),
      /^set-up A has another rear_pressure_bar: not told in a, 1.6 in b: /,
    ],
    [
      "another baseline",
      withSetups(({ id }) => ({ baseline: id === "B" })),
      /^the baseline is A in a, B in b: merge only days with one baseline/,
    ],
    [
      "another person under one id",
      withRiders(() => ({ name: "Somebody else" })),
      /^R1 is "Rider one" in a, "Somebody else" in b: one id must mean one person/,
    ],
  ])("%s", (_, other, words) => {
    const laptop = new TestLaptop();
    const days = [read(laptop, aloneSheet, "a"), read(laptop, other, "b")];
    expect(refusal(days)).toMatch(words);
  });

  it("set-ups of one id with nothing written down and other names", () => {
    const laptop = new TestLaptop();
    const bare = (name: string): Sheet => withSetups(() => ({ name, values: {} }));
    const days = [read(laptop, bare("None"), "a"), read(laptop, bare("Cork"), "b")];
    expect(refusal(days)).toMatch(
      /^set-up A has another name and nothing on its sheet: "None" in a, "Cork" in b/,
    );
  });

  it("the third and the second", () => {
    const laptop = new TestLaptop();
    const c = { ...aloneSheet.setups[1], id: "C", name: "Cork", baseline: false } as Setup;
    const withC = (values: Setup["values"]): Sheet => ({
      ...aloneSheet,
      setups: [...aloneSheet.setups, { ...c, values }],
    });
    const of = [aloneSheet, withC({ rear_insert: "cork" }), withC({ rear_insert: "foam" })];
    const days = of.map((each, i) => read(laptop, each, `day ${String(i + 1)}`));
    expect(refusal(days)).toMatch(/^set-up C .*: cork in day 2, foam in day 3/);
  });

  it("one file twice, a copy of it that went on, and a merged one", () => {
    const laptop = new TestLaptop();
    const day = new HandDay(aloneSheet, laptop);
    day.ride(60);
    const early = readOf(day.file);
    day.ride(61);
    const late = { ...readOf(day.file), file: "copy" };
    expect(refusal([early, early])).toMatch(/ are the same session: name it once$/);
    expect(refusal([late, early])).toMatch(/ are the same session: name it once$/);
    const other = new HandDay(aloneSheet, laptop);
    other.ride(62);
    const both = { ...readOf(merged(laptop, day.file, other.file)), file: "both" };
    expect(refusal([both, early])).toMatch(
      /^both is a merged session already: merge the files of the single days/,
    );
  });

  it("a day without runs, and one with somebody out", () => {
    const laptop = new TestLaptop();
    const ridden = read(laptop, aloneSheet, "ridden");
    const day = new HandDay(aloneSheet, laptop);
    expect(refusal([ridden, { ...readOf(day.file), file: "empty" }])).toBe(
      "empty holds no runs: leave it out",
    );
    day.start();
    expect(refusal([ridden, { ...readOf(day.file), file: "out" }])).toMatch(
      /^Rider one is still on course in out: .*say how that run ended/,
    );
  });

  it("a single one, and one that was never made", () => {
    const laptop = new TestLaptop();
    const one = read(laptop, aloneSheet, "one");
    const codeOf = (of: readonly ReadFile[]): string => {
      try {
        mergeSessions(of, stamp);
      } catch (error) {
        if (error instanceof UserError) return error.code;
      }
      return "";
    };
    expect(codeOf([one])).toBe("wrong-usage");
    expect(codeOf([])).toBe("wrong-usage");
    expect(codeOf([one, { file: "none", entries: [] }])).toBe("not-a-session");
  });
});
