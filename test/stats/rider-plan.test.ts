import { describe, expect, it } from "vitest";
import type { ComparisonInput, Pair } from "../../src/domain/comparison.ts";
import type { Rider } from "../../src/domain/session.ts";
import { bandMultiplier } from "../../src/stats/band.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { planningOrders } from "../../src/stats/design.ts";
import { placesAhead } from "../../src/stats/places-ahead.ts";
import {
  endRunOf,
  plannedRunsOf,
  riderPlan,
  riderSetups,
  setupsOf,
  setupsToRide,
} from "../../src/stats/rider-plan.ts";
import { planThreshold } from "../../src/stats/thresholds.ts";
import { type MadeRun, type MadeSession, madeSession, normals } from "./made-session.ts";
import { NOTHING } from "./mirrored-day.ts";
import { stackedPair } from "./plain-stack.ts";

function riderOf(input: ComparisonInput, id = "R1"): Rider {
  const rider = input.riders.find((each) => each.id === id);
  if (rider === undefined) throw new RangeError(`no rider ${id}`);
  return rider;
}

function onOrder(order: string, day = 0): MadeRun[] {
  const normal = normals(order.length + day);
  return Array.from(order, (setup, i) => ({
    setup,
    day,
    timeS: 100 + 3 * day + 0.05 * i - (setup === "B" ? 1.5 : 0) + normal(),
  }));
}

function pairsOf(input: ComparisonInput, rider = 0): readonly Pair[] {
  return compareRiders(input)[rider]?.parts[0]?.pairs ?? [];
}

/** Multiplier of a pair by the plan band, from its published parts. */
function planMultiplier(
  pair: { df: number; z2: number },
  kind: "L1" | "LN",
  level: number,
  end: { nuN: number; z2N: number },
): number {
  const phi = (2 / 3) * end.z2N;
  const limit = planThreshold(kind, 0.9 * level, end.nuN);
  return bandMultiplier(pair.df, phi / (phi + pair.z2), limit);
}

const THREE: Pick<MadeSession, "setups"> = { setups: ["A", "B", "C"] };

describe("a rider's own set-ups", () => {
  const own = { R1: { setups: ["A", "B"] } };

  it("are all of the session unless the sheet names some, the baseline first", () => {
    const input = madeSession({ ...THREE, runs: [], baseline: "B" });
    expect(riderSetups(input, riderOf(input))).toEqual({
      baseline: "B",
      all: ["B", "A", "C"],
      planned: ["B", "A", "C"],
    });
    const some = madeSession({ ...THREE, runs: [], own });
    expect(riderSetups(some, riderOf(some)).all).toEqual(["A", "B"]);
    expect(setupsOf(some).all).toEqual(["A", "B"]);
  });

  it("make the rider's K: the others are not there for that rider", () => {
    const runs = onOrder("ABBAABBAABBA");
    const alone = madeSession({ runs });
    const among = madeSession({ ...THREE, runs, own });
    expect(compareRiders(among)).toEqual(compareRiders(alone));
    // With C to ride as well each pair would get half the level.
    const all = madeSession({ ...THREE, runs });
    const wider = pairsOf(all)[0]?.multiplier ?? 0;
    expect(wider).toBeGreaterThan(pairsOf(among)[0]?.multiplier ?? Number.POSITIVE_INFINITY);
    expect(compareRiders(among)[0]?.setup_spreads.map((each) => each.setup)).toEqual(["A", "B"]);
  });

  it("are joined by one ridden all the same, as by one declared later", () => {
    const runs = onOrder("ABBAABBAABBACC");
    const input = madeSession({ ...THREE, runs, own });
    const declared = madeSession({ ...THREE, runs, plannedSetups: ["A", "B"] });
    expect(compareRiders(input)).toEqual(compareRiders(declared));
    expect(setupsToRide(input, riderOf(input))).toEqual(["A", "B"]);
    expect(riderPlan(input, riderOf(input)).levelOf("B", "A")).toBeCloseTo(0.025, 15);
    const [b, c] = pairsOf(input);
    expect([b?.setup, c?.setup]).toEqual(["B", "C"]);
    const known = stackedPair(
      input.runs.map(({ setup, k, timeS }) => ({
        block: "R1",
        setup,
        k: k ?? Number.NaN,
        timeS: timeS ?? Number.NaN,
      })),
      "C",
      "A",
    );
    const open = bandMultiplier(c?.df ?? 0, 0.5 / (0.5 + known.z2), -Math.log(0.025));
    expect(c?.multiplier).toBeCloseTo(open, 9);
    const struckOut = runs.map((run) =>
      run.setup === "C" ? { ...run, status: "void" as const } : run,
    );
    expect(pairsOf(madeSession({ ...THREE, runs: struckOut, own }))).toHaveLength(1);
  });

  it("may leave the baseline out: every pair is listed, none can be told", () => {
    const runs = onOrder("BCCBBCCBBCCB");
    const input = madeSession({ ...THREE, runs, own: { R1: { setups: ["B", "C"] } } });
    expect(pairsOf(input)).toEqual([
      { ...NOTHING, setup: "B", baseline: "A", runs: 6, baseline_runs: 0, new_to: false },
      { ...NOTHING, setup: "C", baseline: "A", runs: 6, baseline_runs: 0, new_to: false },
    ]);
    expect(compareRiders(input)[0]?.df).toBe(9);
    expect(riderPlan(input, riderOf(input)).levelOf("B", "A")).toBeCloseTo(0.05, 15);
    const ridden = madeSession({
      ...THREE,
      runs: [...runs, ...onOrder("AA")],
      own: { R1: { setups: ["B", "C"] } },
    });
    expect(riderSetups(ridden, riderOf(ridden))).toMatchObject({
      all: ["A", "B", "C"],
      planned: ["B", "C"],
    });
  });

  it("may be none: nothing is promised and nothing breaks", () => {
    const input = madeSession({ runs: [], own: { R1: { setups: [] } } });
    expect(plannedRunsOf(input, riderOf(input))).toBe(0);
    expect(riderPlan(input, riderOf(input)).figures?.runs).toBe(0);
    expect(pairsOf(input)).toEqual([]);
    const ridden = madeSession({ runs: onOrder("ABBA"), own: { R1: { setups: [] } } });
    expect(pairsOf(ridden)).toHaveLength(1);
  });
});

describe("a rider's own planned runs", () => {
  const own = { R2: { plannedRuns: 8 } };
  const riders = ["R1", "R2"];

  it("end that rider's plan and nobody else's", () => {
    const input = madeSession({ runs: [], riders, own, settings: { plannedRuns: 14 } });
    expect(input.riders.map((rider) => endRunOf(input, rider))).toEqual([14, 8]);
    const runs = onOrder("ABBAABBA").map((run) => ({ ...run, rider: "R2" }));
    const told = madeSession({ runs, riders, own, settings: { plannedRuns: 14 } });
    const alone = madeSession({ runs, riders: ["R2"], settings: { plannedRuns: 8 } });
    expect(compareRiders(told)[1]).toEqual(compareRiders(alone)[0]);
  });

  it("can be brought forward like any", () => {
    const end = { rider: "R2", endRun: 6, announcedAtRun: 4 };
    const input = madeSession({ runs: [], riders, own, plannedEnds: [end] });
    expect(endRunOf(input, riderOf(input, "R2"))).toBe(6);
    const late = { ...end, announcedAtRun: 5 };
    const refused = madeSession({ runs: [], riders, own, plannedEnds: [late] });
    expect(endRunOf(refused, riderOf(refused, "R2"))).toBe(8);
  });

  it("may be there without any for the others", () => {
    const settings = { plannedRuns: null, bands: "open" as const };
    const input = madeSession({ runs: [], riders, own, settings });
    expect(input.riders.map((rider) => riderPlan(input, rider).figures?.runs ?? null)).toEqual([
      null,
      8,
    ]);
  });
});

describe("days declared ahead", () => {
  it("share the runs, each from the start of the order", () => {
    const joined = (n: number, days: number): readonly string[] =>
      planningOrders(["A", "B"], n, days).map((order) => order.join(""));
    expect(joined(20, 2)).toEqual(["ABBAABBAAB", "ABBAABBAAB"]);
    expect(joined(7, 2)).toEqual(["ABBA", "ABB"]);
    expect(joined(2, 3)).toEqual(["A", "A"]);
    expect(planningOrders(["A", "B"], 6, 2, true).map((order) => order.join(""))).toEqual([
      "BAA",
      "BAA",
    ]);
  });

  it("have a level and a trend each, in the promise as in the fit", () => {
    const planned = ["ABBAABBAAB", "ABBAABBAAB"].flatMap((order, day) =>
      Array.from(order, (setup, i) => ({ block: String(day), setup, k: i + 1, timeS: 0 })),
    );
    const { z2 } = stackedPair(planned, "B", "A");
    const runs = [...onOrder("ABBAABBAAB"), ...onOrder("ABBAABBAAB", 1)];
    const input = madeSession({ runs, settings: { plannedRuns: 20, days: 2 } });
    const { figures } = riderPlan(input, riderOf(input));
    expect([figures?.runs, figures?.nuN]).toEqual([20, 15]);
    expect(figures?.pair("B", "A")?.z2N).toBeCloseTo(z2, 9);
    const at = (n: number) => madeSession({ runs: runs.slice(0, n), settings: input.settings });
    const end = { nuN: 15, z2N: z2 };
    const last = planMultiplier({ df: 15, z2 }, "LN", 0.05, end);
    expect(pairsOf(at(20))[0]?.multiplier).toBeCloseTo(last, 9);
    const rows = planned.slice(0, 19);
    const before = { df: 14, z2: stackedPair(rows, "B", "A").z2 };
    expect(pairsOf(at(19))[0]?.multiplier).toBeCloseTo(planMultiplier(before, "L1", 0.05, end), 9);
  });

  it("do not make a day of the plan its end", () => {
    const runs = onOrder("ABBAABBAAB");
    const input = madeSession({ runs, settings: { plannedRuns: 20, days: 2 } });
    const day = { df: 7, z2: stackedPair(rowsOf(input), "B", "A").z2 };
    const { figures } = riderPlan(input, riderOf(input));
    const end = { nuN: 15, z2N: figures?.pair("B", "A")?.z2N ?? Number.NaN };
    expect(pairsOf(input)[0]?.multiplier).toBeCloseTo(planMultiplier(day, "L1", 0.05, end), 9);
  });

  it("of a single run each promise no trend that they cannot tell", () => {
    const input = madeSession({ runs: [], settings: { plannedRuns: 3, days: 3 } });
    // Three runs, three levels; the set-up's effect counts though only A is in the order.
    expect(riderPlan(input, riderOf(input)).figures?.nuN).toBe(3 - 3 - 1);
  });
});

function rowsOf(input: ComparisonInput) {
  return input.runs.map(({ setup, k, timeS, day }) => ({
    block: String(day),
    setup,
    k: k ?? Number.NaN,
    timeS: timeS ?? Number.NaN,
  }));
}

describe("places still to be ridden", () => {
  const ahead = (made: MadeSession, n: number, endRun: number, isReversed = false) => {
    const input = madeSession(made);
    return placesAhead(input, riderOf(input), n, endRun, isReversed).map(
      ({ block, setup, k }) => `${block}:${setup}${String(k)}`,
    );
  };

  it("are the rest of the order, k going on from the last run's", () => {
    const settings = { plannedRuns: 8 };
    const runs = [...onOrder("ABB"), { setup: "A", timeS: null, status: "void" as const }];
    expect(ahead({ runs, settings }, 3, 6)).toEqual(["0 R1:A5", "0 R1:A6", "0 R1:B7"]);
    expect(ahead({ runs, settings }, 3, 5, true)).toEqual(["0 R1:B5", "0 R1:B6"]);
    expect(ahead({ runs: [], settings }, 0, 2)).toEqual(["0 R1:A1", "0 R1:B2"]);
    expect(ahead({ runs, settings }, 9, 8)).toEqual([]);
  });

  it("go on today up to today's share, then on days of their own", () => {
    const settings = { plannedRuns: 8, days: 2 };
    const day = onOrder("ABB");
    expect(ahead({ runs: day, settings }, 3, 8)).toEqual([
      "0 R1:A4",
      "1 R1:A1",
      "1 R1:B2",
      "1 R1:B3",
      "1 R1:A4",
    ]);
  });

  it("catch up on the last day what an earlier one left", () => {
    const settings = { plannedRuns: 8, days: 2 };
    const runs = [...onOrder("AB"), ...onOrder("AB", 1)];
    expect(ahead({ runs, settings }, 4, 8)).toEqual(["1 R1:A3", "1 R1:B4", "1 R1:B5", "1 R1:A6"]);
  });

  it("are on the newest day for whoever has not ridden yet then", () => {
    const settings = { plannedRuns: 8, days: 2 };
    const other = { ...onOrder("A", 1)[0], rider: "R2", setup: "A", timeS: 101 };
    const runs = [...onOrder("ABBA"), other];
    const made = { runs, riders: ["R1", "R2"], settings };
    expect(ahead(made, 4, 6)).toEqual(["1 R1:A1", "1 R1:B2"]);
  });

  it("are of the rider's own set-ups and runs", () => {
    const made = { ...THREE, runs: [], own: { R1: { setups: ["A", "C"], plannedRuns: 3 } } };
    expect(ahead(made, 0, 3)).toEqual(["0 R1:A1", "0 R1:C2", "0 R1:C3"]);
  });

  it("make the forecast of a plan of several days", () => {
    const runs = [...onOrder("ABBAAB"), ...onOrder("ABB", 1)];
    const pair = (days: number) =>
      pairsOf(madeSession({ runs, settings: { plannedRuns: 12, days } }))[0];
    expect(pair(2)?.chance_within_plan).toBeGreaterThan(0);
    expect(pair(2)?.chance_within_plan).toBeLessThan(1);
  });
});
