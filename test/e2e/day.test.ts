// The built program on a real terminal: a newcomer's first minute, and a whole day by serial port.
import { copyFileSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { comparisonOf, type RunRow, rowsOf, runsOf } from "./exported.ts";
import { Gates, type Ride } from "./gates.ts";
import { inFolder, missingTools, run } from "./program.ts";
import { GATES_SHEET } from "./sheets.ts";
import { Terminal } from "./terminal.ts";

const missing = missingTools();
const why = missing === "" ? "" : ` (skipped: no ${missing} here)`;

// At the same time: what takes long is waiting for riders.
describe.skipIf(missing !== "").concurrent(`on a terminal${why}`, () => {
  it("shows a newcomer a whole practice day within 75 s", async () => {
    await inFolder(async (folder) => {
      const terminal = await Terminal.open(folder, 80, 24);
      try {
        await practise(terminal);
      } finally {
        await terminal.end();
      }
    });
  }, 120_000);

  it("brings a day by serial port home: swaps, a pulled cable, a kill, corrections", async () => {
    await inFolder(async (folder) => {
      const gates = new Gates(folder);
      const terminal = await Terminal.open(folder, 80, 24);
      try {
        await gates.plug();
        await rideTheDay(folder, gates, terminal);
      } finally {
        await terminal.end();
        await gates.end();
      }
    });
  }, 150_000);
});

async function practise(terminal: Terminal): Promise<void> {
  await terminal.start("");
  await terminal.shows(/practise on a simulated hill[\s\S]*\[START\]/);
  await terminal.type("p");
  const begun = performance.now();
  const toSee = new Map<string, RegExp>([
    ["that it is practice", /^PRACTICE/m],
    ["a rider on course", /^1 ON COURSE[\s\S]*Rider one [AB] [●▲] in Roots/m],
    ["a split", /Rider one [AB] [●▲] in Gully/],
    ["a finish", /^ +1 [AB] [●▲] +(?:1:0\d|5\d)\.\d{3}/m],
    ["the last time large", /LAST TIME[\s\S]*██/],
    ["a swap", /undo swap to [AB]/],
    ["a band", /[├█━┤]{6}/],
    ["a verdict", /can't tell yet|(?:quicker|slower) by|no difference worth having/],
    ["a suggestion", /^NEXT {2}Rider one: [AB] [●▲]/m],
    ["the end of the plan", /12 of 12 counted runs/],
  ]);
  const screens = new Set<string>();
  await terminal
    .sees(
      "everything of a practice day",
      (screen) => {
        screens.add(screen);
        for (const [what, pattern] of toSee) if (pattern.test(screen)) toSee.delete(what);
        return toSee.size === 0;
      },
      75_000 - (performance.now() - begun),
    )
    .catch((error: unknown) => {
      throw new Error(`not seen: ${[...toSee.keys()].join(", ")}`, { cause: error });
    });
  // The band shrinks.
  const widths = [...screens].flatMap((screen) => bandWidthS(screen) ?? []);
  expect(widths.at(-1)).toBeLessThan(widths[0] ?? NaN);

  await terminal.type("q");
  const left = await terminal.shows("ended 0");
  expect(left).toMatch(/12 runs counted/);
  expect(left).not.toContain("[LIVE]");
  expect(await terminal.modes()).toEqual({ isAlternate: false, isCursorShown: true });
  expect(await terminal.lineModes()).toEqual(["icanon", "echo"]);
}

/** Width of the band as the screen says it in words, s. */
function bandWidthS(screen: string): number | undefined {
  const found = /between ([+-]?[\d.]+) and ([+-]?[\d.]+)/.exec(screen);
  return found === null ? undefined : Number(found[2]) - Number(found[1]);
}

/** What really happened, by the true clock. */
interface Truth {
  /** Times of the runs that beams timed, s, by k; the warm-up is 0. */
  readonly timesS: Map<number, number>;
  readonly splitsS: Map<number, number>;
}

async function rideTheDay(folder: string, gates: Gates, terminal: Terminal): Promise<void> {
  const file = join(folder, "day.swaplap");
  const truth: Truth = { timesS: new Map(), splitsS: new Map() };
  const recordTruth = (k: number, { startUs, splitUs, finishUs }: Ride): void => {
    truth.timesS.set(k, (finishUs - startUs) / 1e6);
    truth.splitsS.set(k, (splitUs - startUs) / 1e6);
  };
  /** Row of a run in the list: number, set-up, time. */
  const row = (k: number, setup: string, rest = "\\d+\\.\\d+") =>
    new RegExp(`^[ >] +${k === 0 ? "w" : String(k)} ${setup} [●▲] +${rest}`, "m");

  writeFileSync(join(folder, "day.toml"), GATES_SHEET);
  expect((await run(folder, "new", "day.toml", "day.swaplap")).code).toBe(0);

  await terminal.start(`console day.swaplap --port ${gates.port}`);
  await terminal.shows(/^course clear[\s\S]*start heard, split 1 heard[\s\S]*finish heard/m);

  // Warm-up.
  recordTruth(0, gates.ride(1.4, 3.4));
  await terminal.shows(/^1 ON COURSE[\s\S]*Rider one A ● in Roots/m);
  await terminal.shows("Rider one A ● in Gully");
  await terminal.shows(row(1, "A"));
  await terminal.type("w");
  await terminal.shows(row(0, "A", "\\d+\\.\\d+ warm-up"));

  // Runs 1 and 2, a swap between them.
  recordTruth(1, gates.ride(1.5, 3.5));
  await terminal.shows(row(1, "A"));
  await terminal.type("2");
  await terminal.shows("B is on R1's bike");
  recordTruth(2, gates.ride(1.3, 3.1));
  await terminal.shows(row(2, "B"));
  await terminal.shows("2 of 8 counted runs");

  // Run 3: the finish beam misses the rider and the operator keys it.
  const startUs = gates.cross(gates.start);
  await terminal.shows(/^1 ON COURSE/m);
  await gates.until(startUs + 1.3e6);
  const splitUs = gates.cross(gates.split);
  await terminal.shows("Rider one B ▲ in Gully");
  await gates.until(startUs + 3.2e6);
  const keyedUs = gates.now();
  await terminal.type("f");
  await terminal.shows(row(3, "B", "\\d+\\.\\d hand"));
  const byHandS = (keyedUs - startUs) / 1e6;
  truth.splitsS.set(3, (splitUs - startUs) / 1e6);

  // The suggestion is taken; run 4, with the cable out.
  await terminal.shows("NEXT  Rider one: A ●");
  await terminal.type("Enter");
  await terminal.shows("A is on R1's bike");
  const leftUs = gates.cross(gates.start);
  await terminal.shows(/^1 ON COURSE/m);
  await gates.pull();
  const lost = await terminal.shows(/^! +PORT CLOSED, EVENTS WAIT/m);
  expect(lost).toContain("1 ON COURSE");
  await gates.until(leftUs + 1.4e6);
  const passedUs = gates.cross(gates.split);
  await gates.until(leftUs + 3.6e6);
  const inUs = gates.cross(gates.finish);
  await gates.until(inUs + 0.5e6);
  expect(gates.finish.waiting).toBeGreaterThan(0);
  expect(await terminal.screen()).not.toMatch(row(4, "A"));
  recordTruth(4, { startUs: leftUs, splitUs: passedUs, finishUs: inUs });
  await gates.plug();
  await terminal.shows(row(4, "A"));
  await terminal.shows(/^course clear[\s\S]*PORT CLOSED/m);
  await terminal.type("Space");
  await terminal.sees(
    "that the operator has seen it",
    (screen) => screen.includes("course clear") && !screen.includes("PORT CLOSED"),
  );

  // Run 5 was on B, which nobody had logged.
  recordTruth(5, gates.ride(1.2, 3.0));
  await terminal.shows(row(5, "A"));
  await terminal.type("Up");
  await terminal.shows("[SCROLL]");
  await terminal.type("2");
  await terminal.shows(row(5, "B"));
  await terminal.type("Escape");
  await terminal.shows("[LIVE]");

  // Run 6 is void, with a reason; run 7 only for a moment.
  const sixth = gates.ride(1.6, 3.7);
  recordTruth(6, sixth);
  await terminal.shows(row(6, "A"));
  await terminal.type("BSpace");
  await terminal.shows("Void: run 6 of Rider one. Why?");
  await terminal.type("1");
  await terminal.shows(row(6, "A", "\\d+\\.\\d+ ✗ void, wa"));
  // The finish box restarts, with a clock that begins at nought.
  await gates.until(sixth.finishUs + 1.2e6);
  await gates.allSafe();
  gates.finish.reset();
  recordTruth(7, gates.ride(1.5, 3.4));
  await terminal.shows(row(7, "A"));
  await terminal.type("x");
  await terminal.shows("Void: run 7 of Rider one. Why?");
  await terminal.type("Escape");
  await terminal.shows(row(7, "A", "\\d+\\.\\d+ ✗ void"));
  await terminal.type("u");
  await terminal.shows(row(7, "A", "\\d+\\.\\d+(?! ✗)"));
  await terminal.shows("taken back: void run 7");

  // Run 8: killed with the rider on course, and started again.
  await terminal.type("2");
  await terminal.shows("B is on R1's bike");
  const lastStartUs = gates.cross(gates.start);
  await terminal.shows(/^1 ON COURSE/m);
  const before = await runsOf(folder, "day.swaplap");
  expect(before.map((each) => each.status)).toEqual([
    "warm-up",
    "ok",
    "ok",
    "ok",
    "ok",
    "ok",
    "void",
    "ok",
    "on-course",
  ]);
  process.kill(await terminal.pid(), "SIGKILL");
  await terminal.shows("ended 137");
  await gates.until(lastStartUs + 1.1e6);
  const lastSplitUs = gates.cross(gates.split);
  await terminal.type("tput rmcup; stty sane; echo usable'again'", "C-j");
  await terminal.shows("usableagain");
  await terminal.start(`console day.swaplap --port ${gates.port}`);
  const again = await terminal.shows(/^1 ON COURSE[\s\S]*\d:\d\d Rider one B ▲ in Gully/m);
  expect(again).toMatch(/recording here/);
  const after = await runsOf(folder, "day.swaplap");
  expect(after.map(decided)).toEqual(before.map(decided));
  await gates.until(lastStartUs + 3.1e6);
  const lastFinishUs = gates.cross(gates.finish);
  recordTruth(8, { startUs: lastStartUs, splitUs: lastSplitUs, finishUs: lastFinishUs });
  await terminal.shows(row(8, "B"));
  await terminal.shows(/^course clear[\s\S]*7 of 8 counted runs/m);

  // Everything is safe; the console is left.
  await gates.until(lastFinishUs + 1.2e6);
  await gates.allSafe();
  await terminal.type("q");
  await terminal.shows("ended 0");
  expect(await terminal.modes()).toEqual({ isAlternate: false, isCursorShown: true });
  expect(await terminal.lineModes()).toEqual(["icanon", "echo"]);

  // One file is the whole session.
  expect(existsSync(`${file}-wal`)).toBe(false);
  copyFileSync(file, join(folder, "copy.swaplap"));

  const verified = await run(folder, "verify", "day.swaplap");
  expect(verified).toMatchObject({ code: 0, err: "" });
  expect(verified.out).toContain("9 runs");
  nothingIsLost(file);
  await timesAreTrue(folder, truth, byHandS);
  await comparisonIsSane(folder);
  await tablesAreWhole(folder);
}

/** What people and the matching decided about a run; times may still become better. */
function decided({ run_id, rider, setup, k, status, reason, timed_by }: RunRow) {
  return { run_id, rider, setup, k, status, reason, timed_by };
}

/** Every event that a box ever numbered is in the journal, once. */
function nothingIsLost(file: string): void {
  const db = new Database(file, { readonly: true });
  const lines = db
    .prepare<[], { box: string; boot: number; seq: number }>(
      `SELECT body ->> '$.decoded.box' AS box, body ->> '$.decoded.boot' AS boot,
         body ->> '$.decoded.seq' AS seq FROM journal
       WHERE type = 'line-received' AND body ->> '$.decoded.type' = 'event' ORDER BY 1, 2, 3`,
    )
    .all();
  const seqs = (box: string, boot: number) =>
    lines.filter((each) => each.box === box && each.boot === boot).map((each) => each.seq);
  db.close();
  const upTo = (last: number) => Array.from({ length: last }, (_, i) => i + 1);
  // Nine starts and splits, eight finishes: one was missed. Each is told when it begins and ends.
  expect(seqs("S1", 18)).toEqual(upTo(18));
  expect(seqs("P1", 5)).toEqual(upTo(18));
  expect(seqs("F1", 7)).toEqual(upTo(12));
  expect(seqs("F1", 8)).toEqual(upTo(4));
}

async function timesAreTrue(folder: string, truth: Truth, byHandS: number): Promise<void> {
  const runs = await runsOf(folder, "day.swaplap");
  const sectors = await rowsOf(folder, "day.swaplap", "sector_time");
  for (const each of runs) {
    const k = each.k ?? 0;
    const first = sectors.find((s) => s["run_id"] === each.run_id && s["sector"] === 1);
    expect(Math.abs(Number(first?.["time_s"]) - (truth.splitsS.get(k) ?? NaN))).toBeLessThan(0.05);
    const isByHand = k === 3;
    expect(each.timed_by).toBe(isByHand ? "hand" : "beam");
    if (isByHand) continue;
    const errorS = (each.time_s ?? NaN) - (truth.timesS.get(k) ?? NaN);
    const uncertaintyS = each.uncertainty_s ?? NaN;
    expect(uncertaintyS, `run ${String(k)}`).toBeLessThan(0.05);
    expect(Math.abs(errorS), `run ${String(k)}`).toBeLessThan(4 * uncertaintyS);
  }
  // The key's own scatter is not there when a test presses it: what is left is its way to the program.
  const keyed = runs.find((each) => each.k === 3);
  expect(keyed?.uncertainty_s).toBeCloseTo(0.2, 2);
  expect(Math.abs((keyed?.time_s ?? NaN) - byHandS)).toBeLessThan(0.3);
}

async function comparisonIsSane(folder: string): Promise<void> {
  const comparison = await comparisonOf(folder, "day.swaplap");
  expect(comparison).toMatchObject({
    format: "swaplap-comparison",
    version: 1,
    session: { name: "Foam insert in the rear tyre", stretch: "Hollow oak", date: "2026-05-09" },
    settings: { bands: "plan", drift: "none", spreads: "each", planned_runs: 8, baseline: "A" },
    together: null,
    next: { rider: "R1" },
  });
  const [rider] = comparison.riders;
  expect(rider).toMatchObject({
    rider: "R1",
    counted_runs: 7,
    void_runs: 1,
    warm_up_runs: 1,
    dnf_runs: 0,
    unsure_runs: 0,
  });
  expect(rider?.parts.map((part) => part.name)).toEqual([null, "Roots", "Gully"]);
  const pair = rider?.parts[0]?.pairs[0];
  expect(pair).toMatchObject({ setup: "B", baseline: "A", runs: 4, baseline_runs: 3 });
  // Without a trend the model's difference is that of the two means.
  const runs = (await runsOf(folder, "day.swaplap")).filter((each) => each.status === "ok");
  const mean = (setup: string): number => {
    const times = runs.filter((each) => each.setup === setup).map((each) => each.time_s ?? NaN);
    return times.reduce((sum, timeS) => sum + timeS, 0) / times.length;
  };
  expect(pair?.difference_s).toBeCloseTo(mean("B") - mean("A"), 9);
  const [low, high] = pair?.band_s ?? [NaN, NaN];
  expect(low).toBeLessThan(pair?.difference_s ?? NaN);
  expect(high).toBeGreaterThan(pair?.difference_s ?? NaN);

  // A copy of the one file says the same.
  expect(await comparisonOf(folder, "copy.swaplap")).toEqual(comparison);
}

async function tablesAreWhole(folder: string): Promise<void> {
  const exported = await run(folder, "export", "day.swaplap", "--csv", "tables");
  expect(exported).toMatchObject({ code: 0, out: "" });
  const count = (table: string): number => {
    const text = readFileSync(join(folder, "tables", `${table}.csv`), "utf8");
    return parse(text, { columns: true }).length;
  };
  const counts = {
    run: 9,
    sector_time: 18,
    // Nine starts, nine splits, eight finishes by beam and one by hand.
    passing: 27,
    setup: 2,
    setup_value: 4,
    swap: 3,
    incident: 0,
    rating: 0,
    measure: 0,
    comparison: 3,
  };
  expect(Object.fromEntries(Object.keys(counts).map((table) => [table, count(table)]))).toEqual(
    counts,
  );
}
