// One whole comparison, computed in R twice independently; see data/worked.
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { type MadeRun, madeSession } from "../stats/made-session.ts";
import { expectAbs, expectRel, namedCase, readData } from "./cases.ts";

interface Expected {
  readonly whole: readonly Partial<Pair>[];
  readonly sectors: readonly (readonly Partial<Pair>[])[];
}

function workedRuns(): readonly MadeRun[] {
  const csv = readFileSync(new URL("data/worked/worked.csv", import.meta.url), "utf8");
  return csv
    .trim()
    .split("\n")
    .slice(1)
    .map((line): MadeRun => {
      const [setup = "", time = "", status = "", ...sectors] = line.trim().split(",");
      const seconds = (text: string): number | null => (text === "" ? null : Number(text));
      return {
        setup,
        timeS: seconds(time),
        status: status as "ok",
        sectorS: sectors.map(seconds),
      };
    });
}

const worked = (spreads: "each" | "common") =>
  compareRiders(
    madeSession({
      runs: workedRuns(),
      setups: ["A", "B", "C"],
      sectors: ["part 1", "last part"],
      settings: { plannedRuns: 10, marginS: 0.8, drift: "linear", spreads },
    }),
  );

function expectPairs(
  actual: readonly Pair[] | undefined,
  expected: readonly Partial<Pair>[],
): void {
  expect(actual).toHaveLength(expected.length);
  expected.forEach((wanted, i) => {
    const pair: Partial<Pair> = actual?.[i] ?? {};
    for (const key of Object.keys(wanted) as (keyof Pair)[]) {
      const value = wanted[key];
      const found = pair[key];
      if (typeof value === "number" && !Number.isInteger(value)) {
        expectRel(typeof found === "number" ? found : null, value, 1e-9, key);
      } else if (Array.isArray(value)) {
        const ends = value as readonly number[];
        const foundEnds = Array.isArray(found) ? (found as readonly number[]) : [];
        ends.forEach((end, e) => {
          expectRel(foundEnds[e] ?? null, end, 1e-9, key);
        });
      } else {
        expect(found, key).toEqual(value);
      }
    }
  });
}

describe("the worked comparison", () => {
  it.each([
    ["common", "worked/worked.expected.json"],
    ["each", "worked/worked-each.expected.json"],
  ] as const)("comes out as in R with spreads %s", (spreads, file) => {
    const expected = readData(file) as Expected;
    const [rider] = worked(spreads);
    expect(rider?.parts.map((part) => [part.part, part.sector, part.name])).toEqual([
      ["whole", null, null],
      ["sector", 1, "part 1"],
      ["sector", 2, "last part"],
    ]);
    expectPairs(rider?.parts[0]?.pairs, expected.whole);
    expected.sectors.forEach((pairs, s) => {
      expectPairs(rider?.parts[s + 1]?.pairs, pairs);
    });
  });

  it("counts its runs by what they are", () => {
    const [rider] = worked("common");
    expect(rider).toMatchObject({
      counted_runs: 9,
      void_runs: 1,
      warm_up_runs: 2,
      dnf_runs: 1,
      unsure_runs: 0,
      df: 6,
    });
  });
});

it("adds the sectors' differences up to the whole run's: sector_additivity", () => {
  const { inputs, expected, tolerance } = namedCase<
    { setup: string[]; sectors: number[][] },
    { sector_est: number[]; whole_est: number }
  >("statistics.json", "sector_additivity");
  const runs = inputs.setup.map((setup, i): MadeRun => {
    const sectorS = inputs.sectors[i] ?? [];
    return { setup, sectorS, timeS: sectorS.reduce((sum, s) => sum + s, 0) };
  });
  const sectors = expected.sector_est.map((_, s) => `part ${String(s + 1)}`);
  const [rider] = compareRiders(madeSession({ runs, sectors }));
  const found = (part: number): number | null => rider?.parts[part]?.pairs[0]?.difference_s ?? null;
  expectAbs(found(0), expected.whole_est, tolerance.value);
  expected.sector_est.forEach((est, s) => {
    expectAbs(found(s + 1), est, tolerance.value);
  });
});
