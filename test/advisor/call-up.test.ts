// The order of starts on shared bikes and parts, worked out by hand; what fits on what; gaps.
import { describe, expect, it } from "vitest";
import {
  type CallUp,
  type CallUpCosts,
  callUpList,
  type Demand,
  type RiderState,
} from "../../src/advisor/call-up.ts";
import { riderBikes } from "../../src/advisor/call-up-bikes.ts";
import type { Yard } from "../../src/advisor/call-up-yard.ts";
import { gearFor, gearWarnings } from "../../src/advisor/gear-fit.ts";
import { caughtRuns, startGapS, usualRunS } from "../../src/advisor/start-gap.ts";
import type { Bike, Gear, Part, Standards } from "../../src/domain/gear.ts";
import { normals } from "../stats/made-session.ts";
import { sessionOf, sheetOf } from "./sessions.ts";

const ANY: Standards = { axle: null, rotor: null, freehub: null };

function bike(id: string, given: Partial<Standards> & { riders?: readonly string[] } = {}): Bike {
  const { riders, ...standards } = given;
  return { id, name: id, size: null, riders: riders ?? null, standards: { ...ANY, ...standards } };
}

function part(id: string, setups: readonly string[], given: Partial<Standards> = {}): Part {
  return { id, name: id, kind: "wheelset", setups, standards: { ...ANY, ...given } };
}

function gear(
  bikes: readonly Bike[],
  parts: readonly Part[],
  mechanics: number | null = null,
): Gear {
  return { bikes, parts, mechanics };
}

const WHEELS = [part("wheels-1", ["A"]), part("wheels-2", ["B"])];

describe("what a set-up can be ridden on", () => {
  it("is every bike that fits the rider and whose standards its parts share, where both are said", () => {
    const of = gear(
      [
        bike("bike-1", { axle: "148 x 12", riders: ["R1"] }),
        bike("bike-2", { axle: " 148 X 12 ", freehub: "micro" }),
        bike("bike-3", { axle: "142 x 12" }),
        bike("bike-4"),
      ],
      [part("wheels-2", ["B"], { axle: "148 x 12", freehub: "Micro" })],
    );
    const ids = (rider: string) => gearFor(of, rider, "B").bikes.map((fit) => fit.bike?.id);
    expect(ids("R1")).toEqual(["bike-1", "bike-2", "bike-4"]);
    expect(ids("R2")).toEqual(["bike-2", "bike-4"]);
    // Nothing is needed for A.
    expect(gearFor(of, "R2", "A").bikes.map((fit) => fit.needs)).toEqual([[], [], []]);
  });

  it("is the rider's own bike where none are shared", () => {
    const [fit, ...others] = gearFor(gear([], WHEELS), "R1", "B").bikes;
    expect(others).toEqual([]);
    expect(fit?.bike).toBeNull();
    expect(fit?.needs.map((need) => need.parts.map(({ id }) => id))).toEqual([["wheels-2"]]);
  });

  it("needs one part of each kind", () => {
    const shock: Part = { ...part("shock-1", ["B"], { axle: "30" }), kind: "shock" };
    const both = gear([bike("bike-1", { axle: "148" })], [part("wheels-2", ["B"]), shock]);
    expect(gearFor(both, "R1", "B").why).toBe(
      "no bike that fits R1 takes a shock for B (axle 30, the bike has 148)",
    );
  });

  it("is said in words where there is nothing", () => {
    const narrow = [part("wheels-2", ["B"], { axle: "142 x 12" })];
    const own = bike("bike-1", { axle: "148 x 12", riders: ["R3"] });
    expect(gearFor(gear([own], narrow), "R3", "B").why).toBe(
      "no bike that fits R3 takes a wheelset for B (axle 142 x 12, the bike has 148 x 12)",
    );
    expect(gearFor(gear([own], narrow), "R1", "B").why).toBe("no bike fits R1");
    const typed = [part("wheels-2", ["B"], { axle: "\u001b[31m12\u0007" })];
    expect(gearFor(gear([own], typed), "R3", "B").why).toBe(
      "no bike that fits R3 takes a wheelset for B (axle of another kind, the bike has 148 x 12)",
    );
  });

  it("is warned of where a plan needs it, and where many wait for one part", () => {
    const riders = ["R1", "R2", "R3"].map((id) => ({ id }));
    expect(gearWarnings(sheetOf({ riders, gear: gear([], WHEELS) }))).toEqual([
      "wheels-1 is the only wheelset for A: 3 riders wait for it in turn",
      "wheels-2 is the only wheelset for B: 3 riders wait for it in turn",
    ]);
    expect(gearWarnings(sheetOf({ riders: riders.slice(1), gear: gear([], WHEELS) }))).toEqual([]);
    const unfit = gear(
      [bike("bike-1", { axle: "148" })],
      [part("wheels-1", ["A"]), part("wheels-2", ["B"], { axle: "142" })],
    );
    const one = sheetOf({ riders: [{ id: "R1" }, { id: "R2", setups: ["A"] }], gear: unfit });
    expect(gearWarnings(one)).toEqual([
      "no bike that fits R1 takes a wheelset for B (axle 142, the bike has 148)",
    ]);
  });
});

describe("the bike of a rider", () => {
  const names = (of: Gear, ids: readonly string[]) =>
    ids.map(
      (id) =>
        riderBikes(
          of,
          ids.map((each) => ({ id: each, setups: ["A", "B"] })),
        ).get(id)?.id,
    );

  it("is shared by as few as can be", () => {
    const of = gear([bike("bike-1"), bike("bike-2")], []);
    expect(names(of, ["R1", "R2", "R3", "R4"])).toEqual(["bike-1", "bike-2", "bike-1", "bike-2"]);
    const sizes = gear(
      [
        bike("bike-1", { riders: ["R1", "R2"] }),
        bike("bike-2", { riders: ["R2", "R3", "R4", "R5"] }),
        bike("bike-3", { riders: ["R5", "R6"] }),
      ],
      [],
    );
    expect(names(sizes, ["R1", "R2", "R3", "R4", "R5", "R6"])).toEqual([
      "bike-1",
      "bike-1",
      "bike-2",
      "bike-2",
      "bike-3",
      "bike-3",
    ]);
    expect(names(sizes, ["R7"])).toEqual([undefined]);
  });

  it("takes all that the rider rides, if one does", () => {
    const of = gear(
      [bike("bike-1", { axle: "148" }), bike("bike-2", { axle: "142" })],
      [part("wheels-1", ["A"]), part("wheels-2", ["B"], { axle: "142" })],
    );
    expect(names(of, ["R1", "R2"])).toEqual(["bike-2", "bike-2"]);
  });

  it("stays when a rider is added", () => {
    const of = gear([bike("bike-1"), bike("bike-2", { riders: ["R1", "R2"] })], []);
    const before = names(of, ["R1", "R2", "R3"]);
    expect(names(of, ["R1", "R2", "R3", "R4"]).slice(0, 3)).toEqual(before);
  });
});

const LAP = 10;
const costs: CallUpCosts = {
  lapMinutes: () => LAP,
  runMinutes: () => 2,
  gapS: () => 30,
  swapMinutes: (from, to) => (from === to ? 0 : 4),
  restMinutes: 0,
};

const NEVER = Number.NEGATIVE_INFINITY;

function rider(id: string, given: Partial<RiderState> = {}): RiderState {
  return { rider: id, counted: 0, finishedAt: NEVER, backAt: NEVER, restedAt: NEVER, ...given };
}

function wants(id: string, setups: string): Demand {
  return { rider: id, rides: Array.from(setups, (setup) => ({ setup, isCounted: true })) };
}

/** Own bikes with A mounted, all parts in the yard, everything free now. */
function listOf(
  riders: readonly RiderState[],
  demands: readonly Demand[],
  of: Gear,
  given: { called?: string; costs?: Partial<CallUpCosts>; yard?: Partial<Yard> } = {},
): readonly CallUp[] {
  const free = { freeAt: 0, by: null };
  const keys =
    of.bikes.length > 0 ? of.bikes.map(({ id }) => id) : riders.map((r) => `own ${r.rider}`);
  const state = {
    riders,
    bikes: riderBikes(
      of,
      riders.map((r) => ({ id: r.rider, setups: ["A", "B"] })),
    ),
    yard: {
      bikes: new Map(keys.map((key) => [key, { ...free, mounted: "A" }])),
      parts: new Map(of.parts.map(({ id }) => [id, { ...free, on: null }])),
      swaps: [],
      ...given.yard,
    },
    started: [],
    called: given.called ?? null,
  };
  return callUpList(demands, state, of, { ...costs, ...given.costs });
}

const ORDER = (rows: readonly CallUp[]) => rows.map((row) => `${row.rider}${row.setup}`).join(" ");

describe("the call-up list", () => {
  it("gives a shared part to the fewest counted runs, the longest waiting, then by the sheet", () => {
    const one = gear([], [part("wheels-2", ["B"])]);
    const both = [wants("R1", "B"), wants("R2", "B")];
    const first = (a: Partial<RiderState>, b: Partial<RiderState>, called?: string) =>
      listOf([rider("R1", a), rider("R2", b)], both, one, called === undefined ? {} : { called });
    expect(ORDER(first({}, {}))).toBe("R1B R2B");
    expect(ORDER(first({ counted: 2 }, { counted: 1 }))).toBe("R2B R1B");
    expect(ORDER(first({ finishedAt: -10 }, { finishedAt: -20 }))).toBe("R2B R1B");
    expect(ORDER(first({}, { counted: 3 }, "R2"))).toBe("R2B R1B");
    // Swap 4, lap 10, then the other's swap.
    expect(first({}, {}).map((row) => row.notBefore)).toEqual([4, 18]);
    expect(first({}, {})[1]?.why).toBe("wheels-2 comes back with R1, then swap from A to B, 4 min");
  });

  it("sends the fastest first of those who are ready, a gap apart", () => {
    const demands = [wants("R1", "A"), wants("R2", "A"), wants("R3", "A")];
    const speed = new Map([
      ["R1", 2.5],
      ["R2", 2],
      ["R3", 2.2],
    ]);
    const fast = { runMinutes: (id: string) => speed.get(id) ?? 0 };
    const riders = ["R1", "R2", "R3"].map((id) => rider(id));
    const rows = listOf(riders, demands, gear([], []), { costs: fast });
    expect(ORDER(rows)).toBe("R2A R3A R1A");
    expect(rows.map((row) => row.notBefore)).toEqual([0, 0.5, 1]);
    expect(rows.map((row) => row.isReady)).toEqual([true, true, true]);
    expect(rows.map((row) => row.behind)).toEqual([
      null,
      { rider: "R2", gapS: 30 },
      { rider: "R3", gapS: 30 },
    ]);
    expect(rows.map((row) => row.why)).toEqual([
      "counted runs so far: 0",
      "starts behind R2",
      "starts behind R3",
    ]);
    // Fewest counted runs come before that, and whoever was called before all.
    const uneven = [rider("R1"), rider("R2", { counted: 1 }), rider("R3", { counted: 1 })];
    expect(ORDER(listOf(uneven, demands, gear([], []), { costs: fast }))).toBe("R1A R2A R3A");
    // So is whoever gets ready before the gap is over, though another was ready before.
    const late = [rider("R1"), rider("R2", { backAt: 0.4 }), rider("R3", { backAt: 0.3 })];
    const later = listOf(late, demands, gear([], []), { costs: fast });
    expect(later.map((row) => [row.rider, row.notBefore])).toEqual([
      ["R1", 0],
      ["R2", 0.5],
      ["R3", 1],
    ]);
    const called = listOf(uneven, demands, gear([], []), { costs: fast, called: "R3" });
    expect(ORDER(called)).toBe("R3A R1A R2A");
  });

  it("lets nobody go first who makes another wait longer, and everybody else", () => {
    const one = gear([bike("bike-1")], []);
    const demands = [wants("R1", "A"), wants("R2", "A")];
    const resting = (minutes: number) =>
      listOf([rider("R1", { restedAt: minutes }), rider("R2", { counted: 4 })], demands, one);
    // A lap of ten minutes fits before the rest of twelve is over, not before one of eight.
    expect(resting(12).map((row) => [row.rider, row.notBefore])).toEqual([
      ["R2", 0],
      ["R1", 12],
    ]);
    expect(resting(8).map((row) => [row.rider, row.notBefore])).toEqual([
      ["R1", 8],
      ["R2", 18],
    ]);
    expect(resting(8)[0]?.why).toBe("rests");
  });

  it("waits for a mechanic", () => {
    const riders = ["R1", "R2", "R3"].map((id) => rider(id));
    const demands = riders.map((each) => wants(each.rider, "B"));
    const times = (mechanics: number | null) =>
      listOf(riders, demands, gear([], [], mechanics)).map((row) => row.notBefore);
    expect(times(1)).toEqual([4, 8, 12]);
    expect(times(2)).toEqual([4, 4.5, 8]);
    expect(times(null)).toEqual([4, 4.5, 5]);
    const last = listOf(riders, demands, gear([], [], 1))[2];
    expect(last?.why).toBe("no mechanic is free before, then swap from A to B, 4 min");
  });

  it("takes wheels from one bike to another, and the bike left without is made ready anew", () => {
    const of = gear([bike("bike-1"), bike("bike-2")], [part("wheels-1", ["A"])]);
    const riders = [rider("R1"), rider("R2")];
    const at = { freeAt: 0, by: "R1" };
    const yard = {
      bikes: new Map([
        ["bike-1", { ...at, mounted: "A" }],
        ["bike-2", { ...at, mounted: null }],
      ]),
      parts: new Map([["wheels-1", { ...at, on: "bike-1" }]]),
    };
    const rows = listOf(riders, [wants("R1", "AA"), wants("R2", "A")], of, { yard });
    expect(rows.map((row) => [row.rider, row.bike, row.notBefore, row.why])).toEqual([
      ["R1", "bike-1", 0, "counted runs so far: 0"],
      ["R2", "bike-2", 14, "wheels-1 comes back with R1, then swap to A, 4 min"],
      ["R1", "bike-1", 28, "wheels-1 comes back with R2, then swap to A, 4 min"],
    ]);
  });

  it("says at its end what no bike takes", () => {
    const of = gear([bike("bike-1", { axle: "148" })], [part("wheels-2", ["B"], { axle: "142" })]);
    const rows = listOf([rider("R1")], [wants("R1", "BAB")], of);
    expect(ORDER(rows)).toBe("R1A R1B");
    expect(rows[1]).toMatchObject({ notBefore: null, isReady: false, bike: null });
    expect(rows[1]?.why).toContain("no bike that fits R1");
  });

  it("does not guess how a rider stands", () => {
    expect(() => listOf([], [wants("R1", "A")], gear([], []))).toThrow(RangeError);
  });
});

describe("the gap between two starts", () => {
  it("is what the one ahead takes longer, and a margin", () => {
    const known = { runS: 120, spreadS: 3 };
    // 15 + 2 x sqrt(3 x 3 + 4 x 4) = 25.
    expect(startGapS(known, { runS: 120, spreadS: 4 })).toBeCloseTo(25, 9);
    expect(startGapS(known, { runS: 110, spreadS: 4 })).toBeCloseTo(35, 9);
    expect(startGapS(known, { runS: 170, spreadS: 4 })).toBe(15);
    expect(startGapS(known, { runS: 120, spreadS: null })).toBeCloseTo(24, 9);
    expect(startGapS({ runS: null, spreadS: null }, known)).toBe(60);
    expect(usualRunS([], 130)).toBe(130);
    expect(usualRunS([118, 125, 119], 130)).toBe(119);
  });

  it("is caught up rarely", () => {
    const usual = { runS: 130, spreadS: 20 };
    const gap = startGapS(usual, usual);
    const normal = normals(22);
    const days = 20_000;
    let caught = 0;
    for (let i = 0; i < days; i += 1) {
      if (gap + 130 + 20 * normal() < 130 + 20 * normal()) caught += 1;
    }
    // Normal table: the gap is 71.57 s, 2.53 standard errors of the difference, 0.0057 beyond.
    expect(caught / days).toBeGreaterThan(0.0057 - 3 * 0.00053);
    expect(caught / days).toBeLessThan(0.0057 + 3 * 0.00053);
  });

  it("was too short where a later start finished close behind or before an earlier one", () => {
    const ride = (rider_: string, startedS: number, finishedS: number) => ({
      rider: rider_,
      setup: "A",
      startedMin: startedS / 60,
      finishedMin: finishedS / 60,
      timeS: finishedS - startedS,
    });
    const found = (...rides: ReturnType<typeof ride>[]) =>
      caughtRuns(
        sessionOf({ riders: [{ id: "R1" }, { id: "R2" }, { id: "R3" }], runs: rides }).runs,
      ).map(({ run, ahead, startedAfterS, finishedAfterS }) => [
        `${run.rider} behind ${ahead.rider}`,
        Math.round(startedAfterS),
        Math.round(finishedAfterS),
      ]);
    expect(found(ride("R1", 0, 130), ride("R2", 40, 132))).toEqual([["R2 behind R1", 40, 2]]);
    expect(found(ride("R1", 0, 130), ride("R2", 40, 126))).toEqual([["R2 behind R1", 40, -4]]);
    expect(found(ride("R1", 0, 130), ride("R2", 40, 134))).toEqual([]);
    expect(found(ride("R1", 0, 130), ride("R2", 131, 132))).toEqual([]);
    // Of two ahead it is the nearer.
    expect(found(ride("R1", 0, 132), ride("R3", 20, 131), ride("R2", 40, 131.5))).toEqual([
      ["R3 behind R1", 20, -1],
      ["R2 behind R3", 20, 1],
    ]);
  });
});
