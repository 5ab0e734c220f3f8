// The warning about an order in halves: when, and with which figures.
import { describe, expect, it } from "vitest";
import type { Remark } from "../../../src/domain/remark.ts";
import { multipliersAt } from "../../../src/stats/band-in-force.ts";
import { fitRider } from "../../../src/stats/rider-fit.ts";
import { ordersInHalves } from "../../../src/summary/remarks/order-in-halves.ts";
import { countedRuns, type MadeRun, type MadeSession } from "../../stats/made-session.ts";
import { mirrored, timesOf } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

function runsOf(order: readonly string[], rider = "R1"): MadeRun[] {
  return countedRuns(order, timesOf(order, -1)).map((run) => ({ ...run, rider }));
}
const halves = (n: number): string[] => [
  ...Array<string>(n / 2).fill("A"),
  ...Array<string>(n / 2).fill("B"),
];
const warnings = (made: MadeSession): readonly Remark[] => ordersInHalves(basisOf(made));
const texts = (made: MadeSession): string[] => warnings(made).map((remark) => remark.text);

describe("an order in halves is warned of", () => {
  it("with the band it has and the one that swapping would have given", () => {
    const made: MadeSession = { runs: runsOf(halves(12)), settings: { spreads: "common" } };
    const basis = basisOf(made);
    const [low, high] = basis.riders[0]?.parts[0]?.pairs[0]?.band_s ?? [0, 0];
    // Independent of the remark: 12 runs of ABBA have z2 = 3 (a quarter of the runs) and 9 degrees
    // of freedom; the plan's limits and the spread are those of the day.
    const fit = fitRider(basis.input, "R1");
    const limits = fit?.pairBand("B", "A").bands.at(12) ?? { phi: 0, outerL: 0, innerL: 0 };
    const half =
      (multipliersAt(limits, 9, 3).multiplier * (basis.riders[0]?.spread_s ?? 0)) / Math.sqrt(3);
    const now = ((high - low) / 2).toFixed(1);
    expect(ordersInHalves(basis)).toEqual([
      {
        level: "warn",
        kind: "order-in-halves",
        rider: "R1",
        setup: "B",
        run: null,
        text: `A first, then B: the band is +-${now} s; swapping back and forth would have given +-${half.toFixed(1)} s, and a change of the ground would not look like B`,
      },
    ]);
    expect(Number(now)).toBeGreaterThan(2 * half);
  });

  it("from four runs on, before there is any band", () => {
    expect(texts({ runs: runsOf(halves(4)) })).toEqual([
      "A first, then B: a change of the ground looks like B; swap back and forth",
    ]);
    expect(texts({ runs: runsOf(["A", "A", "B"]) })).toEqual([]);
    expect(texts({ runs: runsOf(halves(8)), settings: { spreads: "each" } })[0]).toMatch(
      /^A first, then B: there is no band yet; swapping back and forth would have given \+-\d\.\d s/,
    );
  });

  it("by what came second, and in other words where there was some swapping", () => {
    expect(texts({ runs: runsOf(halves(12).toReversed()) })[0]).toMatch(
      /^B first, then A: .* would not look like A$/,
    );
    expect(texts({ runs: runsOf(Array.from("AAAAABABBBBB")) })[0]).toMatch(
      /^A and B in long blocks: the band is/,
    );
  });

  it("without figures where the model has no trend that could widen the band", () => {
    expect(texts({ runs: runsOf(halves(12)), settings: { drift: "none" } })).toEqual([
      "A first, then B: a change of the ground looks like B; swap back and forth",
    ]);
  });

  it("where each set-up had a day of its own", () => {
    const runs = runsOf(halves(12)).map((run, i) => ({ ...run, day: i < 6 ? 0 : 1 }));
    expect(texts({ runs, settings: { days: 2 } })).toEqual([
      "A first, then B: the runs can't tell the set-up from the day; swap back and forth",
    ]);
  });

  it("by the rider's name where there are several", () => {
    const runs = [...runsOf(halves(12)), ...runsOf(mirrored(12), "R2")];
    const [only, ...more] = warnings({ runs, riders: ["R1", "R2"] });
    expect(only?.text).toMatch(/^R1: A first, then B: /);
    expect(more).toEqual([]);
  });
});

it("an order that goes back and forth, or a set-up that is not ridden yet, is no fault", () => {
  expect(warnings({ runs: runsOf(mirrored(12)) })).toEqual([]);
  expect(warnings({ runs: runsOf(["A", "A", "A", "A", "A"]) })).toEqual([]);
  expect(warnings({ runs: [] })).toEqual([]);
});
