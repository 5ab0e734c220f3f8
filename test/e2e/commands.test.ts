// The built program without a terminal: every command's help, exit codes, sentences and JSON.
import { cpSync, existsSync, readFileSync, statSync, truncateSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import Database from "better-sqlite3";
import { beforeAll, describe, expect, it } from "vitest";
import { comparisonOf, jsonOf } from "./exported.ts";
import { type Ended, inFolder, run } from "./program.ts";

const COMMANDS = [
  "console",
  "board",
  "record",
  "new",
  "plan",
  "import",
  "compare",
  "next",
  "export",
  "merge",
  "verify",
  "ports",
  "listen",
  "practice",
  "calibrate",
];

/** What a terminal would take for a command to it. */
const CONTROL = /[^\P{Cc}\n]/u;

/** A folder with the samples, a session made from them, and broken ones. */
async function prepare(folder: string): Promise<void> {
  cpSync(resolve("samples"), folder, { recursive: true });
  const sheet = readFileSync(join(folder, "hand-times.toml"), "utf8");
  const write = (name: string, text: string): void => {
    writeFileSync(join(folder, name), text);
  };
  write("short.toml", sheet.replace("planned_runs = 10", "planned_runs = 3"));
  write("wrong.toml", sheet.replace("margin_s = 1.0", 'margin_s = "one"'));
  write("wrong.csv", "setup,time_s\nA,131.2\nB,2:61.5\n");
  write("junk.swaplap", "this is no database\n".repeat(100));
  const made = await run(
    folder,
    "import",
    "hand-times.csv",
    "day.swaplap",
    "--sheet",
    "hand-times.toml",
  );
  expect(made).toMatchObject({ code: 0, err: "" });
  for (const name of ["newer", "changed", "broken", "cut"]) {
    cpSync(join(folder, "day.swaplap"), join(folder, `${name}.swaplap`));
  }
  alter(join(folder, "newer.swaplap"), "PRAGMA user_version = 99");
  alter(join(folder, "changed.swaplap"), "UPDATE run SET time_s = 1 WHERE k = 1");
  scramble(join(folder, "broken.swaplap"));
  truncateSync(join(folder, "cut.swaplap"), statSync(join(folder, "cut.swaplap")).size / 2);
}

function alter(file: string, sql: string): void {
  const db = new Database(file);
  db.exec(sql);
  db.close();
}

/** Everything but the first page, where SQLite says what the file is. */
function scramble(file: string): void {
  const bytes = readFileSync(file);
  for (let i = 4096; i < bytes.length; i += 1) bytes[i] = (i * 31 + (i >> 8)) & 0xff;
  writeFileSync(file, bytes);
}

describe("without a terminal", { timeout: 60_000 }, () => {
  it("every command has help with an example", async () => {
    await inFolder(async (folder) => {
      const all = await run(folder, "--help");
      expect(all.code).toBe(0);
      for (const half of [COMMANDS.slice(0, 7), COMMANDS.slice(7)]) {
        const helps = await Promise.all(half.map((command) => run(folder, command, "--help")));
        for (const [i, help] of helps.entries()) {
          const command = half[i] ?? "";
          expect(help, command).toMatchObject({ code: 0, err: "" });
          expect(help.out).toContain(`Usage: swaplap ${command}`);
          expect(help.out).toMatch(new RegExp(`Examples?:\\n {2}swaplap ${command}\\b`));
          expect(all.out).toMatch(new RegExp(`^ {2}${command}\\b`, "m"));
        }
      }
    });
  });

  it("every failure has its exit code, and words on what happened and what to do", async () => {
    await inFolder(async (folder) => {
      await prepare(folder);
      /** Arguments, exit code, and what standard error must say. */
      const cases: readonly (readonly [string, number, RegExp])[] = [
        ["frobnicate", 2, /there is no command frobnicate/],
        ["compare", 2, /missing required argument 'file'/],
        ["compare day.swaplap --sideways", 2, /unknown option '--sideways'/],
        ["compare day.swaplap --after 99", 2, /only 10 counted runs/],
        ["compare day.swaplap --after some", 2, /whole number/],
        ["export day.swaplap", 2, /add --csv DIR or --json OUT/],
        ["record day.swaplap", 2, /--port/],
        ["merge made.swaplap day.swaplap", 2, /name two session files or more/],
        ["console", 2, /no terminal/],
        ["practice --runs 0", 2, /1 to 500/],
        ["compare missing.swaplap", 1, /missing\.swaplap is not there/],
        ["console missing.swaplap", 1, /missing\.swaplap is not there/],
        ["board missing.swaplap", 1, /missing\.swaplap is not there/],
        ["new missing.toml made.swaplap", 1, /missing\.toml cannot be read/],
        ["compare junk.swaplap", 1, /junk\.swaplap is not a session file/],
        ["verify junk.swaplap", 1, /junk\.swaplap is not a session file/],
        ["compare newer.swaplap", 1, /newer/],
        ["console newer.swaplap", 1, /newer/],
        ["new hand-times.toml day.swaplap", 1, /day\.swaplap exists already/],
        ["import hand-times.csv day.swaplap --sheet hand-times.toml", 1, /exists already/],
        ["new wrong.toml made.swaplap", 1, /wrong\.toml:11: found margin_s = "one", want a number/],
        ["import wrong.csv day.swaplap", 1, /wrong\.csv:3: .*2:61\.5/],
        ["merge day.swaplap day.swaplap changed.swaplap", 1, /day\.swaplap exists already/],
        ["merge made.swaplap day.swaplap day.swaplap", 1, /are the same session/],
        ["merge made.swaplap day.swaplap missing.swaplap", 1, /missing\.swaplap is not there/],
        [
          "new short.toml made.swaplap",
          1,
          /planned_runs = 3: too few[\s\S]*at least 8 runs[\s\S]*open/,
        ],
        ["plan short.toml", 1, /at least 8 runs/],
        ["verify changed.swaplap", 3, /changed\.swaplap: 2 faults/],
        ["compare broken.swaplap", 3, /broken\.swaplap/],
        ["verify broken.swaplap", 3, /broken\.swaplap/],
        ["console broken.swaplap", 3, /broken\.swaplap/],
        ["verify cut.swaplap", 3, /cut\.swaplap/],
        ["merge made.swaplap day.swaplap broken.swaplap", 3, /broken\.swaplap/],
        ["merge made.swaplap day.swaplap changed.swaplap", 1, /are the same session/],
      ];
      const before = readFileSync(join(folder, "day.swaplap"));
      for (let i = 0; i < cases.length; i += 7) {
        const some = cases.slice(i, i + 7);
        const ends = await Promise.all(some.map(([args]) => run(folder, ...args.split(" "))));
        for (const [j, ended] of ends.entries()) {
          const [args, code, words] = some[j] ?? ["", 0, /./];
          expect({ args, ...ended }).toMatchObject({ args, code });
          expect(ended.err, args).toMatch(words);
          expect(ended.err, args).not.toMatch(/ at .*:\d+:\d+/);
          if (!args.startsWith("verify")) expect(ended.out, args).toBe("");
        }
      }
      expect(readFileSync(join(folder, "day.swaplap")).equals(before)).toBe(true);
      expect(existsSync(join(folder, "made.swaplap"))).toBe(false);
      expect((await run(folder, "verify", "day.swaplap")).code).toBe(0);
    });
  });

  it("JSON is one document and nothing else", async () => {
    await inFolder(async (folder) => {
      await prepare(folder);
      const next = await jsonOf(folder, "next", "day.swaplap", "--json");
      expect(next).toMatchObject({ rider: "R1" });
      expect(next).toHaveProperty("alternatives");
      expect(await jsonOf(folder, "plan", "insert-test.toml", "--json")).toMatchObject({
        format: "swaplap-plan",
        version: 1,
        runs: 14,
      });
      expect(await jsonOf(folder, "ports", "--json")).toMatchObject({ format: "swaplap-ports" });
      expect(await jsonOf(folder, "export", "day.swaplap", "--json", "-")).toMatchObject({
        format: "swaplap-session",
      });
      expect(await run(folder, "export", "day.swaplap", "--json", "day.json")).toMatchObject({
        code: 0,
        out: "",
      });
      expect(JSON.parse(readFileSync(join(folder, "day.json"), "utf8"))).toMatchObject({
        format: "swaplap-session",
      });
      const now = await comparisonOf(folder, "day.swaplap");
      expect(now).toEqual(await comparisonOf(folder, "day.swaplap", "--after", "10"));
      expect(now.riders[0]?.counted_runs).toBe(10);
      const earlier = await comparisonOf(folder, "day.swaplap", "--after", "6");
      expect(earlier.riders[0]?.counted_runs).toBe(6);
    });
  });

  it("console and board print sentences and end with their input", async () => {
    await inFolder(async (folder) => {
      await prepare(folder);
      const ends = await Promise.all([
        run(folder, "console", "day.swaplap", "--plain"),
        run(folder, "console", "day.swaplap"),
        run(folder, "board", "day.swaplap"),
        run(folder, "board", "day.swaplap", "--blind"),
      ]);
      for (const { code, out } of ends) {
        expect(code).toBe(0);
        expect(out).not.toMatch(CONTROL);
        expect(out).toMatch(/^Hollow oak, Foam insert, stopwatch day: 13 runs so far$/m);
      }
      for (const { out } of ends.slice(0, 3)) expect(out).toMatch(/B quicker by 2\.\d\d s/);
      expect(ends[3].out).not.toMatch(/quicker|slower|can't tell|between/);
    });
  });

  describe("practice", () => {
    let first: Ended;
    beforeAll(async () => {
      first = await inFolder((folder) =>
        run(folder, "practice", "--runs", "6", "--seed", "3", "p.swaplap"),
      );
    }, 60_000);

    it("rides to the end in sentences, then says the comparison", () => {
      expect(first.code).toBe(0);
      expect(first.out).not.toMatch(CONTROL);
      expect(first.out.match(/started on/g)).toHaveLength(6);
      expect(first.out.match(/passed split 1/g)).toHaveLength(6);
      expect(first.out.match(/finished run \d/g)).toHaveLength(6);
      expect(first.out).toMatch(/[AB] \w+ insert fitted for/);
      expect(first.out).toMatch(/^6 runs counted$/m);
      expect(first.out).toMatch(
        /^B v A: (?:can't tell yet|B (?:quicker|slower) by|no difference)/m,
      );
    });

    it("rides the same day from the same seed, another from another", async () => {
      const times = ({ out }: Ended) =>
        [...out.matchAll(/finished run \d.*: (.*)/g)].map((found) => found[1]);
      const [same, other] = await inFolder((folder) =>
        Promise.all([
          run(folder, "practice", "--runs", "6", "--seed", "3"),
          run(folder, "practice", "--runs", "6", "--seed", "4"),
        ]),
      );
      expect(times(first)).toHaveLength(6);
      expect(times(same)).toEqual(times(first));
      expect(times(other)).not.toEqual(times(first));
    });
  });
});
