// `plan` and `new` as they are typed, on files.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { newCommand } from "../../src/cli/commands/new.ts";
import { planCommand } from "../../src/cli/commands/plan.ts";
import { openToRead } from "../../src/cli/open-session.ts";
import type { Plan } from "../../src/domain/plan.ts";
import { emptyFolder } from "../store/on-disk.ts";

const SHEET = `
[session]
name = "Rear tyre insert"
stretch = "Upper woods"
expected_run_s = 130
planned_runs = 14
minutes = 300
lap_minutes = 9
margin_s = 2.5
arrive = "08:30"
gates_minutes = 40
pack_minutes = 30
seed = 7
[[breaks]]
after_run = 6
minutes = 25
name = "tea"
[[riders]]
id = "R1"
name = "Rider one"
new_to = ["B"]
[[setups]]
id = "A"
name = "No insert"
baseline = true
[[setups]]
id = "B"
name = "Insert"
[[swaps]]
from = "A"
to = "B"
minutes = 5
place = "car"
`;

let out = "";
let err = "";
beforeEach(() => {
  out = "";
  err = "";
  vi.spyOn(process.stdout, "write").mockImplementation((text) => {
    out += String(text);
    return true;
  });
  vi.spyOn(process.stderr, "write").mockImplementation((text) => {
    err += String(text);
    return true;
  });
});
afterEach(() => {
  vi.restoreAllMocks();
});

function aSheet(folder: string, name: string, text: string): string {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
}
const plan = (...args: readonly string[]): string => {
  out = "";
  planCommand().exitOverride().parse(args, { from: "user" });
  return out;
};

describe("plan", () => {
  it("prints figures, chart, timetable and notes", () => {
    const text = plan(
      aSheet(
        emptyFolder(),
        "s.toml",
        SHEET.replace("seed", "spread_s = 1.6\nspread_df = 12\nseed"),
      ),
    );
    expect(text).toContain("Runs: 14, order: A B B A A B B A A B B A A B\n");
    // 14 x 9 + 7 x 5; 36 of warm-up, 27 + 10 of practice, 25 + 9 of the break and the lap after it.
    expect(text).toContain(
      "Swaps: 7; these runs and swaps take about 161 min; first start to last finish 268 min\n",
    );
    expect(text).toMatch(/4 days in 5: \d\.\d\d s \(between \d\.\d\d and \d\.\d\d s, as far as/);
    expect(text).toContain("measured with 12 degrees of freedom");
    // Its blanks stay.
    expect(text).toMatch(/\n {7}\|\+-+\+-+\+\n {8}8 +14 +28 runs\n/);
    expect(text).toContain("\n08:30 gates up and checked (40 min)\n09:10 warm-up, 4 laps\n");
    expect(text).toMatch(/ tea \(25 min\)\n\d\d:\d\d warm-up lap after the break on B\n/);
    expect(text).toContain("\n13:38 last finish\n14:08 everything packed\n");
    for (const row of text.split("\n").filter((line) => line.includes("|"))) {
      expect(row.length).toBeLessThanOrEqual(72);
    }
  });

  it("without a spread says what to name; hours are told all the same", () => {
    const text = plan(aSheet(emptyFolder(), "s.toml", SHEET));
    expect(text).toMatch(/times your run-to-run spread\nName your usual run-to-run spread/);
    expect(text).toContain("268 min");
    expect(text).not.toContain("|");
  });

  it("of an exploring sheet has no order and the check's reach", () => {
    const exploring = SHEET.replace(/\[\[setups\]\]\nid = "B"[\s\S]*/, "")
      .replace('new_to = ["B"]\n', "")
      .replace("baseline = true", "baseline = true\n[setups.values]\nrear_pressure_bar = 1.6")
      .replace("seed", "spread_s = 1.6\nseed");
    const settings = '[[settings]]\nkey = "rear_pressure_bar"\nlow = 1.4\nhigh = 1.8\nstep = 0.1\n';
    const file = aSheet(emptyFolder(), "s.toml", `${exploring}\n${settings}`);
    const text = plan(file);
    expect(text).toContain("Exploring runs: 14; then a closing check of 8 runs");
    expect(text).toContain("closing check, run 8 on the present values");
    const json = JSON.parse(plan(file, "--json")) as Plan;
    expect(json).toMatchObject({ order: [], swaps: 0, exploring: { check_runs: 8 }, curve: [] });
  });
});

describe("new", () => {
  it("writes the spread of earlier days into the session, which then plans with it", () => {
    const folder = emptyFolder();
    const sheet = aSheet(folder, "s.toml", SHEET);
    const make = (file: string, ...args: string[]): void => {
      newCommand()
        .exitOverride()
        .parse([sheet, join(folder, file), ...args], { from: "user" });
    };
    make("may.swaplap");
    expect(() => {
      make("june.swaplap", "--earlier", join(folder, "may.swaplap"));
    }).toThrow("no spread in");
    const told = aSheet(
      folder,
      "told.toml",
      SHEET.replace("seed", "spread_s = 1.6\nspread_df = 12\nseed"),
    );
    newCommand()
      .exitOverride()
      .parse([told, join(folder, "july.swaplap")], { from: "user" });
    const session = openToRead(join(folder, "july.swaplap"));
    expect(session.summary().settings).toMatchObject({ spreadS: 1.6, spreadDf: 12 });
    session.close();
    const json = JSON.parse(plan(join(folder, "july.swaplap"), "--json")) as Plan;
    expect(json.spread).toEqual({ spread_s: expect.closeTo(1.6, 12) as number, df: 12 });
    expect(err).toBe("");
  });
});
