// The note that the plan will hardly bring a verdict: only when that is true of every open pair.
import { expect, it } from "vitest";
import type { Pair, RiderComparison } from "../../../src/domain/comparison.ts";
import { hardlyAnyChances } from "../../../src/summary/remarks/hardly-any-chance.ts";
import type { RemarkBasis } from "../../../src/summary/remarks/remark-basis.ts";
import { countedRuns, type MadeRun } from "../../stats/made-session.ts";
import { mirrored, timesOf } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

const runsOf = (n: number, effectS: number, seed: number, rider = "R1"): MadeRun[] => {
  const order = mirrored(n);
  return countedRuns(order, timesOf(order, effectS, seed)).map((run) => ({ ...run, rider }));
};
const settings = { plannedRuns: 16, spreads: "each" } as const;

/** The basis with the chances of the pairs set by hand. */
function withChances(
  basis: RemarkBasis,
  chances: readonly (number | null)[],
  verdicts: readonly Pair["verdict"][] = [],
): RemarkBasis {
  const pairsOf = (pairs: readonly Pair[]): Pair[] =>
    pairs.map((pair, i) => ({
      ...pair,
      verdict: verdicts[i] ?? "cannot-tell",
      chance_within_plan: chances[i] ?? null,
    }));
  const riderOf = (rider: RiderComparison): RiderComparison => ({
    ...rider,
    parts: rider.parts.map((part) => ({ ...part, pairs: pairsOf(part.pairs) })),
  });
  return { ...basis, riders: basis.riders.map(riderOf) };
}

it("is said on a day without a difference, in words and without a figure", () => {
  const days = Array.from({ length: 20 }, (_, i) =>
    basisOf({ runs: runsOf(14, 0, i + 1), settings }),
  );
  const said = days.filter((basis) => hardlyAnyChances(basis).length > 0);
  // Most days without a difference end so.
  expect(said.length).toBeGreaterThan(10);
  for (const basis of said) {
    expect(basis.riders[0]?.parts[0]?.pairs[0]?.chance_within_plan).toBeLessThan(0.03);
    expect(hardlyAnyChances(basis)).toEqual([
      {
        level: "note",
        kind: "hardly-any-chance",
        rider: "R1",
        setup: null,
        run: null,
        text: "hardly any chance of a verdict within the plan: stopping early costs nothing",
      },
    ]);
  }
});

it("is not said once a verdict stands, before six runs, without a plan or after its end", () => {
  expect(hardlyAnyChances(basisOf({ runs: runsOf(14, -5, 1), settings }))).toEqual([]);
  for (const seed of [1, 2, 3, 4, 5]) {
    expect(hardlyAnyChances(basisOf({ runs: runsOf(5, 0, seed), settings }))).toEqual([]);
    expect(hardlyAnyChances(basisOf({ runs: runsOf(16, 0, seed), settings }))).toEqual([]);
    const open = { ...settings, plannedRuns: null };
    expect(hardlyAnyChances(basisOf({ runs: runsOf(14, 0, seed), settings: open }))).toEqual([]);
  }
});

it("is said of three set-ups only when every open pair is so", () => {
  const order = Array.from("ABCCBAABCCBA");
  const basis = basisOf({
    runs: countedRuns(order, timesOf(order, 0)),
    setups: ["A", "B", "C"],
    settings: { ...settings, plannedRuns: 18 },
  });
  const texts = (...of: [(number | null)[], Pair["verdict"][]?]): string[] =>
    hardlyAnyChances(withChances(basis, ...of)).map((remark) => remark.text);
  expect(texts([0.01, 0.02])).toHaveLength(1);
  expect(texts([0.01, 0.2])).toEqual([]);
  expect(texts([0.01, null])).toEqual([]);
  expect(texts([null, 0.01], ["quicker", "cannot-tell"])).toEqual([
    "hardly any chance of a verdict on C within the plan: stopping early costs nothing",
  ]);
  expect(texts([null, null], ["quicker", "no-difference"])).toEqual([]);
});

it("is said of all riders together where they have an answer together", () => {
  const riders = ["R1", "R2", "R3"];
  const runs = riders.flatMap((rider, i) => runsOf(7, 0, i + 30, rider));
  const club = basisOf({ runs, riders, settings: { ...settings, plannedRuns: 8 } });
  const chance = club.together?.pairs[0]?.chance_within_plan ?? 1;
  expect(hardlyAnyChances(club).map((remark) => remark.rider)).toEqual(chance < 0.03 ? [null] : []);
  // No rider is told to stop while the others still need the runs.
  const hopeless = withChances(club, [0.001]);
  expect(hardlyAnyChances(hopeless).filter((remark) => remark.rider !== null)).toEqual([]);
  const two = basisOf({
    runs: runs.filter((run) => run.rider !== "R3"),
    riders: ["R1", "R2"],
    settings: { ...settings, plannedRuns: 8 },
  });
  expect(hardlyAnyChances(withChances(two, [0.001]))[0]?.text).toMatch(/^R1: hardly any chance/);
});
