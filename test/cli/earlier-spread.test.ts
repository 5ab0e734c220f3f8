// The spread of earlier days, from session files on the disk.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, vi } from "vitest";
import { importRows } from "../../src/app/make-session.ts";
import { newCommand } from "../../src/cli/commands/new.ts";
import { collected, earlierSpread } from "../../src/cli/earlier-spread.ts";
import {
  author,
  makeSession,
  sheetOf as openSheet,
  openToRead,
} from "../../src/cli/open-session.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { runsOf, type SessionGiven, sessionOf, sheetOf } from "../advisor/sessions.ts";
import { emptyFolder } from "../store/on-disk.ts";

const ORDER = "ABBAABBA";
const CALM = [60.1, 58.9, 59.4, 60.3, 60, 59.2, 58.8, 60.4];
const WILD = [61, 57.2, 60.9, 60.1, 62.4, 58.3, 60.2, 59];

/** A session file with those times of each rider. */
function aFile(
  folder: string,
  name: string,
  times: Readonly<Record<string, readonly number[]>>,
  settings: SessionGiven["settings"] = {},
): string {
  const riders = Object.keys(times).map((id) => ({ id }));
  const sheet = sheetOf({ riders, settings: { plannedRuns: 8, ...settings } });
  const file = join(folder, name);
  const session = makeSession(sheet, file, author("test"));
  const rows = Object.entries(times).flatMap(([rider, own]) =>
    own.map((timeS, i) => ({
      rider,
      setup: ORDER[i] ?? "A",
      timeS,
      status: "ok" as const,
      reason: null,
      startedAtUs: null,
      uncertaintyS: null,
      sectorS: [],
    })),
  );
  session.append(author("test"), (current) => importRows(current, "times.csv", rows));
  session.close();
  return file;
}

/** What the statistics make of the same times. */
function spreadOf(times: readonly number[]): { readonly s: number; readonly df: number } {
  const [rider] = compareRiders(
    sessionOf({ runs: runsOf(ORDER.slice(0, times.length), times), settings: { plannedRuns: 8 } }),
  );
  return { s: rider?.spread_s ?? Number.NaN, df: rider?.df ?? Number.NaN };
}

const plan: Sheet = sheetOf({ settings: { plannedRuns: 14 } });

describe("the spread of earlier days", () => {
  it("pools the days, each with its degrees of freedom", () => {
    const folder = emptyFolder();
    const files = [
      aFile(folder, "may.swaplap", { R1: CALM }),
      aFile(folder, "june.swaplap", { R1: WILD.slice(0, 7) }),
    ];
    const { spread, notes } = earlierSpread(files, folder, plan);
    const [may, june] = [spreadOf(CALM), spreadOf(WILD.slice(0, 7))];
    // Runs less level, trend and a set-up.
    expect([may.df, june.df]).toEqual([5, 4]);
    expect(spread?.df).toBe(9);
    expect(spread?.spreadS).toBeCloseTo(Math.sqrt((5 * may.s ** 2 + 4 * june.s ** 2) / 9), 9);
    expect(notes).toEqual([]);
    expect(collected("b", ["a"])).toEqual(["a", "b"]);
  });

  it("is of the plan's riders alone, and says who is left out", () => {
    const folder = emptyFolder();
    const file = aFile(folder, "may.swaplap", { R1: CALM, R9: WILD });
    const { spread, notes } = earlierSpread([file], folder, plan);
    expect(spread?.spreadS).toBeCloseTo(spreadOf(CALM).s, 9);
    expect(notes).toEqual([`${file}: R9 left out, not among the riders of the plan`]);
  });

  it("is refused of another stretch, of a day named twice, of nothing", () => {
    const folder = emptyFolder();
    const other = aFile(folder, "other.swaplap", { R1: CALM }, { stretch: "Hollow oak" });
    expect(() => earlierSpread([other], folder, plan)).toThrow(
      /of the stretch "Hollow oak", the plan of "Upper woods"/,
    );
    const same = aFile(folder, "same.swaplap", { R1: CALM }, { stretch: " upper WOODS" });
    expect(earlierSpread([same], folder, plan).spread).not.toBeNull();
    expect(() => earlierSpread([same, same], folder, plan)).toThrow("is named twice");
    expect(() => earlierSpread([same], same, plan)).toThrow("is named twice");
    const few = aFile(folder, "few.swaplap", { R1: CALM.slice(0, 2) });
    expect(() => earlierSpread([few], folder, plan)).toThrow(/no spread in .*few.swaplap/);
    expect(earlierSpread([same, few], folder, plan).notes.join()).toContain("too few counted runs");
    expect(() => earlierSpread([join(folder, "none.swaplap")], folder, plan)).toThrow();
    expect(earlierSpread([], folder, plan)).toEqual({ spread: null, notes: [] });
  });

  it("of a session's own file pools its runs with what its sheet was made with", () => {
    const folder = emptyFolder();
    const told = { spreadS: 1.5, spreadDf: 20 };
    const { measured } = openSheet(aFile(folder, "day.swaplap", { R1: CALM }, told));
    const own = spreadOf(CALM);
    expect(measured?.df).toBe(25);
    expect(measured?.spreadS).toBeCloseTo(Math.sqrt((5 * own.s ** 2 + 20 * 1.5 ** 2) / 25), 9);
  });

  it("goes into a new session, with how well it is known", () => {
    const folder = emptyFolder();
    const may = aFile(folder, "may.swaplap", { R1: CALM });
    const june = aFile(folder, "june.swaplap", { R1: WILD });
    const sheet = join(folder, "next.toml");
    const setups = '[[setups]]\nid = "A"\nbaseline = true\n[[setups]]\nid = "B"\n';
    const own = '[session]\nname = "Next"\nstretch = "Upper woods"\nplanned_runs = 14\n';
    writeFileSync(sheet, `${own}spread_s = 9\n[[riders]]\nid = "R1"\n${setups}`);
    const next = join(folder, "next.swaplap");
    const printed = vi.spyOn(process.stdout, "write").mockReturnValue(true);
    newCommand().parse([sheet, next, "--earlier", may, "--earlier", june], { from: "user" });
    expect(String(printed.mock.calls[0]?.[0])).toContain("s, 10 degrees of freedom");
    printed.mockRestore();
    const session = openToRead(next);
    const { settings } = session.summary();
    session.close();
    // What was only told gives way to what was measured.
    const square = (spreadOf(CALM).s ** 2 + spreadOf(WILD).s ** 2) / 2;
    expect(settings.spreadS).toBeCloseTo(Math.sqrt(square), 9);
    expect(settings.spreadDf).toBe(10);
  });
});
