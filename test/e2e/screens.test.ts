// The built program on real terminals: by hand, boards, a recorder beside it, sizes, hostile input.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { rowsOf, runsOf } from "./exported.ts";
import { Gates } from "./gates.ts";
import { begin, inFolder, missingTools, run, waitFor } from "./program.ts";
import { EXPLORE_SHEET, FEEL_SHEET, GATES_SHEET, HAND_SHEET, HAND_TIMES } from "./sheets.ts";
import { Terminal } from "./terminal.ts";

const missing = missingTools();
const why = missing === "" ? "" : ` (skipped: no ${missing} here)`;

/** Everything that a test opened is closed after it, the last one first. */
async function onStage(
  work: (stage: {
    readonly folder: string;
    readonly gates: () => Promise<Gates>;
    readonly terminal: (columns: number, rows: number) => Promise<Terminal>;
  }) => Promise<void>,
): Promise<void> {
  await inFolder(async (folder) => {
    const ends: (() => Promise<void>)[] = [];
    try {
      await work({
        folder,
        gates: async () => {
          const gates = new Gates(folder);
          ends.push(() => gates.end());
          await gates.plug();
          return gates;
        },
        terminal: async (columns, rows) => {
          const terminal = await Terminal.open(folder, columns, rows);
          ends.push(() => terminal.end());
          return terminal;
        },
      });
    } finally {
      for (const end of ends.reverse()) await end();
    }
  });
}

async function makeSession(folder: string, sheet: string): Promise<void> {
  writeFileSync(join(folder, "day.toml"), sheet);
  expect(await run(folder, "new", "day.toml", "day.swaplap")).toMatchObject({ code: 0, err: "" });
}

/** Looks the act up in the list of all acts and takes it. */
async function choose(terminal: Terminal, act: string): Promise<void> {
  await terminal.type("a");
  let screen = await terminal.shows(/^Everything that can be done[\s\S]*^> /m);
  while (!new RegExp(`^> \\d  ${act}`, "m").test(screen)) {
    const focused = /^> .*/m.exec(screen)?.[0] ?? "";
    await terminal.type("Down");
    screen = await terminal.sees(`another line than ${focused}`, (now) => {
      const line = /^> .*/m.exec(now)?.[0];
      return line !== undefined && line !== focused;
    });
  }
  await terminal.type("Enter");
}

const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

describe.skipIf(missing !== "").concurrent(`on a terminal${why}`, () => {
  it("times two riders by hand, and takes a bouncing key for one press", async () => {
    await onStage(async ({ folder, terminal: openTerminal }) => {
      await makeSession(folder, HAND_SHEET);
      const terminal = await openTerminal(80, 24);
      await terminal.start("console day.swaplap --hand");
      await terminal.shows(/by hand[\s\S]*start by hand[\s\S]*\[LIVE\]/);
      /** A press, and when it was, s. */
      const press = async (...keys: string[]): Promise<number> => {
        const before = performance.now();
        await terminal.type(...keys);
        return (before + performance.now()) / 2000;
      };
      const firstStart = await press("s", "s");
      await terminal.shows(/^1 ON COURSE[\s\S]*Rider one A ●/m);
      await pause(3500);
      expect(await terminal.screen()).toMatch(/^1 ON COURSE/m);
      const secondStart = await press("i");
      await terminal.shows(/^2 ON COURSE[\s\S]*Rider one A ●[\s\S]*Rider two/m);
      const firstFinish = await press("f", "f", "f");
      await terminal.shows(/^1 ON COURSE/m);
      await terminal.shows(/^ +1 R1 A ● +\d\.\d hand/m);
      await pause(3500);
      expect(await terminal.screen()).toMatch(/^1 ON COURSE/m);
      const secondFinish = await press("Space");
      await terminal.shows(/^ +1 R2 \w [●▲] +\d\.\d hand/m);
      await terminal.type("q");
      await terminal.shows("ended 0");

      const runs = await runsOf(folder, "day.swaplap");
      expect(runs.map(({ rider, status, timed_by }) => [rider, status, timed_by])).toEqual([
        ["R1", "ok", "hand"],
        ["R2", "ok", "hand"],
      ]);
      const [one, two] = runs.map((each) => each.time_s ?? NaN);
      expect(Math.abs((one ?? NaN) - (firstFinish - firstStart))).toBeLessThan(0.3);
      expect(Math.abs((two ?? NaN) - (secondFinish - secondStart))).toBeLessThan(0.3);
      // Each key 0.2 s; a run has two of them, independent of each other.
      for (const each of runs) expect(each.uncertainty_s).toBeCloseTo(Math.hypot(0.2, 0.2), 6);
      const passings = await rowsOf(folder, "day.swaplap", "passing");
      expect(passings.map((each) => [each["source"], each["uncertainty_s"]])).toEqual(
        Array.from({ length: 4 }, () => ["hand", 0.2]),
      );
      expect((await run(folder, "verify", "day.swaplap")).code).toBe(0);
    });
  }, 60_000);

  it("turns to the plan before the first run, and hides a time until the rider has answered", async () => {
    await onStage(async ({ folder, terminal: openTerminal }) => {
      await makeSession(folder, FEEL_SHEET);
      const terminal = await openTerminal(80, 24);
      const board = await openTerminal(80, 24);
      await terminal.start("console day.swaplap --hand");
      await board.start("board day.swaplap");
      await terminal.shows(/8 runs, 4 swaps[\s\S]*Tab: the whole plan[\s\S]*\[LIVE\]/);
      await terminal.type("Tab");
      await terminal.shows(/As planned[\s\S]*Runs: 8, order: A B B A A B B A/);
      await terminal.type("Right", "Right", "Right", "Right");
      await terminal.shows(/What if: \+4 runs[\s\S]*Runs: 12/);
      await terminal.type("Escape");
      await terminal.shows("[LIVE]");

      await terminal.type("s");
      await terminal.shows(/^1 ON COURSE/m);
      await pause(2500);
      await terminal.type("f");
      await terminal.shows(/how was it/i);
      await board.shows(/HOW WAS IT/);
      const asked = await terminal.screen();
      expect(asked).toMatch(/^ +1 A ● +asked/m);
      expect(`${asked}${await board.screen()}`).not.toMatch(/\d\.\d hand/);
      await terminal.type("y");
      await terminal.shows(/How was run 1 of Rider one/);
      await terminal.type("1");
      await terminal.shows(/grip in run 1 of Rider one/);
      await terminal.type("7");
      await terminal.shows(/^ +1 A ● +\d\.\d hand/m);
      await board.shows(/LAST TIME +run 1/);
      expect(await rowsOf(folder, "day.swaplap", "rating")).toMatchObject([
        { aspect: "grip", score: 7 },
      ]);
      for (const each of [terminal, board]) {
        await each.type("q");
        await each.shows("ended 0");
      }
    });
  }, 60_000);

  it("explores a pressure by keys, and begins the closing check of what it found", async () => {
    await onStage(async ({ folder, terminal: openTerminal }) => {
      await makeSession(folder, EXPLORE_SHEET);
      const terminal = await openTerminal(80, 24);
      await terminal.start("console day.swaplap --hand");
      for (let run = 1; run <= 6; run += 1) {
        const screen = await terminal.shows(
          new RegExp(`${String(run - 1)} of 6 runs[\\s\\S]*^NEXT {2}Rider one: .*\\d bar`, "m"),
        );
        const bar = Number(/^NEXT {2}Rider one: .*?(\d\.\d\d) bar/m.exec(screen)?.[1]);
        expect(bar).toBeGreaterThanOrEqual(1.3);
        expect(bar).toBeLessThanOrEqual(1.9);
        if (!screen.includes("on the bike: ride")) {
          await terminal.type("Enter");
          await terminal.shows("on the bike: ride");
        }
        await terminal.type("s");
        await terminal.shows(/^1 ON COURSE/m);
        // The quickest is 1.45 bar.
        await pause(1300 + 2000 * ((bar - 1.45) / 0.3) ** 2);
        await terminal.type("f");
        await terminal.shows(/^nobody on course/m);
      }
      await terminal.shows(/6 of 6 runs[\s\S]*the planned runs are ridden {2}Enter: closing check/);
      await terminal.type("Enter");
      await terminal.shows(/bar against 1\.75 bar, 8 runs[\s\S]*\[CONFIRM\]/);
      await terminal.type("y");
      await terminal.shows(/AGAINST A ● As it is[\s\S]*0 of 8 counted runs/);
      await terminal.type("q");
      await terminal.shows("ended 0");
      expect((await run(folder, "verify", "day.swaplap")).code).toBe(0);
      const { out } = await run(folder, "compare", "day.swaplap");
      expect(out).toMatch(/exploring rear pressure from 1\.30 bar to 1\.90 bar/);
      expect(out).toContain("closing check of");
    });
  }, 90_000);

  it("shows boards that follow live; a blind one keeps the standing to itself", async () => {
    await onStage(async ({ folder, terminal: openTerminal }) => {
      await makeSession(folder, HAND_SHEET);
      writeFileSync(join(folder, "times.csv"), HAND_TIMES);
      expect((await run(folder, "import", "times.csv", "day.swaplap")).code).toBe(0);
      const terminal = await openTerminal(80, 24);
      const board = await openTerminal(100, 30);
      const blind = await openTerminal(80, 24);
      await terminal.start("console day.swaplap --hand");
      await board.start("board day.swaplap");
      await blind.start("board day.swaplap --blind");
      const standing = /quicker by|slower by|can't tell|between/;
      await terminal.shows("[LIVE]");
      await board.shows(/Rider one {2}against A ●[\s\S]*B quicker by/);
      await blind.shows(/NEXT/);

      await terminal.type("s");
      await board.shows(/1 ON COURSE/);
      await pause(2500);
      await terminal.type("f");
      await terminal.shows(/^ +9 R1 A ● +\d\.\d hand/m);
      await board.shows(/LAST TIME +run 9 +Rider one/);
      await blind.shows(/nobody on course|course clear/);
      expect(await blind.screen()).not.toMatch(standing);

      await choose(terminal, "close session");
      await terminal.shows("[CONFIRM]");
      await terminal.type("y");
      await terminal.shows("CLOSED");
      await blind.shows(standing);
      for (const each of [terminal, board, blind]) {
        await each.type("q");
        await each.shows("ended 0");
      }
    });
  }, 60_000);

  it("records beside a console, one recorder a file; the console goes on when that is killed", async () => {
    await onStage(async ({ folder, gates: openGates, terminal: openTerminal }) => {
      await makeSession(folder, GATES_SHEET);
      const gates = await openGates();
      const recorder = begin(folder, ["record", "day.swaplap", "--port", gates.port]);
      try {
        await waitFor(
          () => `the recorder to record: ${recorder.err()}`,
          () => (recorder.err().includes("recording") ? true : undefined),
        );
        const terminal = await openTerminal(80, 24);
        await terminal.start(`console day.swaplap --port ${gates.port}`);
        await terminal.shows(`recording elsewhere: ${String(recorder.child.pid)}`);
        await terminal.shows("finish heard");
        const second = await run(folder, "record", "day.swaplap", "--port", gates.port);
        expect(second.code).toBe(1);
        expect(second.err).toMatch(/is being recorded by another program/);

        gates.ride(1.2, 3.2);
        await terminal.shows(/^ +1 A ● +3\.\d{3}/m);
        await terminal.type("w");
        await terminal.shows(/^ +w A ● +3\.\d{3} warm-up/m);
        expect(await run(folder, "verify", "day.swaplap")).toMatchObject({ code: 0, err: "" });
        await gates.allSafe();

        recorder.child.kill("SIGKILL");
        const { out } = await recorder.ended;
        expect(out).toMatch(/Rider one started on A No insert[\s\S]*Rider one finished run 1 on A/);
        expect(out).toMatch(/warm-up/);
        await terminal.shows("recording here", 15_000);
        gates.ride(1.3, 3.3);
        await terminal.shows(/^ +1 A ● +3\.\d{3}/m);
        await terminal.type("q");
        await terminal.shows("ended 0");
      } finally {
        recorder.child.kill("SIGKILL");
      }

      const again = begin(folder, ["record", "day.swaplap", "--port", gates.port]);
      try {
        await waitFor(
          () => `the port to open: ${again.out()}${again.err()}`,
          () => (/port .* open/.test(again.out()) ? true : undefined),
        );
        gates.ride(1.1, 3.1);
        await waitFor(
          () => `the third run: ${again.out()}`,
          () => (/finished run 2 on A No insert: 3\.\d{3}/.test(again.out()) ? true : undefined),
        );
        again.child.kill("SIGINT");
        expect((await again.ended).code).toBe(0);
      } finally {
        again.child.kill("SIGKILL");
      }
      const runs = await runsOf(folder, "day.swaplap");
      expect(runs.map(({ k, status }) => [k, status])).toEqual([
        [null, "warm-up"],
        [1, "ok"],
        [2, "ok"],
      ]);
      expect((await run(folder, "verify", "day.swaplap")).code).toBe(0);
    });
  }, 90_000);

  it("fits every size without remains, records meanwhile, and gives the terminal back", async () => {
    await onStage(async ({ folder, gates: openGates, terminal: openTerminal }) => {
      await makeSession(folder, GATES_SHEET);
      const gates = await openGates();
      const terminal = await openTerminal(80, 24);
      await terminal.start(`console day.swaplap --port ${gates.port}`);
      await terminal.shows("finish heard");
      gates.ride(1.2, 3.2);
      await terminal.shows(/^ +1 A ● +3\.\d{3}/m);
      for (const [columns, rows] of [
        [80, 24],
        [100, 30],
        [200, 55],
      ] as const) {
        await terminal.resize(columns, rows);
        await terminal.sees(`a whole picture of ${String(columns)}x${String(rows)}`, (screen) =>
          isWhole(screen, columns, rows),
        );
      }
      await terminal.resize(60, 20);
      await terminal.sees(
        "one line with the size needed",
        (screen) => screen.trim() === "needs 80x24, is 60x20; recording goes on",
      );
      const ride = gates.ride(1.3, 3.3);
      await gates.until(ride.finishUs + 0.2e6);
      await terminal.resize(80, 24);
      const screen = await terminal.sees(
        "a whole picture with the run ridden meanwhile",
        (now) => isWhole(now, 80, 24) && /^ +2 A ● +3\.\d{3}/m.test(now),
      );
      expect(screen).not.toContain("needs 80x24");
      process.kill(await terminal.pid(), "SIGTERM");
      const left = await terminal.shows("ended 143");
      expect(left).not.toContain("[LIVE]");
      expect(await terminal.modes()).toEqual({ isAlternate: false, isCursorShown: true });
      expect(await terminal.lineModes()).toEqual(["icanon", "echo"]);
      expect((await run(folder, "verify", "day.swaplap")).code).toBe(0);
    });
  }, 60_000);

  it("is driven by no name and no line from outside", async () => {
    await onStage(async ({ folder, gates: openGates, terminal: openTerminal }) => {
      const hostile = String.raw`"\u001b]0;taken over\u0007\u001b[2Jname"`;
      writeFileSync(join(folder, "escape.toml"), GATES_SHEET.replace('"Foam insert"', hostile));
      const refused = await run(folder, "new", "escape.toml", "day.swaplap");
      expect(refused.code).toBe(1);
      expect(refused.err).toMatch(/^escape\.toml:\d+: .*control characters/m);
      expect(refused.err).not.toContain("\u001b");

      const sheet = GATES_SHEET.replace('rear_insert = "foam"', 'rear_insert = "=1+1"')
        .replace('"Rider one"', `"=1+1 <b>&"`)
        .replace('"Foam insert"', '"=Größe 泡 Ø"');
      await makeSession(folder, sheet);
      const gates = await openGates();
      const terminal = await openTerminal(100, 30);
      const title = await terminal.title();
      await terminal.start(`console day.swaplap --port ${gates.port}`);
      await terminal.shows("finish heard");
      await terminal.shows("next: =1+1 <b>& on A ●");
      await terminal.shows("B ▲ =Größe 泡 Ø");

      gates.inject(
        Buffer.from("\u001b]0;taken over\u0007\u001b[2J\u001b[31mTAKEN\u001b[9;9H\u009b2J\n"),
      );
      gates.inject(Buffer.from(":1E,S1,0012,9,S,B,\u001b]0;taken over\u0007*0000\n"));
      const bad = ":1E,S1,0012,7,S,B,1234567890,0,-,3760,98*0000\n";
      for (let i = 0; i < 10; i += 1) gates.inject(Buffer.from(bad.repeat(50)));
      gates.inject(Buffer.alloc(100_000, "x"));
      gates.ride(1.2, 3.2);
      await terminal.shows(/^ +1 A ● +3\.\d{3}/m);
      const screen = await terminal.sees("a whole picture", (now) => isWhole(now, 100, 30));
      expect(screen).not.toContain("TAKEN");
      expect(await terminal.title()).toBe(title);
      await choose(terminal, "boxes");
      const page = await terminal.shows(/\d+ unreadable lines/);
      expect(Number(/(\d+) unreadable lines/.exec(page)?.[1])).toBeGreaterThanOrEqual(100);
      await terminal.type("Escape");
      await terminal.shows("[LIVE]");
      await gates.allSafe();
      await terminal.type("q");
      await terminal.shows("ended 0");

      const db = new Database(join(folder, "day.swaplap"), { readonly: true });
      const faults = db
        .prepare<[], { raw: string | null }>(
          "SELECT body ->> '$.raw' AS raw FROM journal WHERE type = 'line-received' AND body ->> '$.decoded.type' IS NULL",
        )
        .all();
      db.close();
      expect(faults.length).toBeGreaterThanOrEqual(100);
      expect(faults.length).toBeLessThanOrEqual(102);
      expect(Math.max(...faults.map(({ raw }) => raw?.length ?? 0))).toBeLessThan(1000);
      expect((await run(folder, "verify", "day.swaplap")).code).toBe(0);

      expect((await run(folder, "export", "day.swaplap", "--csv", "tables")).code).toBe(0);
      const cells = (table: string): readonly string[] =>
        parse(readFileSync(join(folder, "tables", `${table}.csv`), "utf8")).flat();
      expect(cells("setup")).toContain("'=Größe 泡 Ø");
      expect(cells("setup_value")).toContain("'=1+1");
      for (const table of ["run", "passing", "setup", "setup_value", "swap", "comparison"]) {
        for (const cell of cells(table)) expect(cell).not.toMatch(/^[=@+\t\r]/);
      }
      const plain = await run(folder, "console", "day.swaplap", "--plain");
      expect(plain.out).toContain("=1+1 <b>& on B =Größe 泡 Ø");
    });
  }, 60_000);
});

/** Each part of the console's picture once and in its place, and nothing left of another size. */
function isWhole(screen: string, columns: number, rows: number): boolean {
  const lines = screen.replace(/\n$/, "").split("\n");
  const once = [/^Hollow oak: /, /^ON COURSE ─/, /^RUNS /, /^NEXT {2}/, /^\[LIVE\]/];
  const headings = lines.filter((line) => line.includes("──"));
  const bars = (part: readonly string[]) => new Set(part.flatMap((line) => line.indexOf("│")));
  const upper = lines.findIndex((line) => line.startsWith("ON COURSE"));
  const lower = lines.findIndex((line) => line.startsWith("RUNS"));
  const foot = lines.findIndex((line) => line.startsWith("NEXT"));
  return (
    lines.length === rows &&
    once.every((part) => lines.filter((line) => part.test(line)).length === 1) &&
    lines.at(-1)?.startsWith("[LIVE]") === true &&
    foot === rows - 4 &&
    lines.filter((line) => line.includes("LAST TIME")).length === 1 &&
    headings.every(
      (line) =>
        line.startsWith("ON COURSE") ||
        line.startsWith("RUNS") ||
        !line.endsWith("──") ||
        line.length === columns,
    ) &&
    bars(lines.slice(upper, lower)).size === 1 &&
    bars(lines.slice(lower, foot)).size === 1
  );
}
