// Weight, price and the gain that a set-up must show.
import { expect, it } from "vitest";
import type { Pair } from "../../../src/domain/comparison.ts";
import type { Setup } from "../../../src/domain/session.ts";
import { worthOf } from "../../../src/summary/remarks/worth.ts";
import { countedRuns, type MadeRun, type MadeSession } from "../../stats/made-session.ts";
import { mirrored, timesOf } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

const runsOf = (effectS: number, rider = "R1", n = 12): MadeRun[] => {
  const order = mirrored(n);
  return countedRuns(order, timesOf(order, effectS)).map((run) => ({ ...run, rider }));
};

function texts(
  setups: Readonly<Record<string, Partial<Setup>>>,
  made: Partial<MadeSession> = {},
  band: Pair["band_s"] = null,
): string[] {
  const basis = basisOf({ runs: runsOf(0), ...made }, setups);
  const riders = basis.riders.map((rider) => ({
    ...rider,
    parts: rider.parts.map((part) => ({
      ...part,
      pairs: part.pairs.map((pair) => ({ ...pair, band_s: band })),
    })),
  }));
  return worthOf({ ...basis, riders }).map((remark) => remark.text);
}

const HEAVIER = { A: { weightKg: 14.2 }, B: { weightKg: 14.6, worthS: 1.5 } };

it("weighs the gain against what was said before: shown only if the whole band is beyond it", () => {
  const said = "B weighs 0.4 kg more; you said it must gain 1.5 s: ";
  expect(texts(HEAVIER)).toEqual([`${said}not shown yet`]);
  expect(texts(HEAVIER, {}, [-3.2, -1.6])).toEqual([`${said}shown`]);
  expect(texts(HEAVIER, {}, [-3.2, -1.5])).toEqual([`${said}not shown yet`]);
  expect(texts(HEAVIER, {}, [-1.4, 0.3])).toEqual([`${said}not reached`]);
  expect(texts(HEAVIER, {}, [-1.5, 0.3])).toEqual([`${said}not shown yet`]);
  expect(texts(HEAVIER, { isClosed: true }, [-2, 0.3])).toEqual([`${said}not shown`]);
});

it("tells price without a currency, less as well as more, and nothing that is not known", () => {
  const dear = { A: { price: 900, weightKg: 14 }, B: { price: 1020, weightKg: 13.75 } };
  expect(texts(dear)).toEqual(["B weighs 0.25 kg less and costs 120 more"]);
  expect(texts({ A: { price: 100 }, B: { price: 79.5 } })).toEqual(["B costs 20.5 less"]);
  expect(texts({ B: { price: 79.5, weightKg: 0.2 } })).toEqual(["B weighs 0.2 kg and costs 79.5"]);
  expect(texts({ A: { price: 79.5 } })).toEqual([]);
  expect(texts({ A: { weightKg: 14 }, B: { weightKg: 14.001 } })).toEqual([]);
  expect(texts({})).toEqual([]);
});

it("speaks of a gain alone, and takes the session's margin only beside a price", () => {
  expect(texts({ B: { worthS: 2 } })).toEqual(["you said B must gain 2 s: not shown yet"]);
  const settings = { marginS: 0.8 };
  expect(texts({}, { settings })).toEqual([]);
  expect(texts({ A: { price: 1 }, B: { price: 2 } }, { settings })).toEqual([
    "B costs 1 more; you said it must gain 0.8 s: not shown yet",
  ]);
});

it("waits until both set-ups have been ridden", () => {
  expect(texts(HEAVIER, { runs: runsOf(0, "R1", 1) })).toEqual([]);
});

it("is said rider by rider, or once of all where they have an answer together", () => {
  const two = ["R1", "R2"];
  const runs = [...two, "R3"].flatMap((rider) => runsOf(0, rider, 6));
  const made = { riders: two, runs: runs.filter((run) => run.rider !== "R3") };
  expect(texts(HEAVIER, made).map((text) => text.slice(0, 4))).toEqual(["R1: ", "R2: "]);
  expect(texts(HEAVIER, { riders: [...two, "R3"], runs })).toEqual([
    expect.stringMatching(/^B weighs 0\.4 kg more; you said it must gain 1\.5 s: /) as string,
  ]);
});
