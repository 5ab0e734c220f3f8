// `import` as it is typed, on files: the lists of two watches, and what it refuses.
import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { importCommand } from "../../src/cli/commands/import.ts";
import { openToRead } from "../../src/cli/open-session.ts";
import { UserError } from "../../src/domain/errors.ts";
import { emptyFolder } from "../store/on-disk.ts";

const SHEET = `
[session]
name = "Foam insert, two watches"
stretch = "Hollow oak"
date = 2026-05-16
zone = "Europe/Vienna"
expected_run_s = 130
planned_runs = 8
[[setups]]
id = "A"
name = "No insert"
baseline = true
[[setups]]
id = "B"
name = "Foam insert"
`;
const START = `time_of_day,setup,status
09:00:00,,sync
10:00:00,A,
10:12:00,B,
10:24:00,B,dnf
16:00:00,,sync
`;
const FINISH = `time_of_day,status
08:59:50,sync
10:02:00.5,
10:14:01,
15:59:50,sync
`;

let out = "";
let folder = "";
beforeEach(() => {
  out = "";
  folder = emptyFolder();
  vi.spyOn(process.stdout, "write").mockImplementation((text) => {
    out += String(text);
    return true;
  });
  writeFileSync(join(folder, "day.toml"), SHEET);
  writeFileSync(join(folder, "start.csv"), START);
  writeFileSync(join(folder, "finish.csv"), FINISH);
  writeFileSync(join(folder, "times.csv"), "setup,time_s\nA,131.2\n");
});
afterEach(() => vi.restoreAllMocks());

/** @param args - names of files stand for those of the folder */
async function run(...args: readonly string[]): Promise<void> {
  const typed = args.map((arg) => (/\./.test(arg) ? join(folder, arg) : arg));
  await importCommand().parseAsync(typed, { from: "user" });
}

const watches = ["--start", "start.csv", "--finish", "finish.csv", "day.swaplap"];

it("makes a session of a sheet and two lists", async () => {
  await run(...watches, "--sheet", "day.toml");
  const file = openToRead(join(folder, "day.swaplap"));
  const { runs } = file.session();
  file.close();
  expect(runs.map(({ setup, status, timeS }) => [setup, status, timeS])).toEqual([
    ["A", "ok", 130.5],
    ["B", "ok", 131],
    ["B", "dnf", null],
  ]);
  expect(runs[0]?.startedAt).toBe(Date.UTC(2026, 4, 16, 8) * 1000);
  expect(runs[0]).toMatchObject({ timedBy: "import", uncertaintyS: 0.374 });
  expect(out).toMatch(/day\.swaplap: 3 rows from .*start\.csv and .*finish\.csv\n/);
  expect(out).toContain("10.00 s behind at the first and 10.00 s behind at the last");
});

it("adds to a session, by radio with more uncertainty, plain times after it", async () => {
  await run("times.csv", "day.swaplap", "--sheet", "day.toml");
  await run(...watches, "--radio");
  const file = openToRead(join(folder, "day.swaplap"));
  const { runs } = file.session();
  file.close();
  expect(runs.map(({ timeS }) => timeS)).toEqual([131.2, 130.5, 131, null]);
  expect(runs[1]?.uncertaintyS).toBeGreaterThan(0.4);
});

it("leaves nothing behind when a list is bad", async () => {
  writeFileSync(join(folder, "finish.csv"), "time_of_day\n10:02:00\n");
  await expect(run(...watches, "--sheet", "day.toml")).rejects.toThrow(
    /start\.csv:2: found a sync/,
  );
  expect(existsSync(join(folder, "day.swaplap"))).toBe(false);
});

it.each([
  [["times.csv"], /name the times \(\.csv\) and the session file/],
  [["--start", "start.csv", "day.swaplap"], /name --start and --finish/],
  [["--finish", "finish.csv", "day.swaplap"], /name --start and --finish/],
  [[...watches, "more.swaplap"], /name the session file alone/],
  [["times.csv", "day.swaplap", "--radio"], /belongs to --start and --finish/],
])("%j is wrong usage, with a word on what is right", async (args, hint) => {
  const error: unknown = await run(...args).catch((caught: unknown) => caught);
  if (!(error instanceof UserError)) throw new TypeError("it was not refused");
  expect(error.code).toBe("wrong-usage");
  expect(error.hint).toMatch(hint);
});
