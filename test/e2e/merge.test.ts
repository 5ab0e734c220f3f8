// The built program merges two days: the files stay as they are, every other command works on the whole.
import { cpSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { expect, it } from "vitest";
import { comparisonOf, jsonOf } from "./exported.ts";
import { inFolder, run } from "./program.ts";

/** Two days of the sample, the second a week later and a little quicker throughout. */
async function twoDays(folder: string, days: string): Promise<void> {
  cpSync(resolve("samples"), folder, { recursive: true });
  const sheet = readFileSync(join(folder, "hand-times.toml"), "utf8");
  const times = readFileSync(join(folder, "hand-times.csv"), "utf8");
  const declared = sheet.replace("planned_runs = 10", `planned_runs = 24\ndays = ${days}`);
  const later = (text: string): string => text.replaceAll("2026-05-16", "2026-05-23");
  const quicker = later(times).replace(/^([AB],)(\d+\.\d)/gm, (_, setup, timeS) => {
    return `${String(setup)}${(Number(timeS) - 0.7).toFixed(1)}`;
  });
  for (const [name, text] of [
    ["one.toml", declared],
    ["two.toml", later(declared)],
    ["one.csv", times],
    ["two.csv", quicker],
  ] as const) {
    writeFileSync(join(folder, name), text);
  }
  for (const day of ["one", "two"]) {
    const made = await run(
      folder,
      "import",
      `${day}.csv`,
      `${day}.swaplap`,
      "--sheet",
      `${day}.toml`,
    );
    expect(made).toMatchObject({ code: 0, err: "" });
  }
}

it("two days that were declared keep the plan, and every command knows both", async () => {
  await inFolder(async (folder) => {
    await twoDays(folder, "2");
    const before = ["one.swaplap", "two.swaplap"].map((name) => readFileSync(join(folder, name)));
    const merged = await run(folder, "merge", "both.swaplap", "two.swaplap", "one.swaplap");
    expect(merged).toMatchObject({ code: 0, err: "" });
    expect(merged.out.split("\n")).toEqual([
      "both.swaplap: 2 days, 28 runs, Hollow oak",
      "day 1: 2026-05-16, Foam insert, stopwatch day, 14 runs (one.swaplap)",
      "day 2: 2026-05-23, Foam insert, stopwatch day, 14 runs (two.swaplap)",
      "",
    ]);
    ["one.swaplap", "two.swaplap"].forEach((name, i) => {
      expect(readFileSync(join(folder, name)).equals(before[i] ?? Buffer.alloc(0))).toBe(true);
    });
    expect(await run(folder, "verify", "both.swaplap")).toMatchObject({ code: 0 });
    const comparison = await comparisonOf(folder, "both.swaplap");
    expect(comparison["settings"]).toMatchObject({ bands: "plan", planned_runs: 24 });
    expect(comparison.riders[0]?.counted_runs).toBe(20);
    const [pair] = comparison.riders[0]?.parts[0]?.pairs ?? [];
    expect(pair).toMatchObject({ runs: 10, baseline_runs: 10, verdict: "quicker" });
    expect(JSON.stringify(comparison["remarks"])).toMatch(
      /"days agree: B -2\.\d s on day 1, -2\.\d s on day 2 \(-2\.\d s over all\)"/,
    );
    expect(await jsonOf(folder, "next", "both.swaplap", "--json")).toMatchObject({ rider: "R1" });
    expect(await jsonOf(folder, "plan", "both.swaplap", "--json")).toMatchObject({ runs: 24 });
    expect(await run(folder, "export", "both.swaplap", "--csv", "t")).toMatchObject({ code: 0 });
    const rows = readFileSync(join(folder, "t", "run.csv"), "utf8")
      .trim()
      .split(/\r?\n/);
    expect(rows).toHaveLength(29);
    const board = await run(folder, "board", "both.swaplap", "--plain");
    expect(board).toMatchObject({ code: 0 });
    expect(board.out).toMatch(/B quicker by 2\.\d\d s/);
  });
}, 60_000);

it("days that were not declared are compared by the open band, and it says so at once", async () => {
  await inFolder(async (folder) => {
    await twoDays(folder, "1");
    const merged = await run(folder, "merge", "both.swaplap", "one.swaplap", "two.swaplap");
    expect(merged.code).toBe(0);
    expect(merged.err).toMatch(/^Note: 1 day was planned and 2 ridden: /);
    const comparison = await comparisonOf(folder, "both.swaplap");
    expect(comparison["settings"]).toMatchObject({ bands: "open", planned_runs: null });
    const again = await run(folder, "merge", "more.swaplap", "both.swaplap", "one.swaplap");
    expect(again).toMatchObject({ code: 1, out: "" });
    expect(again.err).toMatch(/both\.swaplap is a merged session already/);
    expect(existsSync(join(folder, "more.swaplap"))).toBe(false);
  });
}, 60_000);
