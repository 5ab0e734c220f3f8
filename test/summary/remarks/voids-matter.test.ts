// The warning that the answer rests on what was struck out: when, and in which words.
import { describe, expect, it } from "vitest";
import type { MadeRun } from "../../stats/made-session.ts";
import { mirrored } from "../../stats/mirrored-day.ts";
import { remarksOf, textsOf } from "./remarks-of.ts";

/** Twelve runs, B 2 s quicker, nearly even; some lost more. */
function day(lost: Readonly<Record<number, number>>, rider = "R1"): MadeRun[] {
  return mirrored(12).map((setup, i): MadeRun => {
    const timeS = 60 + 0.1 * ((3 * i) % 4) - (setup === "B" ? 2 : 0) + (lost[i + 1] ?? 0);
    return { rider, setup, timeS, status: lost[i + 1] === undefined ? "ok" : "void" };
  });
}
const settings = { plannedRuns: 12 };

describe("struck-out runs that matter", () => {
  it("are warned of with both answers", () => {
    expect(remarksOf({ runs: day({ 3: 6, 7: 5 }), settings }, "voids-matter")).toEqual([
      {
        level: "warn",
        kind: "voids-matter",
        rider: "R1",
        setup: "B",
        run: null,
        text: expect.stringMatching(
          /^B quicker by [12]\.\d s; with the 2 struck-out runs counted: can't tell yet \(0\.0 s, between -2\.9 and \+3\.0 s\)$/,
        ) as string,
      },
    ]);
  });

  it("are passed over while both answers are the same", () => {
    expect(textsOf({ runs: day({ 3: 0.1 }), settings }, "voids-matter")).toEqual([]);
    expect(textsOf({ runs: day({}), settings }, "voids-matter")).toEqual([]);
  });

  it("may make the answer as well as break it", () => {
    // Four runs are too few; with the three struck out there is an answer.
    const early = day({ 3: 0, 5: 0, 8: 0 }).slice(0, 8);
    expect(textsOf({ runs: early, settings: { plannedRuns: 8 } }, "voids-matter")).toEqual([
      expect.stringMatching(
        /^B against A: can't tell yet; with the 3 struck-out runs counted: B quicker by [12]\.\d s$/,
      ),
    ]);
  });

  it("may hide that there is no difference worth having", () => {
    const even = day({ 3: 6, 7: 5 }).map((run) => ({
      ...run,
      timeS: (run.timeS ?? 0) + (run.setup === "B" ? 2 : 0),
    }));
    const given = { runs: even, settings: { plannedRuns: 12, marginS: 1 } };
    expect(textsOf(given, "voids-matter")[0]).toMatch(
      /^B against A: no difference worth having; with the 2 struck-out runs counted: can't tell yet \(/,
    );
  });

  it("sectors likewise, counted by themselves", () => {
    const runs = day({}).map((run, i): MadeRun => {
      const lostS = i === 2 || i === 6 ? 8 : 0;
      const sectorS = [20 + 0.01 * ((3 * i) % 7), (run.timeS ?? 0) - 20 + lostS];
      const voidSectors = lostS > 0 ? [2] : [];
      return { ...run, sectorS, timeS: sectorS.reduce((a, b) => a + b, 0), voidSectors };
    });
    const given = { sectors: ["Roots", "Gully"], settings };
    expect(textsOf({ runs, ...given }, "voids-matter")[0]).toMatch(
      /^B quicker by [12]\.\d s; with the 2 struck-out sectors counted: can't tell yet/,
    );
    const both = runs.map((run, i) =>
      i === 6 ? { ...run, status: "void" as const, voidSectors: [] } : run,
    );
    expect(textsOf({ runs: both, ...given }, "voids-matter")[0]).toContain(
      "with the struck-out run and 1 sector counted",
    );
  });

  it("of several riders are said rider by rider, and for all together", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = riders.flatMap((rider) => day(rider === "R2" ? { 3: 40, 7: 30 } : {}, rider));
    const texts = textsOf({ runs, riders, settings }, "voids-matter");
    expect(texts).toEqual([
      expect.stringMatching(
        /^R2: B quicker by [12]\.\d s; with the 2 struck-out runs counted: can't/,
      ),
      expect.stringMatching(
        /^all riders: B quicker by [12]\.\d s; with the 2 struck-out runs counted: can't/,
      ),
    ]);
    const two = runs.filter((run) => run.rider !== "R3");
    expect(textsOf({ runs: two, riders: ["R1", "R2"], settings }, "voids-matter")).toHaveLength(1);
  });
});
