// `import`, `compare`, `next` and `verify` on the sample of a day that explores.
import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Command } from "commander";
import { expect, onTestFinished, test, vi } from "vitest";
import { beginCheck } from "../../src/app/explore-commands.ts";
import { importRows } from "../../src/app/make-session.ts";
import { compareCommand } from "../../src/cli/commands/compare.ts";
import { importCommand } from "../../src/cli/commands/import.ts";
import { nextCommand } from "../../src/cli/commands/next.ts";
import { verifyCommand } from "../../src/cli/commands/verify.ts";
import { author, openToWrite } from "../../src/cli/open-session.ts";
import { emptyFolder } from "../store/on-disk.ts";

/** What a command prints. */
function printed(command: Command, ...args: readonly string[]): string {
  let text = "";
  const out = vi.spyOn(process.stdout, "write").mockImplementation((chunk) => {
    text += String(chunk);
    return true;
  });
  onTestFinished(() => {
    out.mockRestore();
  });
  command.exitOverride().parse([...args], { from: "user" });
  out.mockRestore();
  return text;
}

function imported(): string {
  const file = join(emptyFolder(), "explore.swaplap");
  const sheet = ["--sheet", "samples/explore-pressure.toml"];
  printed(importCommand(), "samples/explore-pressure.csv", file, ...sheet);
  return file;
}

test("in words: what was explored, what was found, what to do", () => {
  const file = imported();
  expect(printed(compareCommand(), file).trim().split("\n")).toEqual([
    "Rear pressure, stopwatch day, Hollow oak, 2026-05-23",
    "exploring rear pressure from 1.30 bar to 1.90 bar, 1.75 bar at present: 14 of 14 runs",
    expect.stringContaining("best about 1.55 bar; anything from 1.45 to 1.60 is as good"),
    expect.stringContaining("1.55 gains 1.1"),
    expect.stringContaining("rebound"),
    "14 runs counted, 1 warm-up, 1 void",
    "begin the closing check of 1.55 bar (8 runs, about 104 min), or keep 1.75 bar",
  ]);
  expect(printed(compareCommand(), file, "--after", "2")).toContain("2 of 14 runs\ntoo early");
  expect(printed(verifyCommand(), file)).toMatch(/, 16 runs, all as it should be\n$/);
});

test("as JSON: the exploration beside a comparison without pairs, and the next values", () => {
  const file = imported();
  const comparison = JSON.parse(printed(compareCommand(), file, "--json", "--after", "7")) as {
    exploration: { next: unknown };
  };
  expect(comparison).toMatchObject({
    ...{ format: "swaplap-comparison", version: 1, remarks: [] },
    riders: [{ counted_runs: 7, parts: [{ part: "whole", pairs: [] }] }],
    next: { rider: "R1", setup: "A", stop: null, values: { rear_pressure_bar: 1.75 } },
    exploration: {
      ...{ phase: "narrowing", runs: 7, planned_runs: 14, next: { rear_pressure_bar: 1.75 } },
      settings: [{ key: "rear_pressure_bar", best: 1.55, as_good: [1.4, 1.6] }],
    },
  });
  const next = JSON.parse(printed(nextCommand(), file, "--json")) as unknown;
  expect(next).toMatchObject({ setup: null, values: null, alternatives: [] });
});

test("in the closing check: its own comparison, with what chose the value above it", () => {
  const file = imported();
  const session = openToWrite(file);
  const by = author("test");
  session.append(by, (s) => beginCheck(s, [1.55]));
  const row = (setup: string, timeS: number) => ({
    ...{ rider: "R1", setup, status: "ok" as const, timeS, uncertaintyS: 0.2 },
    ...{ sectorS: [null], startedAtUs: null, reason: null },
  });
  session.append(by, (s) =>
    importRows(s, "check.csv", [row("A", 130.1), row("1.55", 128.7), row("1.55", 128.9)]),
  );
  session.close();
  const lines = printed(compareCommand(), file).trim().split("\n");
  expect(lines).toContain(
    "closing check of G against A, 8 runs; the runs that chose G do not count in it",
  );
  expect(lines).toContain("3 runs counted");
  const json = JSON.parse(printed(compareCommand(), file, "--json")) as unknown;
  expect(json).toMatchObject({
    settings: { planned_runs: 8, bands: "plan", baseline: "A" },
    riders: [{ counted_runs: 3, parts: [{ pairs: [{ setup: "G", baseline: "A", runs: 2 }] }] }],
    exploration: { runs: 14, check: { setup: "G", runs: 8 } },
  });
  expect(printed(verifyCommand(), file)).toMatch(/all as it should be\n$/);
});

test("a row outside the limits stops the import with its line", () => {
  const folder = emptyFolder();
  const [times, file] = [join(folder, "times.csv"), join(folder, "explore.swaplap")];
  writeFileSync(times, "setup,time_s\n1.60,127.3\n1.95,129.9\n");
  const sheet = ["--sheet", "samples/explore-pressure.toml"];
  expect(() => printed(importCommand(), times, file, ...sheet)).toThrow(
    /:3: found setup "1\.95", want A, or rear_pressure_bar from 1\.3 to 1\.9 in steps of 0\.05/,
  );
  expect(existsSync(file)).toBe(false);
});
